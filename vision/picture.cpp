#include "vision/picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/heif.hpp"
#include "vision/picture_exif.hpp"
#include "vision/picture_header.hpp"
#include "vision/picture_pixels.hpp"

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

// EXIF 2.32, tag 0x0112: what must be done to the stored picture to see it upright.
cv::Mat upright(cv::Mat stored, int orientation) {
  cv::Mat turned = std::move(stored);
  if (orientation >= 5) cv::transpose(turned, turned);
  const bool mirror_x = orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
  const bool mirror_y = orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
  if (mirror_x && mirror_y) cv::flip(turned, turned, -1);
  if (mirror_x && !mirror_y) cv::flip(turned, turned, 1);
  if (mirror_y && !mirror_x) cv::flip(turned, turned, 0);
  return turned;
}

cv::Mat decode_stored(Bytes bytes, int flags) {
  const cv::Mat buffer(1, static_cast<int>(bytes.size()), CV_8UC1, const_cast<std::uint8_t*>(bytes.data()));
  try {
    return cv::imdecode(buffer, flags | cv::IMREAD_IGNORE_ORIENTATION);
  } catch (const cv::Exception&) {
    return {};
  }
}

// OpenCV's TIFF reader turns the picture by itself whatever it is told; the others leave it as stored.
int orientation_left(const PictureInfo& info) {
  return info.media_type == media_type(FileKind::Tiff) ? 1 : info.exif_orientation;
}

cv::Mat decode_upright(Bytes bytes, const PictureInfo& info, int flags) {
  if (info.media_type == media_type(FileKind::Heic)) return decode_heif(bytes);
  return upright(decode_stored(bytes, flags), orientation_left(info));
}

cv::Mat decode_grey(Bytes bytes, const PictureInfo& info) {
  cv::Mat grey = decode_upright(bytes, info, cv::IMREAD_GRAYSCALE);
  if (grey.channels() == 3) cv::cvtColor(grey, grey, cv::COLOR_BGR2GRAY);
  return grey;
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

// The coarsest decoding that still leaves at least `max_side` pixels: a JPEG gives halves away for less work.
int reduced_flags(const PictureInfo& info, int max_side) {
  const int side = std::max(info.width_px, info.height_px);
  if (info.media_type != media_type(FileKind::Jpeg)) return cv::IMREAD_COLOR;
  if (side >= 8 * max_side) return cv::IMREAD_REDUCED_COLOR_8;
  if (side >= 4 * max_side) return cv::IMREAD_REDUCED_COLOR_4;
  if (side >= 2 * max_side) return cv::IMREAD_REDUCED_COLOR_2;
  return cv::IMREAD_COLOR;
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

const cv::Mat& Picture::Pixels::colour() const {
  std::call_once(colour_once_, [this] {
    colour_ = decode_upright(encoded, info, cv::IMREAD_COLOR);
    if (colour_.empty()) cv::cvtColor(grey, colour_, cv::COLOR_GRAY2BGR);
  });
  return colour_;
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
  auto pixels = std::make_shared<Pixels>();
  pixels->grey = decode_grey(bytes, *info);
  if (pixels->grey.empty()) return damaged(name, "decoder");
  if (pixels->grey.cols != info->width_px || pixels->grey.rows != info->height_px)
    return damaged(name, "size");
  pixels->info = *std::move(info);
  pixels->name = name;
  pixels->encoded.assign(bytes.begin(), bytes.end());
  Picture picture;
  picture.pixels_ = std::move(pixels);
  return picture;
}

Result<Picture> Picture::load(const std::filesystem::path& file) {
  const auto bytes = read_bytes(file);
  if (!bytes) return tl::unexpected(bytes.error());
  return decode(*bytes, file.filename().string());
}

const PictureInfo& Picture::info() const {
  return pixels_->info;
}
const std::string& Picture::name() const {
  return pixels_->name;
}

Rgba Picture::view(int max_side) const {
  const PictureInfo& about = info();
  const int side = std::max(about.width_px, about.height_px);
  const int wanted = std::clamp(max_side, 1, side);
  cv::Mat small = decode_upright(pixels_->encoded, about, reduced_flags(about, wanted));
  if (small.empty()) cv::cvtColor(pixels_->grey, small, cv::COLOR_GRAY2BGR);
  const double scale = static_cast<double>(wanted) / side;
  const cv::Size size(std::max(1, static_cast<int>(std::lround(about.width_px * scale))),
                      std::max(1, static_cast<int>(std::lround(about.height_px * scale))));
  if (small.size() != size) cv::resize(small, small, size, 0, 0, cv::INTER_AREA);
  return to_rgba(small);
}

Rgba Picture::tile(int x, int y, int width, int height) const {
  const cv::Mat& colour = pixels_->colour();
  const cv::Rect box =
      cv::Rect(x, y, std::max(0, width), std::max(0, height)) & cv::Rect(0, 0, colour.cols, colour.rows);
  if (box.empty()) return {};
  return to_rgba(colour(box));
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
