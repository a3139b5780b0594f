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

  // All round the opening as far as the hull is looked at.
  [[nodiscard]] static HullGrid about_opening(double cell_mm);

  [[nodiscard]] Point2 mm_of(double col, double row) const {
    return {(col - 0.5 * (cols - 1)) * cell_mm, (0.5 * (rows - 1) - row) * cell_mm};
  }
  [[nodiscard]] Point2 cell_of(const Point2& mm) const {
    return {mm.x() / cell_mm + 0.5 * (cols - 1), 0.5 * (rows - 1) - mm.y() / cell_mm};
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

[[nodiscard]] HullView hull_view(const Picture::Pixels& pixels, const FoundReference& reference,
                                 const PlaneFromGrid& plane_from_grid, const HullGrid& grid);

// Luma of log light, and a Gaussian blur that sees nothing beyond the edge.
[[nodiscard]] cv::Mat luma_of(const cv::Mat& log_light);
[[nodiscard]] cv::Mat blurred(const cv::Mat& of, double sigma_cells);
// 255 in the opening at the grid's origin.
[[nodiscard]] cv::Mat opening_cells(const HullGrid& grid, double radius_mm);

}  // namespace spile::vision
