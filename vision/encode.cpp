#include "vision/encode.hpp"

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

namespace spile::vision {

Result<std::vector<std::uint8_t>> encode_jpeg(const Rgba& picture, int quality) {
  const auto needed =
      static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height) * std::size_t{4};
  if (picture.width <= 0 || picture.height <= 0 || picture.pixels.size() != needed)
    return fail(ErrorCode::BadInput, "There are no pixels to write as a picture.");
  try {
    // OpenCV has no read-only matrix over foreign memory; cvtColor only reads it.
    const cv::Mat rgba(picture.height, picture.width, CV_8UC4,
                       const_cast<std::uint8_t*>(picture.pixels.data()));
    cv::Mat bgr;
    cv::cvtColor(rgba, bgr, cv::COLOR_RGBA2BGR);
    std::vector<std::uint8_t> jpeg;
    if (!cv::imencode(".jpg", bgr, jpeg, {cv::IMWRITE_JPEG_QUALITY, quality}))
      return fail(ErrorCode::Internal, "A picture could not be written as a JPEG.");
    return jpeg;
  } catch (const cv::Exception& e) {
    return fail(ErrorCode::Internal, "A picture could not be written as a JPEG.", "Please report this.",
                e.what());
  }
}

}  // namespace spile::vision
