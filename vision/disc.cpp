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
// The edge of a flange's rim over the hull: mushroom heads begin as a short cylinder (common practice).
constexpr double kFlangeHeightMm = 1.6, kFlangeHeightU = 0.5;
constexpr double kPointsPerView = 8;   // neighbouring edges err together: so many count as one
constexpr double kReach = 0.16;        // of the radius: so far within the outline its face may begin
constexpr double kPerhapsDisc = 0.12;  // of likeness: a disc is there, its diameter being given
constexpr double kOddsPerAgreement =
    60;  // log odds: some thirty independent edges, each worth twice its voice

// The disc looked for: its size, and how high its face's rim is over what it lies on.
struct Sought {
  double radius_mm = 0, height_mm = kDiscHeightMm, u_height_mm = kDiscHeightU;
};

Sought sought(const DiscReference& disc) {
  if (disc.flange) return {disc.diameter_mm / 2, kFlangeHeightMm, kFlangeHeightU};
  return {disc.diameter_mm / 2};
}

// ---- the outline drawn closer
// -------------------------------------------------------------------------------

// Random small steps, ever smaller, wherever the disc goes through more edges: what counts as near leaves the
// slope of the agreement useless further away.
Plane climbed(const DiscRays& seen, Plane plane, const Sought& disc) {
  std::mt19937 random(27182);
  std::normal_distribution<double> bell(0, 1);
  const Circle circle{Point2::Zero(), disc.radius_mm};
  const double radius_px = disc.radius_mm / seen.mm_per_px;
  const auto worth = [&](const Plane& p, double tolerance) {
    return agreement(seen, p, circle, 0, disc.height_mm, tolerance);
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
      step[Plane::X] += away * disc.radius_mm * bell(random);
      step[Plane::Y] += away * disc.radius_mm * bell(random);
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

PlaneFit fitted(const DiscPlaces& places, const Plane& start, const Sought& disc, double u_px,
                const CameraPrior& prior) {
  const Eigen::Index n = static_cast<Eigen::Index>(places.rim.size()),
                     m = static_cast<Eigen::Index>(places.foot.size());
  const double radius_px = disc.radius_mm / start.mm_per_px(start.px_from_mm(Point3::Zero()));
  // A circle seen square on changes its shape only with the square of the tilt: what that leaves open.
  const double u_tilt = 0.7 * std::sqrt(2 * disc_edge_doubt(radius_px));
  const Point2 lean = start.rotation.block<2, 1>(0, 2);
  const double turn = std::atan2(start.rotation(1, 0), start.rotation(0, 0));
  const auto residuals = [&](const Plane& plane, const Eigen::VectorXd&) {
    Eigen::VectorXd r(n + m + 3);
    for (Eigen::Index i = 0; i < n; ++i)
      r[i] = soft(miss_px(plane, places.rim[static_cast<std::size_t>(i)], disc.radius_mm, 0) / u_px);
    for (Eigen::Index i = 0; i < m; ++i)
      r[n + i] = soft(
          miss_px(plane, places.foot[static_cast<std::size_t>(i)], disc.radius_mm, -disc.height_mm) / u_px);
    const Point2 leans = (plane.rotation.block<2, 1>(0, 2) - lean) / u_tilt;
    r.tail(3) << leans, (std::atan2(plane.rotation(1, 0), plane.rotation(0, 0)) - turn) / 1e-3;
    return r;
  };
  return fit_plane(start, prior, residuals, {}, {},
                   std::vector<ResidualGroup>{{"outline of the disc", n + m}, {"tilt of the camera", 3}});
}

// What is seen round a thick disc is its face and, on the near side, the foot of its side: the face alone is
// narrower across the tilt, and lies further from the camera's foot.
Ellipse face_within(const Ellipse& outline, const Plane& plane, double height_mm) {
  const Point2 top = plane.px_from_mm(Point3::Zero()), foot = plane.px_from_mm(Point3(0, 0, -height_mm));
  const double grown = std::min((foot - top).norm(), 0.4 * outline.minor);
  Ellipse out = outline;
  out.minor -= grown / 2;
  if (grown > 0) out.centre -= (foot - top) / (foot - top).norm() * grown / 2;
  return out;
}

// Where to start from: the outline taken for the face's, and for that of face and side.
std::vector<std::vector<Plane>> starts_of(const Ellipse& outline, const Sought& disc,
                                          const CameraPrior& prior) {
  std::vector<std::vector<Plane>> out;
  for (const Plane& plane : planes_of_circle(outline, disc.radius_mm, prior)) {
    out.push_back({plane});
    Plane side = plane;
    for (int round = 0; round < 3; ++round) {
      const auto again = planes_of_circle(face_within(outline, side, disc.height_mm), disc.radius_mm, prior);
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

std::optional<Seen> seen_in(const DiscRays& rays, const Plane& start, const Sought& disc,
                            const CameraPrior& prior) {
  const Circle circle{Point2::Zero(), disc.radius_mm};
  const double radius_px = disc.radius_mm / rays.mm_per_px;
  Seen out{climbed(rays, start, disc), 0, rays.blur_px};
  const double u_px = disc_edge_doubt(radius_px) * radius_px * std::sqrt(kPointsPerView);
  for (const double tolerance : {0.02 * radius_px + 1, 0.012 * radius_px + 0.8, 0.008 * radius_px + 0.6}) {
    const auto places = places_on(rays, out.plane, circle, 0, disc.height_mm, tolerance);
    if (places.rim.size() + places.foot.size() < rays.rays.size() / 3) return std::nullopt;
    const PlaneFit fit = fitted(places, out.plane, disc, u_px, prior);
    out.plane = fit.plane;
  }
  out.agreement =
      agreement(rays, out.plane, circle, 0, disc.height_mm, std::max(1.2, 0.008 * radius_px + 0.6));
  return out;
}

// The two planes in which the disc may lie, the likelier first; the same one twice where only one is found.
std::vector<Seen> either_way(const ColourView& view, const RoundSeen& round, const Sought& disc,
                             const CameraPrior& prior) {
  std::array<std::optional<Seen>, 2> best;
  std::vector<Ellipse> outlines{round.outline};
  outlines.insert(outlines.end(), round.within.begin(), round.within.end());
  for (const Ellipse& outline : outlines) {
    const auto starts = starts_of(outline, disc, prior);
    if (starts.empty()) continue;
    const double reach = std::clamp(kReach * outline.mean_radius(), 6.0, 60.0);
    const DiscRays rays = disc_rays({view, starts[0][0], 0}, {Point2::Zero(), disc.radius_mm}, reach);
    for (std::size_t side = 0; side < starts.size(); ++side) {
      for (const Plane& start : starts[side]) {
        auto now = seen_in(rays, start, disc, prior);
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

tl::unexpected<Refusal> not_there(const DiscReference& disc) {
  if (disc.flange) {
    return refuse(
        "no-reference",
        "No flange was found in this photo. Take it with the whole flange in view, or click on it.");
  }
  return refuse(
      "no-reference",
      "No coin or washer was found in this photo. Lay it flat on the hull beside the opening, all of it "
      "in view, and take the photo again; or click on it.");
}

Expected<RoundSeen> seen_at(const Picture::Pixels& pixels, const PixelPoint& at) {
  const double largest = 0.5 * std::max(pixels.grey.cols, pixels.grey.rows);
  if (auto seen = round_thing_at(pixels, point(at), kSmallestRadiusPx, largest)) return *seen;
  return refuse(
      "no-reference",
      "Nothing round was found at the point given for the reference. Click on its middle, or take the "
      "photo again with the whole of it in view.");
}

struct Likely {
  double likeness = 0;
  RoundSeen seen;
};

// Discs made out in the picture, the likeliest first.
std::vector<Likely> likely_discs(const Picture::Pixels& pixels) {
  std::vector<Likely> out;
  for (RoundSeen& seen : round_things(pixels)) {
    const double likeness = disc_likeness(pixels, seen);
    out.push_back({likeness, std::move(seen)});
  }
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.likeness > b.likeness; });
  return out;
}

// A flange holds its bore and so looks like no disc: of what is clear the largest.
Expected<RoundSeen> largest_clear(const Picture::Pixels& pixels, const DiscReference& flange) {
  const auto all = round_things(pixels);
  if (all.empty()) return not_there(flange);
  const RoundSeen* best = nullptr;
  for (const RoundSeen& seen : all) {
    const bool clear = seen.clearness > 0.75 * all.front().clearness;
    if (clear && (!best || seen.outline.mean_radius() > best->outline.mean_radius())) best = &seen;
  }
  return *best;
}

Expected<RoundSeen> chosen(const Picture::Pixels& pixels, const DiscReference& disc) {
  if (disc.at) return seen_at(pixels, *disc.at);
  if (disc.flange) return largest_clear(pixels, disc);
  const auto likely = likely_discs(pixels);
  if (likely.empty() || likely.front().likeness < kPerhapsDisc) return not_there(disc);
  if (likely.size() > 1 && likely[1].likeness > std::max(kSurelyDisc, 0.85 * likely.front().likeness)) {
    return refuse(
        "ambiguous-reference",
        "There are several coins or washers in this photo. Click on the one whose diameter is given, or "
        "state where it is, as in disc:23.25@1520,980.");
  }
  return likely.front().seen;
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
  const Sought it = sought(disc);
  const ColourView view(pixels);
  const auto seen = either_way(view, *round, it, prior);
  if (seen.empty()) return not_there(disc);
  FoundReference out;
  out.kind = "disc";
  out.plane = seen.front().plane;
  out.height_mm = it.height_mm;
  out.u_height_mm = it.u_height_mm;
  const double radius_px = round->outline.mean_radius();
  out.scale_doubts.push_back({"edge of the disc", disc_edge_doubt(radius_px)});
  out.outline = outline_of(out.plane, it.radius_mm);
  out.covered.push_back(outline_of(out.plane, 1.06 * it.radius_mm));
  out.blur_px = seen.front().blur_px;
  if (seen.size() > 1) {
    out.other_plane = seen.back().plane;
    out.log_odds = kOddsPerAgreement * (seen.front().agreement - seen.back().agreement);
  }
  return out;
}

std::optional<Refusal> disc_of_unknown_size(const Picture::Pixels& pixels) {
  const auto likely = likely_discs(pixels);
  if (likely.empty() || likely.front().likeness < kSurelyDisc) return std::nullopt;
  return Refusal{
      "ambiguous-reference",
      "A coin or washer lies in this photo, and nothing else of known size: its diameter has to be "
      "stated before anything is measured beside it, as in disc:23.25 for one of 23.25 mm."};
}

}  // namespace spile::vision
