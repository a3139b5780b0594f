// One lens and the pose of the board in each photo, fitted together to the corners seen; for this folder
// only.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "vision/plane.hpp"

namespace spile::vision {

struct BoardView {
  std::vector<Point2> board;  // in squares, y up
  std::vector<Point2> px;
};

struct LensFit {
  // log focal, k1, k2, principal point (px), as in Plane::Unknown from LogFocal on.
  using Vector = Eigen::Matrix<double, 5, 1>;
  using Matrix = Eigen::Matrix<double, 5, 5>;

  std::vector<Plane> planes;  // one a view, all with the same lens; lengths in squares
  Matrix covariance = Matrix::Zero();
  double sigma_px = 0;  // of one coordinate of one corner
  // How much more the photos disagree among each other than their corners' scatter explains (a board that is
  // not flat, a lens that moved), as a ratio of standard uncertainties >= 1; it is in the covariance.
  double disagreement = 1;
  bool converged = false;

  [[nodiscard]] std::vector<Point2> residuals(std::size_t view, const BoardView& seen) const;
};

// A least-squares fit that a few wild corners do not move (Huber). `start`: the lens to begin with, its
// principal point and focal length above all. Nothing when a view is degenerate.
[[nodiscard]] std::optional<LensFit> fit_lens(const std::vector<BoardView>& views, const CameraPrior& start);

}  // namespace spile::vision
