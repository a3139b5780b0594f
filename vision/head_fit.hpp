// A fitting's head as two circles about one axis at their heights over the hull, fitted to the edges seen of
// it; for this folder only. Lengths in mm.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/fitting_search.hpp"
#include "vision/least_squares.hpp"

namespace spile::vision {

struct Head {
  enum Unknown { X, Y, Radius, RimHeight, BoreRadius, BoreHeight, OffX, OffY, Foot, kUnknowns };
};

// A mushroom head's outer edge is a short cylinder on the hull and its bore begins at the top of the dome. A
// flat flange is a plate: both edges lie on its face.
enum class HeadKind { Mushroom, Flat };

struct HeadEdges {
  std::vector<Point2> flange, foot, bore;  // pixels; the foot is that of a plate, below its face
};

// Both rims at once: they share an axis, so that the parallax between them tells how high the bore's edge is,
// and the flange's near and far side, or its foot, how high its rim.
class HeadFit {
 public:
  HeadFit(HeadKind kind, HeadEdges edges, const FittingRings& seen);

  [[nodiscard]] LeastSquaresResult solve(const Plane& plane, double hull_z, int iterations) const;
  void start_from(const Eigen::VectorXd& x) { start_ = x; }

  // Where a small change of the plane or its height would move the solution, to first order.
  [[nodiscard]] double moved(const LeastSquaresResult& solved, const Plane& plane, double hull_z,
                             Head::Unknown which) const;

  // The scatter each rim shows about the fit, so that the next fit weighs them by it; no less than `least`.
  void weigh(const Plane& plane, double hull_z, double least);
  void weigh_as(const HeadFit& other);
  // Of the edges both kinds are judged by, and of the heights: sum of squares; and the logarithm of the
  // density of what is expected of the heights, but for what is common to both kinds.
  [[nodiscard]] double misfit(const LeastSquaresResult& solved) const;
  [[nodiscard]] double log_prior() const;
  [[nodiscard]] double rim_u() const { return rim_u_; }
  [[nodiscard]] bool has_bore() const { return !edges_.bore.empty(); }
  [[nodiscard]] bool has_foot() const { return !edges_.foot.empty(); }
  [[nodiscard]] HeadKind kind() const { return kind_; }

 private:
  struct Lit {
    Point3 eye;
    double hull_z;
    std::vector<Point2> flange, foot, bore;  // mm, as if they lay on the hull
  };
  [[nodiscard]] Lit lit_by(const Plane& plane, double hull_z) const;
  [[nodiscard]] Eigen::VectorXd residuals(const Lit& lit, const Eigen::VectorXd& x) const;

  HeadKind kind_;
  HeadEdges edges_;
  Eigen::VectorXd start_;
  double rim_u_ = 0.2, bore_u_ = 0.2;
};

// A circle at a height, as its shadow from the camera falls on the hull.
[[nodiscard]] Circle shadow_of(const Point3& eye, double hull_z, const Circle& circle, double height);

}  // namespace spile::vision
