#include "vision/disc.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include "vision/disc_choice.hpp"
#include "vision/disc_outline.hpp"
#include "vision/round_search.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr double kSmallestRadiusPx = 14;
constexpr double kEdgePx = 0.4;        // tone curve, glare and sharpening move an outline by about this much
constexpr double kEdgeShare = 0.005;   // of the radius: what counts as the edge of a rounded, lit, shaded rim
constexpr double kPointsPerView = 8;   // neighbouring edges err together: so many count as one
constexpr double kReach = 0.16;        // of the radius: so far within the outline its face may begin
constexpr double kPerhapsDisc = 0.12;  // of likeness: a disc is there, its diameter being given
constexpr double kOddsPerAgreement =
    60;  // log odds: some thirty independent edges, each worth twice its voice

// How uncertain the outline's minor axis is beside its major one.
double aspect_doubt(double radius_px) {
  return std::hypot(kEdgePx / radius_px, kEdgeShare);
}

// ---- the outline drawn closer
// -------------------------------------------------------------------------------

// Random small steps, ever smaller, wherever the disc goes through more edges: what counts as near leaves the
// slope of the agreement useless further away.
Plane climbed(const DiscRays& seen, Plane plane, double radius_mm) {
  std::mt19937 random(27182);
  std::normal_distribution<double> bell(0, 1);
  const Circle circle{Point2::Zero(), radius_mm};
  const double radius_px = radius_mm / seen.mm_per_px;
  const auto worth = [&](const Plane& p, double tolerance) {
    return agreement(seen, p, circle, 0, kDiscHeightMm, tolerance);
  };
  for (const double size : {1.0, 0.5, 0.25, 0.12}) {
    const double tolerance = std::max(1.2, 0.02 * radius_px * size + 0.5);
    double best = worth(plane, tolerance);
    for (int trial = 0; trial < 150; ++trial) {
      Plane::Vector step = Plane::Vector::Zero();
      const double away = 0.025 * size;
      step[Plane::TurnX] = 4 * away * bell(random);
      step[Plane::TurnY] = 4 * away * bell(random);
      const double nearer = away * bell(random);
      step.segment<3>(Plane::X) = nearer * plane.origin;
      step[Plane::X] += away * radius_mm * bell(random);
      step[Plane::Y] += away * radius_mm * bell(random);
      const Plane next = plane.moved(step);
      if (next.tilt_deg() > 70) continue;
      if (const double now = worth(next, tolerance); now > best) {
        best = now;
        plane = next;
      }
    }
  }
  return plane;
}

// ---- the plane, by least squares
// ----------------------------------------------------------------------------

double soft(double z) {
  return z / std::sqrt(1 + z * z / 9);
}

double miss_px(const Plane& plane, const Point2& px, double radius_mm, double z) {
  const auto mm = plane.mm_from_px(px, z);
  if (!mm) return 1e3;
  return (mm->norm() - radius_mm) / plane.mm_per_px(px, z);
}

PlaneFit fitted(const DiscPlaces& places, const Plane& start, double radius_mm, double u_px,
                const CameraPrior& prior) {
  const Eigen::Index n = static_cast<Eigen::Index>(places.rim.size()),
                     m = static_cast<Eigen::Index>(places.foot.size());
  const double radius_px = radius_mm / start.mm_per_px(start.px_from_mm(Point3::Zero()));
  // A circle seen square on changes its shape only with the square of the tilt: what that leaves open.
  const double u_tilt = 0.7 * std::sqrt(2 * aspect_doubt(radius_px));
  const Point2 lean = start.rotation.block<2, 1>(0, 2);
  const double turn = std::atan2(start.rotation(1, 0), start.rotation(0, 0));
  const auto residuals = [&](const Plane& plane, const Eigen::VectorXd&) {
    Eigen::VectorXd r(n + m + 3);
    for (Eigen::Index i = 0; i < n; ++i)
      r[i] = soft(miss_px(plane, places.rim[static_cast<std::size_t>(i)], radius_mm, 0) / u_px);
    for (Eigen::Index i = 0; i < m; ++i)
      r[n + i] =
          soft(miss_px(plane, places.foot[static_cast<std::size_t>(i)], radius_mm, -kDiscHeightMm) / u_px);
    const Point2 leans = (plane.rotation.block<2, 1>(0, 2) - lean) / u_tilt;
    r.tail(3) << leans, (std::atan2(plane.rotation(1, 0), plane.rotation(0, 0)) - turn) / 1e-3;
    return r;
  };
  return fit_plane(start, prior, residuals, {}, {},
                   std::vector<ResidualGroup>{{"outline of the disc", n + m}, {"tilt of the camera", 3}});
}

