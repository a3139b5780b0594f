#include "vision/cut_face.hpp"

#include <algorithm>
#include <cmath>

#include "vision/least_squares.hpp"
#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr std::size_t kFewestPoints = 4;
constexpr double kCorrelated = 3;  // neighbouring places share the waviness of the layers
constexpr double kPlugRadius = 25, kPlugSpread = 0.45;  // mm, log: hole saws for through-hulls
// How much better the cylinder must fit, and how much of its side can be seen: a lens and waviness bend a
// sawn panel's lines a little too.
constexpr double kPlugGain = 0.75, kPlugSmallest = 12, kPlugLargest = 60, kPlugSeen = 0.97,
                 kPlugCovered = 0.8;

// The side of a cylinder whose axis lies square to the layers, its crest touching the plane at `crest`.
struct Cylinder {
  double lean = 0;
  double radius = 0;  // 0: flat
  double crest = 0;

  // Where the point lies across the layers when the ray to it is followed down to the cylinder.
  [[nodiscard]] double across(const BoundaryPoint& p, const Point3& eye) const {
    const double n = std::sqrt(1 + lean * lean);
    const double t = (p.u - lean * p.v) / n, w = (lean * p.u + p.v) / n;
    if (radius <= 0) return t;
    const double te = (eye.x() - lean * eye.y()) / n, we = (lean * eye.x() + eye.y()) / n;
    double sag = 0;
    for (int i = 0; i < 8; ++i) {
      const double at = we + (w - we) * (eye.z() + sag) / eye.z() - crest;
      const double inside = radius * radius - std::min(at * at, 0.97 * radius * radius);
      sag = radius - std::sqrt(inside);
    }
    return te + (t - te) * (eye.z() + sag) / eye.z();
  }
};

struct Solved {
  Cylinder shape;
  std::vector<double> positions;
  std::vector<double> misses;  // one for each point
  double square = 0;           // sum of squares, in units of the scatter assumed
  double u_stretch = 0;        // relative, of every distance, from not knowing the cylinder well
};

// Positions are the medians of their points, so a stretch of a wrong edge moves nothing.
Solved with_shape(const std::vector<BoundaryPoint>& points, std::size_t boundaries, const Point3& eye,
                  const Cylinder& shape) {
  Solved out;
  out.shape = shape;
  std::vector<std::vector<double>> each(boundaries);
  std::vector<double> across;
  for (const BoundaryPoint& p : points) {
    across.push_back(shape.across(p, eye));
    each[p.boundary].push_back(across.back());
  }
  for (const auto& values : each) out.positions.push_back(values.empty() ? 0 : median(values));
  for (std::size_t i = 0; i < points.size(); ++i)
    out.misses.push_back(across[i] - out.positions[points[i].boundary]);
  return out;
}

Eigen::VectorXd huber(const Solved& solved, double scale, const Eigen::VectorXd& further) {
  Eigen::VectorXd r(static_cast<Eigen::Index>(solved.misses.size()) + further.size());
  for (std::size_t i = 0; i < solved.misses.size(); ++i) {
    const double z = solved.misses[i] / scale, a = std::abs(z);
    // The square root of Huber's loss, so that squares of it are summed.
    r[static_cast<Eigen::Index>(i)] = a <= 1.5 ? z : std::copysign(std::sqrt(3 * a - 2.25), z);
  }
  r.tail(further.size()) = further;
  return r;
}

double scatter_of(const Solved& solved) {
  std::vector<double> size;
  for (const double miss : solved.misses) size.push_back(std::abs(miss));
  return std::max(0.01, 1.4826 * median(size));
}

Solved fit_flat(const std::vector<BoundaryPoint>& points, std::size_t boundaries, const Point3& eye,
                double scale) {
  const auto at = [&](const Eigen::VectorXd& x) {
    return with_shape(points, boundaries, eye, Cylinder{x[0], 0, 0});
  };
  const auto result =
      least_squares([&](const Eigen::VectorXd& x) { return huber(at(x), scale, Eigen::VectorXd(0)); },
                    Eigen::VectorXd::Zero(1), Eigen::VectorXd::Constant(1, 1e-4));
  Solved out = at(result.x);
  out.square = result.residuals.squaredNorm();
  return out;
}

