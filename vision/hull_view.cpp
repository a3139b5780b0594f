#include "vision/hull_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/lattice.hpp"
#include "vision/light.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr int kBlownOut = 251;     // coded value from which a channel says nothing any more
constexpr double kDarkest = 2e-3;  // light below this is noise
constexpr double kCoverMm = 2.5;   // about a reference: its edge, its shadow, what it hides of the hull

// A plane of the picture whose pixels are `scale` wide and start `shift` in, both in those of the full one.
struct Level {
  const cv::Mat& plane;
  double scale = 1, shift = 0;

  [[nodiscard]] cv::Mat on(const cv::Mat& px, int border) const {
    const cv::Mat map = (px - cv::Scalar::all(shift)) / scale;
    cv::Mat out;
    cv::remap(plane, out, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT, cv::Scalar(border));
    return out;
  }
};

// Luma at full, half or quarter size, whichever is nearest above the grid's cells.
Level luma_level(const Picture::Pixels& pixels, double px_per_cell) {
  if (px_per_cell < 1.6) return {pixels.grey, 1, 0};
  if (px_per_cell < 3.2) return {pixels.half(), 2, 0.5};
  return {pixels.quarter(), 4, 1.5};
}

double px_per_cell(const FoundReference& reference, const PlaneFromGrid& plane_from_grid,
                   const HullGrid& grid) {
  const Point2 middle = px_of(reference, plane_from_grid, grid.middle_mm);
  return grid.cell_mm / reference.plane.mm_per_px(middle, reference.hull_z());
}

// 255 where the map points into the picture.
cv::Mat inside_of(const cv::Mat& px, const cv::Size& picture) {
  cv::Mat out;
  cv::inRange(px, cv::Scalar(0, 0), cv::Scalar(picture.width - 1, picture.height - 1), out);
  return out;
}

cv::Mat log_light_of(const cv::Mat& bgr) {
  cv::Mat table(1, 256, CV_32FC1);
  for (int i = 0; i < 256; ++i)
    table.at<float>(0, i) = static_cast<float>(std::log(std::max(kDarkest, light_from_coded(i))));
  cv::Mat out;
  cv::LUT(bgr, table, out);
  return out;
}

void grow(cv::Mat& mask, int radius) {
  if (radius < 1) return;
  cv::dilate(mask, mask, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * radius + 1, 2 * radius + 1}));
}

cv::Mat covered_cells(const FoundReference& reference, const PlaneFromGrid& plane_from_grid,
                      const HullGrid& grid) {
  cv::Mat covered = cv::Mat::zeros(grid.rows, grid.cols, CV_8UC1);
  const Eigen::Matrix3d grid_from_plane = plane_from_grid.inverse();
  auto covers = reference.covered;
  if (!reference.sheet.empty()) covers.push_back(reference.sheet);
  for (const auto& polygon : covers) {
    std::vector<cv::Point> outline;
    for (const PixelPoint& p : polygon) {
      const auto mm = reference.plane.mm_from_px(point(p), reference.hull_z());
      if (!mm) continue;
      const Point2 cell = grid.cell_of(moved(grid_from_plane, *mm));
      outline.emplace_back(static_cast<int>(std::lround(cell.x())), static_cast<int>(std::lround(cell.y())));
    }
    if (outline.size() > 2)
      cv::fillPoly(covered, std::vector<std::vector<cv::Point>>{outline}, cv::Scalar(255));
  }
  grow(covered, static_cast<int>(std::ceil(kCoverMm / grid.cell_mm)));
  return covered;
}

cv::Mat blown_out_area(cv::Mat blown, double cell_mm) {
  // Single bright cells are noise; an area of them is glare.
  cv::morphologyEx(blown, blown, cv::MORPH_OPEN, cv::Mat::ones(3, 3, CV_8UC1));
  grow(blown, static_cast<int>(std::ceil(1.0 / cell_mm)));
  return blown;
}

// One channel that is blown out leaves two to see by; two are glare.
cv::Mat blown_out(const cv::Mat& bgr, double cell_mm) {
  std::array<cv::Mat, 3> c;
  cv::split(bgr, c.data());
  const cv::Mat low = cv::min(c[0], c[1]), high = cv::max(c[0], c[1]), middle = cv::min(high, c[2]);
  const cv::Mat second = cv::max(low, middle);
  return blown_out_area(second >= kBlownOut, cell_mm);
}

}  // namespace

HullGrid HullGrid::about_opening(double cell_mm) {
  const int n = 2 * static_cast<int>(std::ceil(kHullReachMm / cell_mm)) + 1;
  return {cell_mm, n, n};
}

HullGrid HullGrid::part(const cv::Rect& cells, double margin_mm, double part_cell_mm) const {
  const auto count = [&](int n) {
    return static_cast<int>(std::ceil((n * cell_mm + 2 * margin_mm) / part_cell_mm)) + 1;
  };
  return {part_cell_mm, count(cells.width), count(cells.height),
          mm_of(cells.x + 0.5 * (cells.width - 1), cells.y + 0.5 * (cells.height - 1))};
}

