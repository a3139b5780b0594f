// Which of the edges near what a person placed is meant: a curve of few unknowns, held by the points as far
// as they were placed well, on which edges lie; and how likely another one is. For this folder only.
#pragma once

#include <Eigen/Core>
#include <vector>

namespace spile::vision {

// An edge of the picture on one normal of the curve: it lies on the curve x where row . x is its place.
// Places and unknowns are in one unit, whichever.
struct VotingEdge {
  std::size_t normal = 0;
  Eigen::VectorXd row;
  double place = 0;
  double voice = 0;   // 0..1
  double offset = 0;  // px along the normal, for whoever asked
};

struct EdgeVote {
  Eigen::VectorXd start;  // as placed
  Eigen::MatrixXd hold;   // inverse covariance of the placing
  Eigen::Index free = 2;  // the first so many unknowns are told by as many edges
  double on = 1;          // an edge this near lies on a curve
  std::size_t normals = 0;
  std::vector<VotingEdge> edges;
};

struct LikelyCurve {
  Eigen::VectorXd x;
  double log_weight = 0;
  double support = 0;  // share of the normals with an edge on it, 0..1
};

// The voice of an edge of that many coded values.
[[nodiscard]] double voice_of(double contrast);

// Curves that may be meant, likeliest first, no two alike; at least the placed one.
[[nodiscard]] std::vector<LikelyCurve> likely_curves(const EdgeVote& vote);

// Below this support a curve is no edge to speak of.
inline constexpr double kLeastVote = 0.4;

}  // namespace spile::vision