Solved fit_plug(const std::vector<BoundaryPoint>& points, std::size_t boundaries, const Point3& eye,
                double scale, const Cylinder& from) {
  const auto at = [&](const Eigen::VectorXd& x) {
    return with_shape(points, boundaries, eye, Cylinder{x[0], kPlugRadius * std::exp(x[1]), x[2]});
  };
  const auto residuals = [&](const Eigen::VectorXd& x) {
    return huber(at(x), scale, Eigen::VectorXd::Constant(1, x[1] / kPlugSpread));
  };
  Eigen::VectorXd start(3), step(3);
  start << from.lean, std::log(from.radius / kPlugRadius), from.crest;
  step << 1e-4, 1e-3, 1e-2;
  const auto result = least_squares(residuals, start, step);
  Solved out = at(result.x);
  out.square = result.residuals.squaredNorm();
  const auto length = [&](const Eigen::VectorXd& x) {
    const Solved moved = at(x);
    return std::log(std::abs(moved.positions.back() - moved.positions.front()));
  };
  Eigen::Vector3d slope;
  for (int i = 0; i < 3; ++i) {
    Eigen::VectorXd more = result.x, less = result.x;
    more[i] += 10 * step[i];
    less[i] -= 10 * step[i];
    slope[i] = (length(more) - length(less)) / (20 * step[i]);
  }
  out.u_stretch = std::sqrt(std::max(0.0, kCorrelated * slope.dot(result.covariance * slope)));
  return out;
}

// Whether the boundaries seen from v_low to v_high may lie on such a plug: its crest may be hidden under the
// reference, and nothing shows of it below its widest.
bool plug_like(const Cylinder& shape, double v_low, double v_high) {
  const double r = shape.radius;
  return r > kPlugSmallest && r < kPlugLargest && shape.crest > v_low - kPlugCovered * r &&
         shape.crest < v_high && shape.crest - v_low < kPlugSeen * r && v_high - shape.crest < kPlugSeen * r;
}

}  // namespace

std::optional<CutFace> fit_cut_face(const std::vector<BoundaryPoint>& points, std::size_t boundaries,
                                    const Point3& eye) {
  std::vector<std::size_t> count(boundaries, 0);
  double v_low = 1e9, v_high = -1e9;
  for (const BoundaryPoint& p : points) {
    ++count[p.boundary];
    v_low = std::min(v_low, p.v);
    v_high = std::max(v_high, p.v);
  }
  for (const std::size_t n : count)
    if (n < kFewestPoints) return std::nullopt;
  Solved best = fit_flat(points, boundaries, eye, 0.1);
  double scale = scatter_of(best);
  best = fit_flat(points, boundaries, eye, scale);
  const double flat_lean = best.shape.lean, flat = best.square;
  for (const double crest : {v_low, 0.5 * (v_low + v_high), v_low - 8}) {
    const Solved plug = fit_plug(points, boundaries, eye, scale, {flat_lean, kPlugRadius, crest});
    if (!plug_like(plug.shape, v_low, v_high) || plug.square > kPlugGain * flat) continue;
    if (best.shape.radius <= 0 || plug.square < best.square) best = plug;
  }
  if (best.shape.radius > 0) {
    const Solved again = fit_plug(points, boundaries, eye, scatter_of(best), best.shape);
    if (plug_like(again.shape, v_low, v_high)) best = again;
  }
  CutFace face;
  face.u_stretch = std::isfinite(best.u_stretch) ? best.u_stretch : 0;
  face.lean = best.shape.lean;
  face.positions = best.positions;
  if (best.shape.radius > 0) face.plug_radius_mm = best.shape.radius;
  face.crest = best.shape.crest;
  face.scatter_mm = scatter_of(best);
  face.misses = best.misses;
  for (std::size_t b = 0; b < boundaries; ++b) {
    std::vector<double> size, doubt;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (points[i].boundary != b) continue;
      size.push_back(std::abs(best.misses[i]));
      doubt.push_back(points[i].doubt);
    }
    // A median's standard deviation is 1.25 times a mean's.
    const double scatter =
        1.25 * std::max(0.01, 1.4826 * median(size)) * std::sqrt(kCorrelated / static_cast<double>(count[b]));
    face.u.push_back(std::hypot(scatter, median(doubt)));
  }
  return face;
}

}  // namespace spile::vision
