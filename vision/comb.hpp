// Evenly spaced marks along a straight edge, as a rule's graduations show in a picture, before anything is
// known of the plane they lie in; for this folder only. All lengths in pixels.
#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <vector>

namespace spile::vision {

struct Comb {
  Eigen::Vector2d foot = Eigen::Vector2d::Zero();  // on the edge, in the middle of the stretch seen
  Eigen::Vector2d along = Eigen::Vector2d::UnitX();
  Eigen::Vector2d into = Eigen::Vector2d::UnitY();  // towards the marks; along turned so that y would be up
  double length = 0;                                // of the stretch in which the marks are even
  double period = 0;                                // at the foot
  double period_slope = 0;                          // change of the period per pixel along
  double evenness = 0;                              // share of the brightness pattern that is periodic, 0..1
};

// The longest and most even first. `grey` is coded, 8 bit.
[[nodiscard]] std::vector<Comb> find_combs(const cv::Mat& grey, std::size_t at_most);

}  // namespace spile::vision
