#include "vision/picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <fstream>
#include <opencv2/imgproc.hpp>

#include "vision/camera_profile.hpp"
#include "vision/decode.hpp"
#include "vision/heif.hpp"
#include "vision/picture_exif.hpp"
#include "vision/picture_header.hpp"
#include "vision/picture_pixels.hpp"
#include "vision/turn.hpp"

namespace spile::vision {
namespace {

constexpr std::uintmax_t kMaxFileBytes = 512u << 20;

auto not_an_image(const std::string& name) {
  return fail(ErrorCode::NotAnImage, fmt::format("{} is not a photo that can be read here.", name),
              "Use a JPEG, PNG, TIFF, WebP or HEIC file.");
}

auto damaged(const std::string& name, std::string detail) {
  return fail(ErrorCode::FileUnreadable, fmt::format("{} is damaged or cut short.", name),
              "Copy it again from the phone or camera.", std::move(detail));
}

// `row` and `other`, each from end to end, change places; they may be one. Eight bytes at a time.
void swap_reversed(std::uint8_t* row, std::uint8_t* other, std::ptrdiff_t length) {
  std::uint8_t* last = other + length;
  const std::uint8_t* end = row == other ? row + length / 2 : row + length;
  std::uint64_t a = 0, b = 0;
  for (; end - row >= 8; row += 8) {
    last -= 8;
    std::memcpy(&a, row, 8);
    std::memcpy(&b, last, 8);
    a = __builtin_bswap64(a);
    b = __builtin_bswap64(b);
    std::memcpy(row, &b, 8);
    std::memcpy(last, &a, 8);
  }
  while (row < end) std::swap(*row++, *--last);
}

// Half a turn, in place: one pass over the memory instead of two.
void turn_round(cv::Mat& picture) {
  const int last = picture.rows - 1;
  for (int y = 0; y <= last - y; ++y)
    swap_reversed(picture.ptr<std::uint8_t>(y), picture.ptr<std::uint8_t>(last - y), picture.cols);
}

cv::Mat turned(cv::Mat stored, const Turn& turn) {
  if (turn.transpose) cv::transpose(stored, stored);
  if (turn.mirror_x && turn.mirror_y) turn_round(stored);
  if (turn.mirror_x && !turn.mirror_y) cv::flip(stored, stored, 1);
  if (turn.mirror_y && !turn.mirror_x) cv::flip(stored, stored, 0);
  return stored;
}

// Chroma pixels pair up luma from the stored left and top; mirrored with an odd size they would start half a
// chroma pixel early.
cv::Mat turned_chroma(cv::Mat stored, const Turn& turn, const cv::Size& upright) {
  cv::Mat chroma = turned(std::move(stored), turn);
  const double dx = turn.mirror_x && upright.width % 2 == 1 ? 0.5 : 0;
  const double dy = turn.mirror_y && upright.height % 2 == 1 ? 0.5 : 0;
  if (dx == 0 && dy == 0) return chroma;
  const cv::Matx23d shift(1, 0, dx, 0, 1, dy);
  cv::Mat out;
  cv::warpAffine(chroma, out, shift, chroma.size(), cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_REPLICATE);
  return out;
}

cv::Mat doubled(const cv::Mat& chroma) {
  cv::Mat out;
  cv::resize(chroma, out, chroma.size() * 2, 0, 0, cv::INTER_LINEAR);
  return out;
}

cv::Mat merged(const cv::Mat& grey, const cv::Mat& cb, const cv::Mat& cr) {
  const std::array<cv::Mat, 3> channel{grey, cr, cb};
  cv::Mat ycrcb, bgr;
  cv::merge(channel.data(), channel.size(), ycrcb);
  cv::cvtColor(ycrcb, bgr, cv::COLOR_YCrCb2BGR);
  return bgr;
}

Rgba to_rgba(const cv::Mat& bgr) {
  Rgba out;
  out.width = bgr.cols;
  out.height = bgr.rows;
  out.pixels.resize(static_cast<std::size_t>(bgr.cols) * static_cast<std::size_t>(bgr.rows) * 4);
  cv::Mat target(bgr.rows, bgr.cols, CV_8UC4, out.pixels.data());
  cv::cvtColor(bgr, target, cv::COLOR_BGR2RGBA);
  return out;
}

}  // namespace

const cv::Mat& Picture::Pixels::half() const {
  std::call_once(half_once_, [this] {
    cv::resize(grey, half_, cv::Size(std::max(1, grey.cols / 2), std::max(1, grey.rows / 2)), 0, 0,
               cv::INTER_AREA);
  });
  return half_;
}

const cv::Mat& Picture::Pixels::quarter() const {
  std::call_once(quarter_once_, [this] {
    const cv::Mat& from = half();
    cv::resize(from, quarter_, cv::Size(std::max(1, from.cols / 2), std::max(1, from.rows / 2)), 0, 0,
               cv::INTER_AREA);
  });
  return quarter_;
}

cv::Mat Picture::Pixels::colour(const cv::Rect& part) const {
  const cv::Rect box = part & cv::Rect(0, 0, grey.cols, grey.rows);
  if (box.empty()) return {};
  // Whole chroma pixels around the part, so that halves line up with the luma.
  const cv::Rect coarse(box.x / 2, box.y / 2, (box.x + box.width + 1) / 2 - box.x / 2,
                        (box.y + box.height + 1) / 2 - box.y / 2);
  const cv::Rect inner(box.x - 2 * coarse.x, box.y - 2 * coarse.y, box.width, box.height);
  return merged(grey(box), doubled(cb(coarse))(inner), doubled(cr(coarse))(inner));
}

Result<PictureInfo> Picture::probe(std::span<const std::uint8_t> bytes, const std::string& name) {
  if (bytes.empty()) {
    return fail(ErrorCode::FileUnreadable, fmt::format("{} is empty.", name),
                "Copy it again from the phone or camera.");
  }
  const FileKind kind = file_kind(bytes);
  if (kind == FileKind::Unknown) return not_an_image(name);
  auto info = kind == FileKind::Heic ? read_heif_header(bytes) : read_header(bytes);
  if (!info) return damaged(name, "header");
  info->media_type = media_type(kind);
  if (static_cast<std::int64_t>(info->width_px) * info->height_px > kMaxPixels) {
    return fail(ErrorCode::ImageTooLarge,
                fmt::format("{} has {} x {} pixels; the limit is {} million.", name, info->width_px,
                            info->height_px, kMaxPixels / 1'000'000),
                "Save it smaller, or cut out the part that matters.");
  }
  if (info->exif_orientation >= 5) std::swap(info->width_px, info->height_px);
  info->focal_px = focal_in_pixels(*info);
  return *std::move(info);
}

Result<Picture> Picture::decode(std::span<const std::uint8_t> bytes, const std::string& name) {
  auto info = probe(bytes, name);
  if (!info) return tl::unexpected(info.error());
  if (!is_whole(bytes, file_kind(bytes))) return damaged(name, "no end of image");
  auto planes = decode_planes(bytes, file_kind(bytes));
  if (!planes) return damaged(name, "decoder");
  const Turn turn = planes->turned ? Turn{} : turn_of(info->exif_orientation);
  auto pixels = std::make_shared<Pixels>();
  pixels->grey = turned(std::move(planes->grey), turn);
  pixels->cb = turned_chroma(std::move(planes->cb), turn, pixels->grey.size());
  pixels->cr = turned_chroma(std::move(planes->cr), turn, pixels->grey.size());
  if (pixels->grey.cols != info->width_px || pixels->grey.rows != info->height_px)
    return damaged(name, "size");
  pixels->info = *std::move(info);
  pixels->name = name;
  return of(std::move(pixels));
}

Result<Picture> Picture::load(const std::filesystem::path& file) {
  const auto bytes = read_bytes(file);
  if (!bytes) return tl::unexpected(bytes.error());
  return decode(*bytes, file.filename().string());
}

Picture Picture::with_lens_of(const std::vector<model::CameraProfile>& profiles) const {
  const model::CameraProfile* profile = fitting_profile(profiles, pixels_->info);
  const auto& lens = pixels_->info.lens;
  if (profile == nullptr ? !lens : lens && lens->id.stored() && lens->id == profile->id) return *this;
  auto pixels = std::make_shared<Pixels>();
  pixels->info = pixels_->info;
  pixels->info.lens = profile == nullptr ? std::nullopt : std::optional(*profile);
  pixels->name = pixels_->name;
  pixels->grey = pixels_->grey;
  pixels->cb = pixels_->cb;
  pixels->cr = pixels_->cr;
  return of(std::move(pixels));
}

Picture Picture::of(std::shared_ptr<const Pixels> pixels) {
  Picture picture;
  picture.pixels_ = std::move(pixels);
  return picture;
}

const PictureInfo& Picture::info() const {
  return pixels_->info;
}
const std::string& Picture::name() const {
  return pixels_->name;
}

Rgba Picture::view(int max_side) const {
  const cv::Mat& grey = pixels_->grey;
  const int side = std::max(grey.cols, grey.rows);
  const double scale = static_cast<double>(std::clamp(max_side, 1, side)) / side;
  const cv::Size size(std::max(1, static_cast<int>(std::lround(grey.cols * scale))),
                      std::max(1, static_cast<int>(std::lround(grey.rows * scale))));
  cv::Mat y, cb, cr;
  cv::resize(grey, y, size, 0, 0, cv::INTER_AREA);
  cv::resize(pixels_->cb, cb, size, 0, 0, scale < 0.5 ? cv::INTER_AREA : cv::INTER_LINEAR);
  cv::resize(pixels_->cr, cr, size, 0, 0, scale < 0.5 ? cv::INTER_AREA : cv::INTER_LINEAR);
  return to_rgba(merged(y, cb, cr));
}

Rgba Picture::tile(int x, int y, int width, int height) const {
  const cv::Mat part = pixels_->colour(cv::Rect(x, y, std::max(0, width), std::max(0, height)));
  return part.empty() ? Rgba{} : to_rgba(part);
}

Result<std::vector<std::uint8_t>> read_bytes(const std::filesystem::path& file) {
  const std::string name = file.filename().string();
  std::error_code trouble;
  if (!std::filesystem::exists(file, trouble)) {
    return fail(ErrorCode::FileMissing, fmt::format("{} is not there.", file.string()),
                "Check the name, or whether the disk it lies on is plugged in.");
  }
  const auto size =
      std::filesystem::is_regular_file(file, trouble) ? std::filesystem::file_size(file, trouble) : 0;
  if (trouble || !std::filesystem::is_regular_file(file, trouble)) {
    return fail(ErrorCode::FileUnreadable, fmt::format("{} is not a file.", name),
                "Name a photo, not a folder.");
  }
  if (size > kMaxFileBytes) {
    return fail(ErrorCode::ImageTooLarge, fmt::format("{} is larger than 512 MB.", name),
                "Save the photo smaller.");
  }
  std::ifstream in(file, std::ios::binary);
  std::vector<std::uint8_t> bytes(size);
  in.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(size));
  if (!in || static_cast<std::uintmax_t>(in.gcount()) != size) {
    return fail(ErrorCode::FileUnreadable, fmt::format("{} cannot be read.", name),
                "Check that you may read it and that the disk is sound.");
  }
  return bytes;
}

}  // namespace spile::vision
