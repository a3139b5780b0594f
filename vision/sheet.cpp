#include "vision/sheet.hpp"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/quadrilaterals.hpp"
#include "vision/straight_edge.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr double kLeastSidePx = 90;
constexpr double kSideFloorPx = 0.25,
                 kGrowthPx = 0.2;  // of a stretch of side; of all sides alike (tone, sharpening)
constexpr double kBadFit = 9;      // mean square of the residuals
constexpr double kClearly = 25;    // difference of squares by which one way round is told from the other
constexpr int kBins = 6;
constexpr double kSteepestDeg = 60;  // nobody lays a card down and photographs it so

// Sizes and tolerances from memory: ISO/IEC 7810 (ID-1) and ISO 216 (A series).
struct Make {
  double height_mm, u_height_mm, u_size_mm;
};
Make make_of(const SquareReference& sheet) {
  const double longer = std::max(sheet.width_mm, sheet.height_mm),
               shorter = std::min(sheet.width_mm, sheet.height_mm);
  if (std::abs(longer - 85.6) < 0.3 && std::abs(shorter - 53.98) < 0.3) return {0.76, 0.15, 0.05};
  return {0.1, 0.4, 0.4};  // paper does not lie quite flat and is cut to within a millimetre or so
}

struct Side {
  std::size_t index = 0;
  EdgePoint seen;
};

// Points along the four sides, from corner to corner; empty where a side cannot be made out.
std::vector<Side> trace_sides(const LightView& view, const Quadrilateral& quad, double reach) {
  std::vector<Side> best;
  double clearest = 0;
  for (const int sign : {1, -1}) {
    std::vector<Side> sides;
    double contrast = 0;
    int found = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      EdgeTrace trace;
      trace.reach = reach;
      trace.trim = 0.13;
      trace.count = 60;
      trace.contrast = 8;
      const auto points = trace_edge(view, quad[i], quad[(i + 1) % 4], sign, trace);
      for (const EdgePoint& p : gathered(points, kBins, kSideFloorPx)) {
        sides.push_back({i, p});
        contrast += p.contrast;
      }
      found += points.empty() ? 0 : 1;
    }
    if (found == 4 && contrast > clearest) {
      clearest = contrast;
      best = std::move(sides);
    }
  }
  return best;
}

std::optional<Quadrilateral> corners_of(const std::vector<Side>& sides) {
  std::array<Eigen::Vector3d, 4> line;
  for (std::size_t i = 0; i < 4; ++i) {
    Point2 mean = Point2::Zero();
    double n = 0;
    for (const Side& s : sides) {
      if (s.index != i) continue;
      mean += s.seen.px;
      n += 1;
    }
    if (n < 2) return std::nullopt;
    mean /= n;
    Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
    for (const Side& s : sides)
      if (s.index == i) spread += (s.seen.px - mean) * (s.seen.px - mean).transpose();
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver(spread);
    const Point2 normal = solver.eigenvectors().col(0);
    line[i] << normal, -normal.dot(mean);
  }
  Quadrilateral out;
  for (std::size_t i = 0; i < 4; ++i) {
    const Eigen::Vector3d p = line[(i + 3) % 4].cross(line[i]);
    if (std::abs(p.z()) < 1e-9) return std::nullopt;
    out[i] = p.head<2>() / p.z();
  }
  return out;
}

std::array<Point2, 4> corners_mm(double width, double height) {
  return {Point2(-width / 2, height / 2), Point2(width / 2, height / 2), Point2(width / 2, -height / 2),
          Point2(-width / 2, -height / 2)};
}

struct Laid {
  PlaneFit fit;
  double misfit = 0;  // mean square of the residuals
  double cost = 0;    // sum of squares, the focal length's too
};

