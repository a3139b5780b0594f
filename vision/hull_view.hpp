// The hull seen square on: a photo laid into the plane of the hull, in mm, on a grid of cells; for this
// folder only. Grid frame: mm, origin at the middle of the grid, x right and y up as in the plane of the
// reference.
#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>

#include "vision/picture_pixels.hpp"
#include "vision/reference.hpp"

namespace spile::vision {

inline constexpr double kHullReachMm = 130;  // how far about the opening the hull is looked at

struct HullGrid {
  double cell_mm = 1;
  int cols = 0, rows = 0;
  Point2 middle_mm = Point2::Zero();  // of the cells; not the origin where only a part is looked at

  // All round the opening as far as the hull is looked at.
  [[nodiscard]] static HullGrid about_opening(double cell_mm);
  // These cells of it and `margin_mm` round them, in cells of another size.
  [[nodiscard]] HullGrid part(const cv::Rect& cells, double margin_mm, double part_cell_mm) const;

  [[nodiscard]] Point2 mm_of(double col, double row) const {
    return middle_mm + cell_mm * Point2(col - 0.5 * (cols - 1), 0.5 * (rows - 1) - row);
  }
  [[nodiscard]] Point2 cell_of(const Point2& mm) const {
    const Point2 off = (mm - middle_mm) / cell_mm;
    return {off.x() + 0.5 * (cols - 1), 0.5 * (rows - 1) - off.y()};
  }
};

struct HullView {
  HullGrid grid;
  cv::Mat log_light;  // CV_32FC3, natural logarithm of linear light, blue green red
  cv::Mat seen;       // CV_8UC1, 255 where the hull was seen: in the picture, not covered, not blown out
};

// Where on the plane of `reference` a point of the grid lies.
using PlaneFromGrid = Eigen::Matrix3d;  // homography, mm to mm
[[nodiscard]] Point2 moved(const Eigen::Matrix3d& homography, const Point2& from);

// Pixel under a point of the grid.
[[nodiscard]] Point2 px_of(const FoundReference& reference, const PlaneFromGrid& plane_from_grid,
                           const Point2& mm);

// Pixel of each cell, CV_32FC2.
[[nodiscard]] cv::Mat cells_px(const FoundReference& reference, const PlaneFromGrid& plane_from_grid,
                               const HullGrid& grid);
// The photo on the grid: CV_8UC3, BGR; `inside` 255 where the picture reaches.
struct HullColour {
  cv::Mat bgr, inside;
};
[[nodiscard]] HullColour hull_colour(const Picture::Pixels& pixels, const FoundReference& reference,
                                     const PlaneFromGrid& plane_from_grid, const HullGrid& grid);
// Luma alone, for laying photos on one another: quicker.
struct HullLuma {
  cv::Mat log_light;  // CV_32FC1
  cv::Mat seen;       // CV_8UC1
};
[[nodiscard]] HullLuma hull_luma(const Picture::Pixels& pixels, const FoundReference& reference,
                                 const PlaneFromGrid& plane_from_grid, const HullGrid& grid);
[[nodiscard]] HullView hull_view(const Picture::Pixels& pixels, const FoundReference& reference,
                                 const PlaneFromGrid& plane_from_grid, const HullGrid& grid);

// Luma of log light, and a Gaussian blur that sees nothing beyond the edge.
[[nodiscard]] cv::Mat luma_of(const cv::Mat& log_light);
[[nodiscard]] cv::Mat blurred(const cv::Mat& of, double sigma_cells);
// The same for a wide blur, worked out at a coarse size: a wide blur is dear and shows no more.
[[nodiscard]] cv::Mat widely_blurred(const cv::Mat& of, double sigma_cells);
// 255 in the opening at the grid's origin.
[[nodiscard]] cv::Mat opening_cells(const HullGrid& grid, double radius_mm);

}  // namespace spile::vision
