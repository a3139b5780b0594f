// The earlier photo in the later one's pixels.
#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/laid.hpp"
#include "vision/lattice.hpp"
#include "vision/seasons.hpp"

namespace spile::vision {
namespace {

constexpr int kRowsAtOnce = 256;   // a map of a whole picture would take eight bytes a pixel
constexpr double kNowhere = -1e4;  // off any picture
const cv::Scalar kNothingSeen(128);

// One plane of the picture; its pixels are `scale` wide and start `shift` in, both in those of the full one.
cv::Mat drawn(const cv::Mat& plane, const Comparison& comparison, const cv::Size& size, double scale,
              double shift) {
  cv::Mat out(size, CV_8UC1);
  for (int top = 0; top < size.height; top += kRowsAtOnce) {
    const int rows = std::min(kRowsAtOnce, size.height - top);
    const cv::Mat map = interpolated_map({size.width, rows}, [&](double x, double y) {
      const auto p = in_other(comparison, Season::Later, {scale * x + shift, scale * (y + top) + shift});
      return p ? Point2((p->x - shift) / scale, (p->y - shift) / scale) : Point2(kNowhere, kNowhere);
    });
    cv::Mat strip = out.rowRange(top, top + rows);
    cv::remap(plane, strip, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT, kNothingSeen);
  }
  return out;
}

}  // namespace

std::optional<PixelPoint> in_other(const Comparison& comparison, Season of, const PixelPoint& p) {
  if (!comparison.laid || !comparison.laid->match) return std::nullopt;
  const Comparison::Laid& laid = *comparison.laid;
  const Season other = of == Season::Earlier ? Season::Later : Season::Earlier;
  const FoundReference& here = *laid.reference(of);
  const auto mm = here.plane.mm_from_px(point(p), here.hull_z());
  if (!mm) return std::nullopt;
  const Point2 on_grid = moved(laid.plane_from_grid(of).inverse(), *mm);
  return pixel(px_of(*laid.reference(other), laid.plane_from_grid(other), on_grid));
}

Picture as_seen_later(const Picture& earlier, const Picture& later, const Comparison& comparison) {
  const Picture::Pixels& from = earlier.pixels();
  const Picture::Pixels& like = later.pixels();
  auto out = std::make_shared<Picture::Pixels>();
  out->info = from.info;
  out->info.width_px = like.grey.cols;
  out->info.height_px = like.grey.rows;
  out->name = from.name;
  out->grey = drawn(from.grey, comparison, like.grey.size(), 1, 0);
  out->cb = drawn(from.cb, comparison, like.cb.size(), 2, 0.5);
  out->cr = drawn(from.cr, comparison, like.cr.size(), 2, 0.5);
  return Picture::of(std::move(out));
}

}  // namespace spile::vision
