#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/measure.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {

Result<std::vector<std::uint8_t>> annotate(const Picture& picture, const Report& report) {
  cv::Mat canvas = picture.pixels().colour();
  const int width = std::max(1, std::max(canvas.cols, canvas.rows) / 1000);
  for (const Hole& hole : report.holes) {
    std::vector<cv::Point> rim;
    for (const PixelPoint& p : hole.outline) rim.emplace_back(cvRound(p.x), cvRound(p.y));
    cv::polylines(canvas, rim, true, cv::Scalar(60, 60, 255), width, cv::LINE_AA);
  }
  std::vector<std::uint8_t> png;
  cv::imencode(".png", canvas, png);
  return png;
}

}  // namespace spile::vision
