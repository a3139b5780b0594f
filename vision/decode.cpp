#include "vision/decode.hpp"

#include <turbojpeg.h>

#include <array>
#include <memory>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/heif.hpp"

namespace spile::vision {
namespace {

struct Release {
  void operator()(void* handle) const { tjDestroy(handle); }
};

cv::Size halved(const cv::Size& size) {
  return {(size.width + 1) / 2, (size.height + 1) / 2};
}

// Exactly two to one where it is not halved yet: an odd last column or row is doubled first.
cv::Mat at_half(const cv::Mat& chroma, const cv::Size& full) {
  const cv::Size half = halved(full);
  cv::Mat even = chroma;
  const int right = chroma.cols == full.width ? 2 * half.width - chroma.cols : 0;
  const int below = chroma.rows == full.height ? 2 * half.height - chroma.rows : 0;
  if (right > 0 || below > 0) cv::copyMakeBorder(chroma, even, 0, below, 0, right, cv::BORDER_REPLICATE);
  if (even.size() == half) return even;
  cv::Mat out;
  cv::resize(even, out, half, 0, 0, cv::INTER_AREA);
  return out;
}

// Luma and chroma straight out of the file: about a third of the work of a decode to colours. Nothing for the
// rare JPEGs that are not YCbCr (CMYK, RGB): those go the long way.
std::optional<Planes> decode_jpeg(Bytes bytes) {
  const std::unique_ptr<void, Release> handle(tjInitDecompress());
  int width = 0, height = 0, sampling = 0, space = 0;
  const auto size = static_cast<unsigned long>(bytes.size());
  if (!handle ||
      tjDecompressHeader3(handle.get(), bytes.data(), size, &width, &height, &sampling, &space) != 0 ||
      (space != TJCS_YCbCr && space != TJCS_GRAY) || sampling < 0) {
    return std::nullopt;
  }
  const int planes = sampling == TJSAMP_GRAY ? 1 : 3;
  std::array<cv::Mat, 3> plane;
  std::array<unsigned char*, 3> data{};
  std::array<int, 3> stride{};
  for (int i = 0; i < planes; ++i) {
    const auto k = static_cast<std::size_t>(i);
    plane[k].create(tjPlaneHeight(i, height, sampling), tjPlaneWidth(i, width, sampling), CV_8UC1);
    data[k] = plane[k].data;
    stride[k] = static_cast<int>(plane[k].step);
  }
  // A warning (stray bytes and the like) leaves a usable picture; an error does not.
  if (tjDecompressToYUVPlanes(handle.get(), bytes.data(), size, data.data(), width, stride.data(), height,
                              0) != 0 &&
      tjGetErrorCode(handle.get()) != TJERR_WARNING) {
    return std::nullopt;
  }
  Planes out;
  const cv::Size full(width, height);
  out.grey = plane[0](cv::Rect(cv::Point(0, 0), full));
  for (std::size_t i = 1; i < 3; ++i) {
    cv::Mat& chroma = i == 1 ? out.cb : out.cr;
    chroma = planes == 1 ? cv::Mat(halved(full), CV_8UC1, cv::Scalar(128)) : at_half(plane[i], full);
  }
  return out;
}

std::optional<Planes> split(const cv::Mat& bgr) {
  if (bgr.empty()) return std::nullopt;
  cv::Mat ycrcb;
  cv::cvtColor(bgr, ycrcb, cv::COLOR_BGR2YCrCb);
  std::array<cv::Mat, 3> channel;
  cv::split(ycrcb, channel.data());
  Planes out;
  out.grey = channel[0];
  out.cr = at_half(channel[1], bgr.size());
  out.cb = at_half(channel[2], bgr.size());
  return out;
}

cv::Mat decode_stored(Bytes bytes) {
  const cv::Mat buffer(1, static_cast<int>(bytes.size()), CV_8UC1, const_cast<std::uint8_t*>(bytes.data()));
  try {
    return cv::imdecode(buffer, cv::IMREAD_COLOR | cv::IMREAD_IGNORE_ORIENTATION);
  } catch (const cv::Exception&) {
    return {};
  }
}

}  // namespace

std::optional<Planes> decode_planes(Bytes bytes, FileKind kind) {
  if (kind == FileKind::Jpeg) {
    if (auto planes = decode_jpeg(bytes)) return planes;
  }
  auto planes = split(kind == FileKind::Heic ? decode_heif(bytes) : decode_stored(bytes));
  if (planes) planes->turned = kind == FileKind::Heic || kind == FileKind::Tiff;
  return planes;
}

}  // namespace spile::vision
