#include "vision/card.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "vision/markers.hpp"
#include "vision/straight_edge.hpp"

namespace spile::vision {
namespace {

// Sides of the markers lie off the truth by about this much, each side as a whole, whatever the noise: print,
// sharpening and clipping.
constexpr double kSideFloorPx = 0.08;
// A square looks larger or smaller all round by about this much, by tone curve and clipped white; its
// neighbour in another light by another amount.
constexpr double kGrowthPx = 0.2;
constexpr double kMinSidePx = 24;
// Paper is 0.1, card stock 0.3, laminated card up to 0.8 mm thick; and it may not lie quite flat.
constexpr double kThicknessMm = 0.4, kThicknessU = 0.22;
constexpr double kPrintU = 0.0005;  // the check line read against a steel rule

using MarkerMm = std::array<Point2, 4>;

std::array<MarkerMm, 4> layout(const CardReference& card) {
  const double w = card.width_mm / 2, h = card.height_mm / 2, m = card.marker_mm / 2;
  const std::array<Point2, 4> middle{Point2(-w, h), Point2(w, h), Point2(w, -h), Point2(-w, -h)};
  std::array<MarkerMm, 4> out;
  for (std::size_t i = 0; i < 4; ++i) {
    out[i] = {middle[i] + Point2(-m, m), middle[i] + Point2(m, m), middle[i] + Point2(m, -m),
              middle[i] + Point2(-m, -m)};
  }
  return out;
}

struct Pairs {
  std::vector<Point2> mm, px;
};

// `turn` accounts for dictionaries drawn a quarter turn apart.
void append(Pairs& pairs, const MarkerMm& mm, const Marker& marker, std::size_t turn) {
  for (std::size_t k = 0; k < 4; ++k) {
    pairs.mm.push_back(mm[k]);
    pairs.px.push_back(marker.corners[(k + turn) % 4]);
  }
}

double worst_error(const Pairs& pairs, const Eigen::Matrix3d& h) {
  double worst = 0;
  for (std::size_t i = 0; i < pairs.mm.size(); ++i) {
    worst = std::max(worst, ((h * pairs.mm[i].homogeneous()).hnormalized() - pairs.px[i]).norm());
  }
  return worst;
}

// The largest set of markers that one card explains, each id once, seeded from every marker in turn.
struct Seeds {
  Pairs pairs;
  std::size_t markers = 0;
  double worst_px = 1e9;
};

Seeds grown_from(const std::vector<Marker>& markers, const Marker& seed, std::size_t turn,
                 const std::array<MarkerMm, 4>& mm) {
  Seeds out;
  append(out.pairs, mm[static_cast<std::size_t>(seed.id)], seed, turn);
  out.markers = 1;
  const auto h = homography(out.pairs.mm, out.pairs.px);
  if (!h) return out;
  for (int id = 0; id < 4; ++id) {
    if (id == seed.id) continue;
    const auto& corners = mm[static_cast<std::size_t>(id)];
    const Point2 expected = (*h * Point2((corners[0] + corners[2]) / 2).homogeneous()).hnormalized();
    const Marker* nearest = nullptr;
    for (const Marker& m : markers) {
      if (m.id == id && (!nearest || (m.middle() - expected).norm() < (nearest->middle() - expected).norm()))
        nearest = &m;
    }
    if (!nearest || (nearest->middle() - expected).norm() > 1.5 * seed.side()) continue;
    append(out.pairs, corners, *nearest, turn);
    ++out.markers;
  }
  const auto all = homography(out.pairs.mm, out.pairs.px);
  if (all) out.worst_px = worst_error(out.pairs, *all);
  return out;
}

Seeds seeds_of(const std::vector<Marker>& markers, const std::array<MarkerMm, 4>& mm) {
  Seeds best;
  for (const Marker& seed : markers) {
    for (std::size_t turn = 0; turn < 4; ++turn) {
      Seeds trial = grown_from(markers, seed, turn, mm);
      // One marker alone fits in any turn: then the dictionary's own is taken.
      if (trial.markers == 1 && turn > 0) continue;
      const bool better =
          trial.markers > best.markers || (trial.markers == best.markers && trial.worst_px < best.worst_px);
      if (better) best = std::move(trial);
    }
  }
  return best;
}

std::vector<Marker> searched(const Picture::Pixels& pixels, const StopAsked& stop) {
  std::vector<Marker> best;
  const int side = std::max(pixels.grey.cols, pixels.grey.rows);
  for (const Level level : {Level::Quarter, Level::Half, Level::Full}) {
    // Small copies do; the full picture only where it is small itself, since the search costs by the pixel.
    if (level == Level::Quarter && side < 1200) continue;
    if (level == Level::Full && side > 2600) continue;
    if (stop && stop()) break;
    auto found = find_markers(pixels, level);
    if (found.size() > best.size()) best = std::move(found);
    if (best.size() >= 4) break;
  }
  return best;
}

// One stretch of one marker's side, as seen.
struct SideObservation {
  std::size_t marker = 0;
  Point2 mm_from, mm_to;
  EdgePoint seen;
};

struct SideSearch {
  double reach = 3;
  int bins = 4;
};

void trace_side(const LightView& view, const Plane& plane, std::size_t marker, const Point2& a,
                const Point2& b, const SideSearch& search, std::vector<SideObservation>& out) {
  const Point2 pa = plane.px_from_mm(Point3(a.x(), a.y(), 0)), pb = plane.px_from_mm(Point3(b.x(), b.y(), 0));
  const double length = (pb - pa).norm();
  const double cell = length / 8;
  EdgeTrace trace;
  trace.reach = std::min(search.reach, 0.8 * cell);
  trace.window = std::clamp(0.9 * cell, 2.5, 5.0);
  trace.count = std::clamp(static_cast<int>(length / 3), 8, 40);
  // Corners are listed clockwise as seen, so the inside lies to the right of a side: light is to its left.
  const auto points = trace_edge(view, pa, pb, -1, trace);
  for (const EdgePoint& p : gathered(points, search.bins, kSideFloorPx)) out.push_back({marker, a, b, p});
}

std::vector<SideObservation> trace_sides(const LightView& view, const Plane& plane,
                                         const std::array<MarkerMm, 4>& mm, const SideSearch& search) {
  std::vector<SideObservation> out;
  for (std::size_t m = 0; m < mm.size(); ++m) {
    for (std::size_t k = 0; k < 4; ++k) trace_side(view, plane, m, mm[m][k], mm[m][(k + 1) % 4], search, out);
  }
  return out;
}

// Where on its side a seen point lies, by the plane as it is believed now.
std::vector<Point2> feet_of(const std::vector<SideObservation>& sides, const Plane& plane) {
  std::vector<Point2> out;
  for (const SideObservation& side : sides) {
    const Point2 along = (side.mm_to - side.mm_from).normalized();
    const auto mm = plane.mm_from_px(side.seen.px);
    out.push_back(mm ? Point2(side.mm_from + along * along.dot(*mm - side.mm_from)) : side.mm_from);
  }
  return out;
}

// Signed distance of each seen point from its side, px, outwards.
Eigen::VectorXd misses(const Plane& plane, const Eigen::VectorXd& growth,
                       const std::vector<SideObservation>& sides, const std::vector<Point2>& feet) {
  Eigen::VectorXd out(static_cast<Eigen::Index>(sides.size()));
  for (std::size_t i = 0; i < sides.size(); ++i) {
    const Point2 expected = plane.px_from_mm(Point3(feet[i].x(), feet[i].y(), 0));
    out[static_cast<Eigen::Index>(i)] = sides[i].seen.normal.dot(sides[i].seen.px - expected) -
                                        growth[static_cast<Eigen::Index>(sides[i].marker)];
  }
  return out;
}

struct Fitted {
  PlaneFit fit;
  std::vector<SideObservation> sides;
};

PlaneFit fit_sides(const Plane& start, const CameraPrior& prior, std::vector<SideObservation>& sides) {
  PlaneFit fit;
  Plane plane = start;
  for (int round = 0; round < 3; ++round) {
    const auto feet = feet_of(sides, plane);
    const auto residuals = [&](const Plane& trial, const Eigen::VectorXd& extra) {
      Eigen::VectorXd r(static_cast<Eigen::Index>(sides.size()) + 4);
      r.head(r.size() - 4) = misses(trial, extra, sides, feet);
      for (std::size_t i = 0; i < sides.size(); ++i) r[static_cast<Eigen::Index>(i)] /= sides[i].seen.u;
      r.tail(4) = extra / kGrowthPx;
      return r;
    };
    fit = fit_plane(plane, prior, residuals, Eigen::VectorXd::Zero(4), Eigen::VectorXd::Constant(4, 1e-4),
                    "reference corners");
    plane = fit.plane;
    // A side that does not fit (a stain, a shadow's edge, a thumb) counts less from now on.
    const auto miss = misses(plane, fit.extra, sides, feet);
    for (std::size_t i = 0; i < sides.size(); ++i) {
      const double z = std::abs(miss[static_cast<Eigen::Index>(i)]) / sides[i].seen.u;
      if (z > 3) sides[i].seen.u *= std::sqrt(z / 3);
    }
  }
  return fit;
}

double mean_blur(const std::vector<SideObservation>& sides) {
  double sum = 0;
  for (const SideObservation& s : sides) sum += s.seen.blur;
  return sides.empty() ? 0 : sum / static_cast<double>(sides.size());
}

bool in_frame(const Point2& p, const Picture::Pixels& pixels) {
  return p.x() >= 0 && p.y() >= 0 && p.x() <= pixels.grey.cols - 1 && p.y() <= pixels.grey.rows - 1;
}

// The printed card reaches about a quarter of a marker beyond its markers.
std::vector<PixelPoint> card_outline(const Plane& plane, const CardReference& card, double margin_mm) {
  const double w = card.width_mm / 2 + card.marker_mm / 2 + margin_mm;
  const double h = card.height_mm / 2 + card.marker_mm / 2 + margin_mm;
  std::vector<PixelPoint> out;
  for (const Point2& c : {Point2(-w, h), Point2(w, h), Point2(w, -h), Point2(-w, -h)}) {
    const Point2 p = plane.px_from_mm(Point3(c.x(), c.y(), 0));
    out.push_back({p.x(), p.y()});
  }
  return out;
}

FoundReference described(const Fitted& fitted, const CardReference& card, const std::array<MarkerMm, 4>& mm,
                         const Picture::Pixels& pixels) {
  FoundReference out;
  out.kind = "card";
  out.plane = fitted.fit.plane;
  out.height_mm = kThicknessMm;
  out.u_height_mm = kThicknessU;
  out.scale_doubts = {{"print scale", kPrintU}};
  out.outline = card_outline(out.plane, card, 0);
  out.covered = {card_outline(out.plane, card, 0.25 * card.marker_mm)};
  out.blur_px = mean_blur(fitted.sides);
  int complete = 0;
  for (const MarkerMm& marker : mm) {
    const bool inside = std::all_of(marker.begin(), marker.end(), [&](const Point2& c) {
      return in_frame(out.plane.px_from_mm(Point3(c.x(), c.y(), 0)), pixels);
    });
    complete += inside ? 1 : 0;
  }
  if (complete < 4) {
    out.incomplete = true;
    out.warnings.push_back(fmt::format(
        "Only {} of the card's four markers lie wholly in the photo, so lengths are less certain.",
        complete));
  } else if (fitted.sides.size() < 40) {
    out.incomplete = true;
    out.warnings.push_back("Part of the card is hidden, so lengths are less certain.");
  }
  return out;
}

tl::unexpected<Refusal> wrong_sizes(const CardReference& card) {
  return refuse("ambiguous-reference", fmt::format("The markers found do not fit a card with {:g} mm markers "
                                                   "on {:g} x {:g} mm. Enter the sizes printed "
                                                   "on the card, and lay it flat.",
                                                   card.marker_mm, card.width_mm, card.height_mm));
}

}  // namespace

Expected<FoundReference> find_card(const Picture::Pixels& pixels, const CardReference& card,
                                   const StopAsked& stop) {
  const auto mm = layout(card);
  const Seeds seeds = seeds_of(searched(pixels, stop), mm);
  if (seeds.markers == 0) {
    return refuse(
        "no-reference",
        "The printed card was not found. Lay it flat beside the opening with all four markers in view, in "
        "even light, and take the photo again.");
  }
  const double side = (seeds.pairs.px[0] - seeds.pairs.px[1]).norm();
  if (seeds.markers > 1 && seeds.worst_px > 3 + 0.15 * side) return wrong_sizes(card);
  const CameraPrior prior = camera_prior(pixels.info);
  const auto start = plane_from_points(seeds.pairs.mm, seeds.pairs.px, prior);
  if (!start) return wrong_sizes(card);
  const LightView view(pixels.grey);
  Fitted fitted;
  fitted.fit.plane = *start;
  for (const double reach : {6.0, 3.0}) {
    fitted.sides = trace_sides(view, fitted.fit.plane, mm, {reach, 4});
    if (fitted.sides.size() < 12) {
      return refuse(
          "reference-too-small",
          fmt::format(
              "The card's markers are only {:.0f} pixels wide or too blurred to measure from. Move closer "
              "and hold the camera still.",
              side));
    }
    fitted.fit = fit_sides(fitted.fit.plane, prior, fitted.sides);
  }
  if (fitted.fit.rms > 6) return wrong_sizes(card);
  if (side < kMinSidePx) {
    return refuse(
        "reference-too-small",
        fmt::format(
            "The card's markers are only {:.0f} pixels wide in this photo. Move closer, so that the card "
            "fills about a third of the picture.",
            side));
  }
  return described(fitted, card, mm, pixels);
}

}  // namespace spile::vision