// What is seen round a thick disc is its face and, on the near side, the foot of its side: the face alone is
// narrower across the tilt, and lies further from the camera's foot.
Ellipse face_within(const Ellipse& outline, const Plane& plane) {
  const Point2 top = plane.px_from_mm(Point3::Zero()), foot = plane.px_from_mm(Point3(0, 0, -kDiscHeightMm));
  const double grown = std::min((foot - top).norm(), 0.4 * outline.minor);
  Ellipse out = outline;
  out.minor -= grown / 2;
  if (grown > 0) out.centre -= (foot - top) / (foot - top).norm() * grown / 2;
  return out;
}

// Where to start from: the outline taken for the face's, and for that of face and side.
std::vector<std::vector<Plane>> starts_of(const Ellipse& outline, double radius_mm,
                                          const CameraPrior& prior) {
  std::vector<std::vector<Plane>> out;
  for (const Plane& plane : planes_of_circle(outline, radius_mm, prior)) {
    out.push_back({plane});
    Plane side = plane;
    for (int round = 0; round < 3; ++round) {
      const auto again = planes_of_circle(face_within(outline, side), radius_mm, prior);
      if (again.size() < 2) break;
      const auto like = [&](const Plane& p) { return p.rotation.col(2).dot(side.rotation.col(2)); };
      side = like(again[0]) > like(again[1]) ? again[0] : again[1];
    }
    out.back().push_back(side);
    side.origin *= 1.03;  // an ellipse round two that are apart is a little wider than they are
    out.back().push_back(side);
  }
  return out;
}

struct Seen {
  Plane plane;
  double agreement = 0;
  double blur_px = 0;
};

std::optional<Seen> seen_in(const DiscRays& rays, const Plane& start, double radius_mm,
                            const CameraPrior& prior) {
  const Circle circle{Point2::Zero(), radius_mm};
  const double radius_px = radius_mm / rays.mm_per_px;
  Seen out{climbed(rays, start, radius_mm), 0, rays.blur_px};
  const double u_px = std::hypot(kEdgePx, kEdgeShare * radius_px) * std::sqrt(kPointsPerView);
  for (const double tolerance : {0.02 * radius_px + 1, 0.012 * radius_px + 0.8, 0.008 * radius_px + 0.6}) {
    const auto places = places_on(rays, out.plane, circle, 0, kDiscHeightMm, tolerance);
    if (places.rim.size() + places.foot.size() < rays.rays.size() / 3) return std::nullopt;
    const PlaneFit fit = fitted(places, out.plane, radius_mm, u_px, prior);
    out.plane = fit.plane;
  }
  out.agreement =
      agreement(rays, out.plane, circle, 0, kDiscHeightMm, std::max(1.2, 0.008 * radius_px + 0.6));
  return out;
}

