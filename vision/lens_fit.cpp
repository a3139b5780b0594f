#include "vision/lens_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/least_squares.hpp"

namespace spile::vision {
namespace {

constexpr Eigen::Index kLens = 5, kPose = 6, kPriorRows = 5;
constexpr double kHuber = 3;  // standard deviations of a corner's distance up to which it counts in full

Plane::Vector change_of(const Eigen::VectorXd& x, std::size_t view) {
  Plane::Vector change;
  change << x.segment<kPose>(kLens + kPose * static_cast<Eigen::Index>(view)), x.head<kLens>();
  return change;
}

Eigen::Index rows_of(const BoardView& view) {
  return 2 * static_cast<Eigen::Index>(view.px.size());
}

class Problem {
 public:
  Problem(const std::vector<BoardView>& views, std::vector<Plane> start, double diagonal)
      : views_(views), start_(std::move(start)), diagonal_(diagonal) {}

  double sigma = 1;  // px

  [[nodiscard]] Plane plane(const Eigen::VectorXd& x, std::size_t view) const {
    return start_[view].moved(change_of(x, view));
  }

  [[nodiscard]] Eigen::VectorXd operator()(const Eigen::VectorXd& x) const {
    Eigen::VectorXd r(rows() + kPriorRows);
    Eigen::Index row = 0;
    for (std::size_t v = 0; v < views_.size(); ++v) {
      const Plane at = plane(x, v);
      for (std::size_t i = 0; i < views_[v].px.size(); ++i, row += 2) {
        const Point2& b = views_[v].board[i];
        r.segment<2>(row) = tamed((views_[v].px[i] - at.px_from_mm(Point3(b.x(), b.y(), 0))) / sigma);
      }
    }
    r.tail<kPriorRows>() = weak_prior(plane(x, 0));
    return r;
  }

  [[nodiscard]] Eigen::Index rows() const {
    Eigen::Index sum = 0;
    for (const BoardView& view : views_) sum += rows_of(view);
    return sum;
  }

  [[nodiscard]] Eigen::VectorXd steps() const {
    Eigen::VectorXd step(kLens + kPose * static_cast<Eigen::Index>(views_.size()));
    step.head<kLens>() << 1e-6, 1e-6, 1e-6, 1e-3, 1e-3;
    for (std::size_t v = 0; v < views_.size(); ++v) {
      const double shift = 1e-6 * start_[v].origin.z();
      step.segment<kPose>(kLens + kPose * static_cast<Eigen::Index>(v)) << 1e-6, 1e-6, 1e-6, shift, shift,
          shift;
    }
    return step;
  }

 private:
  static Point2 tamed(const Point2& r) {
    const double d = r.norm();
    return d <= kHuber ? r : Point2(r * (std::sqrt(kHuber * (2 * d - kHuber)) / d));
  }

  // What lenses short of a fisheye have, so wide that it only decides what the photos leave open.
  [[nodiscard]] Eigen::Matrix<double, kPriorRows, 1> weak_prior(const Plane& at) const {
    const Plane& from = start_.front();
    Eigen::Matrix<double, kPriorRows, 1> r;
    r << std::log(at.focal_px / from.focal_px) / 0.5, at.k1 / 0.2, at.k2 / 0.05,
        (at.centre - from.centre) / (0.05 * diagonal_);
    return r;
  }