cv::Mat luma_of(const cv::Mat& log_light) {
  cv::Mat out;
  cv::transform(log_light, out, cv::Matx13f(0.114F, 0.587F, 0.299F));
  return out;
}

cv::Mat blurred(const cv::Mat& of, double sigma_cells) {
  cv::Mat out;
  cv::GaussianBlur(of, out, cv::Size(), sigma_cells, sigma_cells, cv::BORDER_CONSTANT);
  return out;
}

cv::Mat widely_blurred(const cv::Mat& of, double sigma_cells) {
  constexpr double kCoarseSigma = 2;
  const int shrink = std::max(1, static_cast<int>(sigma_cells / kCoarseSigma));
  // A whole number of cells in each coarse one: averaged several times quicker.
  const int cols = (of.cols + shrink - 1) / shrink, rows = (of.rows + shrink - 1) / shrink;
  cv::Mat out;
  cv::copyMakeBorder(of, out, 0, rows * shrink - of.rows, 0, cols * shrink - of.cols, cv::BORDER_CONSTANT);
  cv::resize(out, out, cv::Size(cols, rows), 0, 0, cv::INTER_AREA);
  out = blurred(out, sigma_cells / shrink);
  cv::resize(out, out, cv::Size(cols * shrink, rows * shrink), 0, 0, cv::INTER_LINEAR);
  return out(cv::Rect(0, 0, of.cols, of.rows));
}

cv::Mat opening_cells(const HullGrid& grid, double radius_mm) {
  cv::Mat out = cv::Mat::zeros(grid.rows, grid.cols, CV_8UC1);
  const Point2 middle = grid.cell_of(Point2::Zero());
  const cv::Point cell(static_cast<int>(std::lround(middle.x())), static_cast<int>(std::lround(middle.y())));
  cv::circle(out, cell, static_cast<int>(std::ceil(radius_mm / grid.cell_mm)), cv::Scalar(255), cv::FILLED);
  return out;
}

Point2 moved(const Eigen::Matrix3d& homography, const Point2& from) {
  return (homography * from.homogeneous()).hnormalized();
}

Point2 px_of(const FoundReference& reference, const PlaneFromGrid& plane_from_grid, const Point2& mm) {
  const Point2 at = moved(plane_from_grid, mm);
  return reference.plane.px_from_mm(Point3(at.x(), at.y(), reference.hull_z()));
}

cv::Mat cells_px(const FoundReference& reference, const PlaneFromGrid& plane_from_grid,
                 const HullGrid& grid) {
  return interpolated_map({grid.cols, grid.rows}, [&](double col, double row) {
    return px_of(reference, plane_from_grid, grid.mm_of(col, row));
  });
}

HullColour hull_colour(const Picture::Pixels& pixels, const FoundReference& reference,
                       const PlaneFromGrid& plane_from_grid, const HullGrid& grid) {
  const cv::Mat px = cells_px(reference, plane_from_grid, grid);
  const double fineness = px_per_cell(reference, plane_from_grid, grid);
  const std::array<cv::Mat, 3> channel{luma_level(pixels, fineness).on(px, 0),
                                       Level{pixels.cr, 2, 0.5}.on(px, 128),
                                       Level{pixels.cb, 2, 0.5}.on(px, 128)};
  HullColour out;
  cv::merge(channel.data(), channel.size(), out.bgr);
  cv::cvtColor(out.bgr, out.bgr, cv::COLOR_YCrCb2BGR);
  out.inside = inside_of(px, pixels.grey.size());
  return out;
}

HullLuma hull_luma(const Picture::Pixels& pixels, const FoundReference& reference,
                   const PlaneFromGrid& plane_from_grid, const HullGrid& grid) {
  const cv::Mat px = cells_px(reference, plane_from_grid, grid);
  const cv::Mat coded = luma_level(pixels, px_per_cell(reference, plane_from_grid, grid)).on(px, 0);
  HullLuma out;
  out.log_light = log_light_of(coded);
  out.seen = inside_of(px, pixels.grey.size()) & ~covered_cells(reference, plane_from_grid, grid) &
             ~blown_out_area(coded >= kBlownOut, grid.cell_mm);
  return out;
}

HullView hull_view(const Picture::Pixels& pixels, const FoundReference& reference,
                   const PlaneFromGrid& plane_from_grid, const HullGrid& grid) {
  const HullColour colour = hull_colour(pixels, reference, plane_from_grid, grid);
  HullView out;
  out.grid = grid;
  out.log_light = log_light_of(colour.bgr);
  out.seen =
      colour.inside & ~covered_cells(reference, plane_from_grid, grid) & ~blown_out(colour.bgr, grid.cell_mm);
  return out;
}

}  // namespace spile::vision