// The sheet laid so that its first corner is the quadrilateral's corner `turn`.
std::optional<Laid> laid(const std::vector<Side>& sides, const Quadrilateral& quad,
                         const SquareReference& sheet, std::size_t turn, const CameraPrior& prior,
                         const char* term) {
  const auto mm = corners_mm(sheet.width_mm, sheet.height_mm);
  std::vector<Point2> from, to;
  for (std::size_t i = 0; i < 4; ++i) {
    from.push_back(mm[i]);
    to.push_back(quad[(i + turn) % 4]);
  }
  const auto start = plane_from_points(from, to, prior);
  if (!start) return std::nullopt;
  const auto n = static_cast<Eigen::Index>(sides.size());
  const auto residuals = [&](const Plane& plane, const Eigen::VectorXd& growth) {
    Eigen::VectorXd r(n + 1);
    for (Eigen::Index k = 0; k < n; ++k) {
      const Side& side = sides[static_cast<std::size_t>(k)];
      const std::size_t i = (side.index + 4 - turn) % 4;
      const Point2 a = mm[i], along = (mm[(i + 1) % 4] - a).normalized();
      const auto at = plane.mm_from_px(side.seen.px);
      const Point2 foot = at ? Point2(a + along * along.dot(*at - a)) : a;
      const Point2 away = side.seen.px - plane.px_from_mm(Point3(foot.x(), foot.y(), 0));
      r[k] = (side.seen.normal.dot(away) - growth[0]) / side.seen.u;
    }
    r[n] = growth[0] / kGrowthPx;
    return r;
  };
  Laid out{
      fit_plane(*start, prior, residuals, Eigen::VectorXd::Zero(1), Eigen::VectorXd::Constant(1, 1e-4), term),
      0, 0};
  const double square = residuals(out.fit.plane, out.fit.extra).squaredNorm();
  out.misfit = square / static_cast<double>(n);
  out.cost = square + std::pow(std::log(out.fit.plane.focal_px / prior.focal_px) / prior.u_log_focal, 2);
  return out;
}

struct Fitted {
  Laid laid;
  Quadrilateral quad;
  double blur_px = 0;
};

enum class Fit { Bad, EitherWay, Good };

struct Tried {
  Fit fit = Fit::Bad;
  std::optional<Fitted> fitted;
};

Tried fit_to(const Picture::Pixels& pixels, const SquareReference& sheet, const Quadrilateral& rough,
             double reach, const char* term) {
  const LightView view(pixels.grey);
  Quadrilateral quad = rough;
  std::vector<Side> sides;
  for (const double room : {reach, 4.0}) {
    sides = trace_sides(view, quad, room);
    const auto corners = sides.empty() ? std::nullopt : corners_of(sides);
    if (!corners) return {};
    quad = *corners;
  }
  const CameraPrior prior = camera_prior(pixels.info);
  const auto one = laid(sides, quad, sheet, 0, prior, term), other = laid(sides, quad, sheet, 1, prior, term);
  const bool square = std::abs(sheet.width_mm / sheet.height_mm - 1) < 0.01;
  const auto* best = !other || square || (one && one->cost < other->cost) ? &one : &other;
  if (!*best || (*best)->misfit > kBadFit) return {};
  double blur = 0;
  for (const Side& s : sides) blur += s.seen.blur / static_cast<double>(sides.size());
  const auto fits = [](const std::optional<Laid>& l) {
    return l && l->misfit <= kBadFit && l->fit.plane.tilt_deg() < kSteepestDeg;
  };
  const bool either = !square && fits(one) && fits(other) && std::abs(one->cost - other->cost) < kClearly;
  return {either ? Fit::EitherWay : Fit::Good, Fitted{**best, quad, blur}};
}

FoundReference described(const Fitted& fitted, const SquareReference& sheet, bool by_hand) {
  const Make make = make_of(sheet);
  FoundReference out;
  out.kind = "square";
  out.plane = fitted.laid.fit.plane;
  out.height_mm = make.height_mm;
  out.u_height_mm = make.u_height_mm;
  out.scale_doubts = {{"sheet's size", make.u_size_mm / std::min(sheet.width_mm, sheet.height_mm)}};
  for (const Point2& p : fitted.quad) out.outline.push_back(pixel(p));
  out.covered = {out.outline};
  out.blur_px = fitted.blur_px;
  out.by_hand = by_hand;
  return out;
}

tl::unexpected<Refusal> not_seen(const SquareReference& sheet) {
  return refuse(
      "no-reference",
      fmt::format("No sheet or card of {:g} x {:g} mm was found. Lay it flat beside the opening, all of it "
                  "in view and in another tone than what it lies on, or click on it or on its corners.",
                  sheet.width_mm, sheet.height_mm));
}