  const std::vector<BoardView>& views_;
  std::vector<Plane> start_;
  double diagonal_;
};

// A standard deviation per coordinate that a few wild corners do not raise: the median distance of a round
// normal scatter is 1.1774 of it.
double robust_sigma(const Problem& problem, const std::vector<BoardView>& views, const Eigen::VectorXd& x) {
  std::vector<double> distances;
  for (std::size_t v = 0; v < views.size(); ++v) {
    const Plane at = problem.plane(x, v);
    for (std::size_t i = 0; i < views[v].px.size(); ++i) {
      const Point2& b = views[v].board[i];
      distances.push_back((views[v].px[i] - at.px_from_mm(Point3(b.x(), b.y(), 0))).norm());
    }
  }
  const auto middle = distances.begin() + static_cast<std::ptrdiff_t>(distances.size() / 2);
  std::nth_element(distances.begin(), middle, distances.end());
  const double rows = static_cast<double>(problem.rows()), unknowns = static_cast<double>(x.size());
  return std::max(1e-3, *middle / 1.1774 * std::sqrt(rows / std::max(1.0, rows - unknowns)));
}

// What the lens becomes with one photo left out, to first order: its rows and its pose drop out of the normal
// equations.
LensFit::Vector lens_without(const LeastSquaresResult& solved, const Eigen::MatrixXd& normal,
                             Eigen::Index view, Eigen::Index first, Eigen::Index count) {
  const auto rows = solved.jacobian.middleRows(first, count);
  const Eigen::Index pose = kLens + kPose * view;
  Eigen::MatrixXd left = normal - rows.transpose() * rows;
  Eigen::VectorXd gradient = solved.jacobian.transpose() * solved.residuals;
  gradient -= rows.transpose() * solved.residuals.segment(first, count);
  left.middleRows(pose, kPose).setZero();
  left.middleCols(pose, kPose).setZero();
  left.diagonal().segment(pose, kPose).setOnes();
  gradient.segment(pose, kPose).setZero();
  const Eigen::VectorXd scale = left.diagonal().cwiseSqrt().cwiseInverse();
  const Eigen::MatrixXd scaled = scale.asDiagonal() * left * scale.asDiagonal();
  const Eigen::VectorXd change = scale.asDiagonal() * scaled.ldlt().solve(-(scale.asDiagonal() * gradient));
  return change.head<kLens>();
}

// The delete-one-photo jackknife beside the covariance from the corners' scatter (Efron & Tibshirani, An
// Introduction to the Bootstrap, ch. 11; from memory), as one ratio: with few photos the jackknife's own
// matrix is too ragged to be used as it is.
double disagreement_of(const LeastSquaresResult& solved, const std::vector<BoardView>& views,
                       const LensFit::Matrix& plain) {
  const Eigen::MatrixXd normal = solved.jacobian.transpose() * solved.jacobian;
  std::vector<LensFit::Vector> without;
  LensFit::Vector mean = LensFit::Vector::Zero();
  Eigen::Index first = 0;
  for (std::size_t v = 0; v < views.size(); ++v) {
    without.push_back(lens_without(solved, normal, static_cast<Eigen::Index>(v), first, rows_of(views[v])));
    mean += without.back() / static_cast<double>(views.size());
    first += rows_of(views[v]);
  }
  const double n = static_cast<double>(views.size());
  LensFit::Matrix jackknife = LensFit::Matrix::Zero();
  for (const auto& one : without) jackknife += (n - 1) / n * (one - mean) * (one - mean).transpose();
  const double ratio = (plain.ldlt().solve(jackknife)).trace() / static_cast<double>(kLens);
  return std::sqrt(std::max(1.0, ratio));
}

}  // namespace

std::vector<Point2> LensFit::residuals(std::size_t view, const BoardView& seen) const {
  std::vector<Point2> out;
  for (std::size_t i = 0; i < seen.px.size(); ++i)
    out.push_back(seen.px[i] - planes[view].px_from_mm(Point3(seen.board[i].x(), seen.board[i].y(), 0)));
  return out;
}

std::optional<LensFit> fit_lens(const std::vector<BoardView>& views, const CameraPrior& start) {
  std::vector<Plane> planes;
  CameraPrior prior = start;
  prior.focal_from_exif = true;  // one focal length for all views
  for (const BoardView& view : views) {
    const auto plane = plane_from_points(view.board, view.px, prior);
    if (!plane) return std::nullopt;
    planes.push_back(*plane);
  }
  Problem problem(views, planes, 2 * start.centre.norm());
  const Eigen::VectorXd step = problem.steps();
  Eigen::VectorXd x = Eigen::VectorXd::Zero(step.size());
  LeastSquaresResult solved;
  for (const int rounds : {60, 30, 30}) {
    solved = least_squares(problem, x, step, rounds);
    x = solved.x;
    problem.sigma = robust_sigma(problem, views, x);
  }
  solved = least_squares(problem, x, step, 30);
  LensFit out;
  out.converged = solved.converged;
  out.sigma_px = problem.sigma;
  out.disagreement = disagreement_of(solved, views, solved.covariance.topLeftCorner<kLens, kLens>());
  problem.sigma *= out.disagreement;
  solved = least_squares(problem, solved.x, step, 30);
  for (std::size_t v = 0; v < views.size(); ++v) out.planes.push_back(problem.plane(solved.x, v));
  out.covariance = solved.covariance.topLeftCorner<kLens, kLens>();
  return out;
}

}  // namespace spile::vision