// The two planes in which the disc may lie, the likelier first; the same one twice where only one is found.
std::vector<Seen> either_way(const ColourView& view, const RoundSeen& round, double radius_mm,
                             const CameraPrior& prior) {
  std::array<std::optional<Seen>, 2> best;
  std::vector<Ellipse> outlines{round.outline};
  outlines.insert(outlines.end(), round.within.begin(), round.within.end());
  for (const Ellipse& outline : outlines) {
    const auto starts = starts_of(outline, radius_mm, prior);
    if (starts.empty()) continue;
    const double reach = std::clamp(kReach * outline.mean_radius(), 6.0, 60.0);
    const DiscRays rays = disc_rays({view, starts[0][0], 0}, {Point2::Zero(), radius_mm}, reach);
    for (std::size_t side = 0; side < starts.size(); ++side) {
      for (const Plane& start : starts[side]) {
        auto now = seen_in(rays, start, radius_mm, prior);
        if (now && (!best[side] || now->agreement > best[side]->agreement)) best[side] = std::move(now);
      }
    }
  }
  std::vector<Seen> out;
  for (auto& one : best) {
    if (one) out.push_back(*std::move(one));
  }
  std::sort(out.begin(), out.end(), [](const Seen& a, const Seen& b) { return a.agreement > b.agreement; });
  return out;
}

// ---- which round thing it is
// --------------------------------------------------------------------------------

tl::unexpected<Refusal> not_there() {
  return refuse(
      "no-reference",
      "No coin or washer was found in this photo. Lay it flat on the hull beside the opening, all of it "
      "in view, and take the photo again; or click on it.");
}

Expected<RoundSeen> chosen(const Picture::Pixels& pixels, const DiscReference& disc) {
  if (disc.at) {
    if (auto seen = round_thing_at(pixels, point(*disc.at))) return *seen;
    return refuse(
        "no-reference",
        "Nothing round was found at the point given for the coin or washer. Click on its middle, or "
        "take the photo again with the whole of it in view.");
  }
  std::vector<std::pair<double, RoundSeen>> likely;
  for (const RoundSeen& seen : round_things(pixels)) likely.emplace_back(disc_likeness(pixels, seen), seen);
  std::sort(likely.begin(), likely.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  if (likely.empty() || likely.front().first < kPerhapsDisc) return not_there();
  if (likely.size() > 1 && likely[1].first > std::max(kSurelyDisc, 0.85 * likely.front().first)) {
    return refuse(
        "ambiguous-reference",
        "There are several coins or washers in this photo. Click on the one whose diameter is given, or "
        "state where it is, as in disc:23.25@1520,980.");
  }
  return likely.front().second;
}

std::vector<PixelPoint> outline_of(const Plane& plane, double radius_mm) {
  std::vector<PixelPoint> out;
  for (int k = 0; k < 90; ++k) {
    const double a = 2 * M_PI * k / 90;
    out.push_back(pixel(plane.px_from_mm(Point3(radius_mm * std::cos(a), radius_mm * std::sin(a), 0))));
  }
  return out;
}

}  // namespace

Expected<FoundReference> find_disc(const Picture::Pixels& pixels, const DiscReference& disc,
                                   const StopAsked& stop) {
  if (!(disc.diameter_mm > 0))
    return refuse("no-reference", "The coin or washer needs its diameter in millimetres, as in disc:23.25.");
  const auto round = chosen(pixels, disc);
  if (!round) return tl::unexpected(round.error());
  if (stop && stop()) return refuse("cancelled", "Stopped before it was finished.");
  if (round->outline.mean_radius() < kSmallestRadiusPx) {
    return refuse("reference-too-small",
                  "The coin or washer is too small in this photo. Move closer and take the photo again.");
  }
  const CameraPrior prior = camera_prior(pixels.info);
  const double radius = disc.diameter_mm / 2;
  const ColourView view(pixels);
  const auto seen = either_way(view, *round, radius, prior);
  if (seen.empty()) return not_there();
  FoundReference out;
  out.kind = "disc";
  out.plane = seen.front().plane;
  out.height_mm = kDiscHeightMm;
  out.u_height_mm = kDiscHeightU;
  const double radius_px = round->outline.mean_radius();
  out.scale_doubts.push_back({"edge of the disc", aspect_doubt(radius_px)});
  out.outline = outline_of(out.plane, radius);
  out.covered.push_back(outline_of(out.plane, 1.06 * radius));
  out.blur_px = seen.front().blur_px;
  if (seen.size() > 1) {
    out.other_plane = seen.back().plane;
    out.log_odds = kOddsPerAgreement * (seen.front().agreement - seen.back().agreement);
  }
  return out;
}

}  // namespace spile::vision