// As a person placed its corners, where no sides are seen nearby.
Expected<FoundReference> as_placed(const Picture::Pixels& pixels, const SquareReference& sheet,
                                   const Quadrilateral& quad, double placed_px) {
  std::vector<Side> sides;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point2 a = quad[i], b = quad[(i + 1) % 4], along = (b - a).normalized();
    for (const Point2& p : {a, b}) sides.push_back({i, {p, {-along.y(), along.x()}, placed_px, 0, 0}});
  }
  const CameraPrior prior = camera_prior(pixels.info);
  const auto one = laid(sides, quad, sheet, 0, prior, "corners placed by hand");
  const auto other = laid(sides, quad, sheet, 1, prior, "corners placed by hand");
  if (!one && !other) return not_seen(sheet);
  const bool first = !other || (one && one->cost <= other->cost);
  FoundReference out = described({first ? *one : *other, quad, 0}, sheet, true);
  out.warnings.push_back("No edge was found along the sheet's sides: its corners count as placed.");
  return out;
}

Expected<FoundReference> at_corners(const Picture::Pixels& pixels, const SquareReference& sheet,
                                    double placed_px) {
  Quadrilateral quad;
  for (std::size_t i = 0; i < 4; ++i) quad[i] = point(sheet.corners[i]);
  const Point2 a = quad[2] - quad[0], b = quad[3] - quad[1];
  if (a.x() * b.y() - a.y() * b.x() < 0) std::swap(quad[1], quad[3]);
  Tried tried = fit_to(pixels, sheet, quad, 2.5 * placed_px, "corners placed by hand");
  if (tried.fit != Fit::Bad) return described(*tried.fitted, sheet, true);
  return as_placed(pixels, sheet, quad, placed_px);
}

}  // namespace

Expected<FoundReference> find_sheet(const Picture::Pixels& pixels, const SquareReference& sheet,
                                    double placed_px, const StopAsked& stop) {
  if (sheet.corners.size() == 4) return at_corners(pixels, sheet, placed_px);
  const auto at = sheet.at ? std::optional(point(*sheet.at)) : std::nullopt;
  std::vector<Tried> good;
  bool either = false;
  for (const Quadrilateral& quad : find_quadrilaterals(pixels, at)) {
    if (stop && stop()) break;
    const double side = std::min((quad[1] - quad[0]).norm(), (quad[2] - quad[1]).norm());
    Tried tried = fit_to(pixels, sheet, quad, std::clamp(0.05 * side, 6.0, 20.0), "reference corners");
    either = either || tried.fit == Fit::EitherWay;
    if (tried.fit == Fit::Good) good.push_back(std::move(tried));
  }
  if (good.empty() && either) {
    return refuse(
        "ambiguous-reference",
        "The sheet or card lies so slantwise that its length and its width cannot be told apart. Take the "
        "photo from more nearly in front of it.");
  }
  if (good.empty()) return not_seen(sheet);
  const auto worse = [](const Tried& a, const Tried& b) { return a.fitted->laid.cost < b.fitted->laid.cost; };
  const Tried& best = *std::min_element(good.begin(), good.end(), worse);
  // A second one elsewhere that fits as well and gives another scale: which is it?
  const auto scale = [](const Tried& t) { return t.fitted->laid.fit.plane.mm_per_px(t.fitted->quad[0]); };
  for (const Tried& other : good) {
    const bool elsewhere = !at && std::abs(std::log(scale(other) / scale(best))) > 0.05;
    if (elsewhere && other.fitted->laid.cost < best.fitted->laid.cost + kClearly) {
      return refuse(
          "ambiguous-reference",
          "More than one thing in the photo could be the sheet or card. Click on it, or clear the others "
          "away.");
    }
  }
  const double shortest = (best.fitted->quad[1] - best.fitted->quad[0]).norm();
  if (std::min(shortest, (best.fitted->quad[2] - best.fitted->quad[1]).norm()) < kLeastSidePx) {
    return refuse(
        "reference-too-small",
        "The sheet or card is too small in this photo. Move closer, so that it fills about a third of it.");
  }
  return described(*best.fitted, sheet, false);
}

}  // namespace spile::vision
