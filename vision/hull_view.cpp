#include "vision/hull_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/light.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr int kLattice = 16;       // cells between two points that are projected; the rest is interpolated
constexpr int kBlownOut = 251;     // coded value from which a channel says nothing any more
constexpr double kDarkest = 2e-3;  // light below this is noise
constexpr double kCoverMm = 2.5;   // about a reference: its edge, its shadow, what it hides of the hull

// Colour at full, half or quarter size, whichever is nearest above the grid's cells.
struct Level {
  cv::Mat bgr;
  double scale = 1, shift = 0;  // of this level's pixels: (full - shift) / scale
};

cv::Mat bgr_of(const cv::Mat& grey, const cv::Mat& cb, const cv::Mat& cr) {
  std::array<cv::Mat, 3> channel{grey, cr, cb};
  for (std::size_t i = 1; i < channel.size(); ++i) {
    if (channel[i].size() != grey.size())
      cv::resize(channel[i], channel[i], grey.size(), 0, 0, cv::INTER_AREA);
  }
  cv::Mat out;
  cv::merge(channel.data(), channel.size(), out);
  cv::cvtColor(out, out, cv::COLOR_YCrCb2BGR);
  return out;
}

Level level_for(const Picture::Pixels& pixels, double px_per_cell) {
  if (px_per_cell < 1.6) return {pixels.colour(), 1, 0};
  if (px_per_cell < 3.2) return {bgr_of(pixels.half(), pixels.cb, pixels.cr), 2, 0.5};
  return {bgr_of(pixels.quarter(), pixels.cb, pixels.cr), 4, 1.5};
}

// Pixel of each cell, by projecting a lattice of them.
cv::Mat projected(const FoundReference& reference, const PlaneFromGrid& plane_from_grid,
                  const HullGrid& grid) {
  const int cols = (grid.cols - 1) / kLattice + 2, rows = (grid.rows - 1) / kLattice + 2;
  cv::Mat coarse(rows, cols, CV_32FC2);
  for (int r = 0; r < rows; ++r) {
    for (int c = 0; c < cols; ++c) {
      const Point2 px = px_of(reference, plane_from_grid, grid.mm_of(c * kLattice, r * kLattice));
      coarse.at<cv::Vec2f>(r, c) = cv::Vec2f(static_cast<float>(px.x()), static_cast<float>(px.y()));
    }
  }
  cv::Mat out;
  const cv::Matx23d to_coarse(1.0 / kLattice, 0, 0, 0, 1.0 / kLattice, 0);
  cv::warpAffine(coarse, out, to_coarse, cv::Size(grid.cols, grid.rows),
                 cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_REPLICATE);
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
  for (const auto& polygon : reference.covered) {
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

// One channel that is blown out leaves two to see by; two are glare.
cv::Mat blown_out(const cv::Mat& bgr, double cell_mm) {
  std::array<cv::Mat, 3> c;
  cv::split(bgr, c.data());
  const cv::Mat low = cv::min(c[0], c[1]), high = cv::max(c[0], c[1]), middle = cv::min(high, c[2]);
  const cv::Mat second = cv::max(low, middle);
  cv::Mat out = second >= kBlownOut;
  // Single bright cells are noise; an area of them is glare.
  cv::morphologyEx(out, out, cv::MORPH_OPEN, cv::Mat::ones(3, 3, CV_8UC1));
  grow(out, static_cast<int>(std::ceil(1.0 / cell_mm)));
  return out;
}

}  // namespace

HullGrid HullGrid::about_opening(double cell_mm) {
  const int n = 2 * static_cast<int>(std::ceil(kHullReachMm / cell_mm)) + 1;
  return {cell_mm, n, n};
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

HullView hull_view(const Picture::Pixels& pixels, const FoundReference& reference,
                   const PlaneFromGrid& plane_from_grid, const HullGrid& grid) {
  const Point2 middle = px_of(reference, plane_from_grid, Point2::Zero());
  const double mm_per_px = reference.plane.mm_per_px(middle, reference.hull_z());
  const Level level = level_for(pixels, grid.cell_mm / mm_per_px);
  const cv::Mat px = projected(reference, plane_from_grid, grid);
  cv::Mat map = (px - cv::Scalar::all(level.shift)) / level.scale;
  HullView out;
  out.grid = grid;
  cv::Mat bgr;
  cv::remap(level.bgr, bgr, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  cv::Mat inside, whole(level.bgr.size(), CV_8UC1, cv::Scalar(255));
  cv::remap(whole, inside, map, cv::noArray(), cv::INTER_NEAREST, cv::BORDER_CONSTANT);
  out.log_light = log_light_of(bgr);
  out.seen = inside & ~covered_cells(reference, plane_from_grid, grid) & ~blown_out(bgr, grid.cell_mm);
  return out;
}

}  // namespace spile::vision
