// One patch on the hull - a stain, a chip - as a single view shows it: its outline, size, contrast and how
// sharp its edge is. For this folder only.
#pragma once

#include <vector>

#include "vision/hull_view.hpp"

namespace spile::vision {

// A patch as one view alone shows it: the cells nearer in colour to its heart than to the hull about it.
struct Patch {
  cv::Mat mask;  // of the whole grid
  double area_mm2 = 0, perimeter_mm = 0;
  double contrast = 0;  // distance in colour, of log light
  cv::Vec3f heart_less_hull;
  double unevenness = 1;  // of the hull about it, standard deviation as a share of the contrast
  double edge_mm = 0;     // how far the change from hull to patch takes
};

// Around `seed`, 255 where the patch is about known to be; `seen` where the hull may be read. Area 0: none
// there.
[[nodiscard]] Patch patch_at(const HullView& view, const cv::Mat& seed, const cv::Mat& seen);

// Where in the earlier view the later patch's colour already was: a part of where the later one is.
[[nodiscard]] cv::Mat seed_before(const HullView& earlier, const Patch& now, const cv::Mat& seen);

[[nodiscard]] std::vector<Point2> outline_of(const cv::Mat& mask, const HullGrid& grid);  // closed, grid mm
// The mask and what lies within so many mm of it.
[[nodiscard]] cv::Mat grown(const cv::Mat& mask, double mm, double cell_mm);

// Area over that of the circle as wide as the outline: 1 for a disc.
[[nodiscard]] double roundness_of(const std::vector<Point2>& outline, double area_mm2);
// How much of the smallest round-cornered shape about it a patch fills: stains are compact, noise is ragged.
[[nodiscard]] double solidity_of(const Patch& patch, double cell_mm);
// How many of sixteen sides of the patch were seen, and from what share of those it stands out: a piece of a
// shadow's edge has a side from which it does not.
struct SidesSeen {
  int told = 0;
  double standing_out = 0;
};
[[nodiscard]] SidesSeen sides_of(const HullView& view, const Patch& patch, const std::vector<Point2>& outline,
                                 const cv::Mat& seen);

}  // namespace spile::vision
