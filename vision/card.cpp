#include "vision/card.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "vision/markers.hpp"
#include "vision/straight_edge.hpp"

namespace spile::vision {
namespace {

// Sides of the markers lie off the truth by about this much, each side as a whole, whatever the noise: print,
// sharpening and clipping.
constexpr double kSideFloorPx = 0.1;
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
  std::size_t markers = 0, turn = 0;
  double worst_px = 1e9;
};

Seeds grown_from(const std::vector<Marker>& markers, const Marker& seed, std::size_t turn,
                 const std::array<MarkerMm, 4>& mm) {
  Seeds out;
  append(out.pairs, mm[static_cast<std::size_t>(seed.id)], seed, turn);
  out.markers = 1;
  out.turn = turn;
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

MarkersSeen searched(const Picture::Pixels& pixels, const StopAsked& stop) {
  MarkersSeen best;
  const int side = std::max(pixels.grey.cols, pixels.grey.rows);
  for (const Level level : {Level::Quarter, Level::Half, Level::Full}) {
    // Small copies do; the full picture only where it is small itself, since the search costs by the pixel.
    if (level == Level::Quarter && side < 1200) continue;
    if (level == Level::Full && side > 2600) continue;
    if (stop && stop()) break;
    auto found = find_markers(pixels, level);
    if (found.markers.size() > best.markers.size()) best = std::move(found);
    if (best.markers.size() >= 4) break;
  }
  return best;
}

// A straight border between black and white on the card: a marker's side or an edge between its cells.
// Looking from `from` to `to`, black lies to the right as the card is seen.
struct Border {
  std::size_t marker = 0;
  Point2 from = Point2::Zero(), to = Point2::Zero();
  double cells = 1;    // length
  bool outer = false;  // a side of the whole marker
};

// One stretch of a border, as seen.
struct SideObservation {
  std::size_t marker = 0;
  Point2 mm_from, mm_to;
  EdgePoint seen;
};

// Cell (column, row) counted from the top left, white all round.
struct Cells {
  cv::Mat bits;
  std::size_t turn = 0;  // quarter turns between the dictionary's drawing and the card's
  [[nodiscard]] int size() const { return bits.cols; }
  [[nodiscard]] bool white(int x, int y) const {
    const int last = size() - 1;
    if (x < 0 || y < 0 || x > last || y > last) return true;
    for (std::size_t k = 0; k < turn; ++k) {
      const int t = x;
      x = last - y;
      y = t;
    }
    return bits.at<std::uint8_t>(y, x) != 0;
  }
};

// Runs of cells along one grid line that keep their black on the same side. `at(i)` is the line's i-th
// crossing, `side(i)` -1 where black lies to the left of cell i's stretch, +1 to the right, 0 where there is
// no border.
void append_runs(std::size_t marker, int cells, const std::function<Point2(int)>& at,
                 const std::function<int(int)>& side, bool outer, std::vector<Border>& out) {
  for (int i = 0; i < cells;) {
    int end = i + 1;
    while (end < cells && side(end) == side(i)) ++end;
    if (side(i) > 0) out.push_back({marker, at(i), at(end), static_cast<double>(end - i), outer});
    if (side(i) < 0) out.push_back({marker, at(end), at(i), static_cast<double>(end - i), outer});
    i = end;
  }
}

std::vector<Border> borders_of(const MarkerMm& mm, std::size_t marker, const Cells& cells) {
  const int n = cells.size();
  const Point2 across = (mm[1] - mm[0]) / n, down = (mm[3] - mm[0]) / n;
  std::vector<Border> out;
  for (int line = 0; line <= n; ++line) {
    const auto contrast = [](bool left_white, bool right_white) {
      return left_white == right_white ? 0 : left_white ? 1 : -1;
    };
    append_runs(
        marker, n, [&](int i) { return Point2(mm[0] + line * down + i * across); },
        [&](int i) { return contrast(cells.white(i, line - 1), cells.white(i, line)); },
        line == 0 || line == n, out);
    append_runs(
        marker, n, [&](int i) { return Point2(mm[0] + line * across + i * down); },
        [&](int i) { return contrast(cells.white(line, i), cells.white(line - 1, i)); },
        line == 0 || line == n, out);
  }
  return out;
}

struct BorderSearch {
  double reach = 6;        // px
  bool outer_only = true;  // the markers' sides alone
  double blur = 0;         // px, where known: cells that blur into each other are left alone
};

void trace_border(const LightView& view, const Plane& plane, const Border& border, const BorderSearch& search,
                  std::vector<SideObservation>& out) {
  const auto px = [&](const Point2& p) { return plane.px_from_mm(Point3(p.x(), p.y(), 0)); };
  const Point2 a = px(border.from), b = px(border.to);
  const double length = (b - a).norm(), cell = length / border.cells;
  if (!border.outer && (search.outer_only || cell < std::max(5.0, 7 * search.blur))) return;
  EdgeTrace trace;
  trace.reach = std::min(search.reach, (border.outer ? 0.8 : 0.45) * cell);
  trace.window = std::clamp(0.9 * cell, 2.5, 5.0);
  trace.trim = std::max(0.08, 0.2 / border.cells);
  trace.count = std::clamp(static_cast<int>(length / 3), 6, 40);
  const auto points = trace_edge(view, a, b, -1, trace);
  const int bins = std::max(1, static_cast<int>(border.cells / 1.5));
  for (const EdgePoint& p : gathered(points, bins, kSideFloorPx))
    out.push_back({border.marker, border.from, border.to, p});
}

std::vector<SideObservation> trace_borders(const LightView& view, const Plane& plane,
                                           const std::vector<Border>& borders, const BorderSearch& search) {
  std::vector<SideObservation> out;
  for (const Border& border : borders) trace_border(view, plane, border, search, out);
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
  std::vector<double> own_u;
  for (const SideObservation& s : sides) own_u.push_back(s.seen.u);
  for (int round = 0; round < 4; ++round) {
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
      const double z = miss[static_cast<Eigen::Index>(i)] / own_u[i];
      sides[i].seen.u = own_u[i] * std::sqrt(1 + z * z / 6);
    }
  }
  return fit;
}

int markers_used(const std::vector<SideObservation>& sides) {
  std::array<int, 4> count{};
  for (const SideObservation& s : sides) ++count[s.marker];
  return static_cast<int>(std::count_if(count.begin(), count.end(), [](int n) { return n >= 8; }));
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

// As far as the card's paper reaches when it is cut out along its printed outline.
std::vector<PixelPoint> sheet_outline(const Plane& plane, const CardReference& card) {
  constexpr double kMargin = 8, kStrip = 17, kCheckLine = 100;
  const double w = 0.5 * std::max(card.width_mm + card.marker_mm, kCheckLine) + kMargin;
  const double h = 0.5 * (card.height_mm + card.marker_mm);
  std::vector<PixelPoint> out;
  for (const Point2& c :
       {Point2(-w, h + kMargin), Point2(w, h + kMargin), Point2(w, -h - kStrip), Point2(-w, -h - kStrip)}) {
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
  out.sheet = sheet_outline(out.plane, card);
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
  } else if (markers_used(fitted.sides) < 4) {
    out.incomplete = true;
    out.warnings.push_back("Part of the card is hidden, so lengths are less certain.");
  }
  return out;
}

// A card of other proportions than stated can still be fitted, with a camera that is not this one.
bool plausible(const Fitted& fitted, const CameraPrior& prior) {
  std::vector<double> misses_z;
  const auto miss =
      misses(fitted.fit.plane, fitted.fit.extra, fitted.sides, feet_of(fitted.sides, fitted.fit.plane));
  for (const double m : miss) misses_z.push_back(std::abs(m) / kSideFloorPx);
  std::nth_element(misses_z.begin(), misses_z.begin() + static_cast<std::ptrdiff_t>(misses_z.size() / 2),
                   misses_z.end());
  // A calibrated lens is known better than a card's sizes tell it.
  const double u = std::max(prior.u_log_focal, 0.025);
  const double focal_z = std::abs(std::log(fitted.fit.plane.focal_px / prior.focal_px)) / u;
  return misses_z[misses_z.size() / 2] < 8 && focal_z < (prior.focal_from_exif ? 4 : 2.4);
}

tl::unexpected<Refusal> wrong_sizes(const CardReference& card) {
  return refuse("ambiguous-reference", fmt::format("The markers found do not fit a card with {:g} mm markers "
                                                   "on {:g} x {:g} mm. Enter the sizes printed "
                                                   "on the card, and lay it flat.",
                                                   card.marker_mm, card.width_mm, card.height_mm));
}

tl::unexpected<Refusal> too_little() {
  return refuse("reference-cropped",
                "Too little of the card can be seen to measure from it. Take the photo again with all four "
                "markers in view.");
}

}  // namespace

Expected<FoundReference> find_card(const Picture::Pixels& pixels, const CardReference& card,
                                   const StopAsked& stop) {
  const auto mm = layout(card);
  const MarkersSeen seen = searched(pixels, stop);
  const Seeds seeds = seeds_of(seen.markers, mm);
  if (seeds.markers == 0) {
    return refuse(
        "no-reference",
        "The printed card was not found. Lay it flat beside the opening with all four markers in view, in "
        "even light, and take the photo again.");
  }
  const double side = (seeds.pairs.px[0] - seeds.pairs.px[1]).norm();
  if (seeds.markers > 1 && seeds.worst_px > 3 + 0.06 * side) return wrong_sizes(card);
  const CameraPrior prior = camera_prior(pixels.info);
  const auto start = plane_from_points(seeds.pairs.mm, seeds.pairs.px, prior);
  if (!start) return wrong_sizes(card);
  const LightView view(pixels.grey);
  Fitted fitted;
  fitted.fit.plane = *start;
  std::vector<Border> borders;
  for (std::size_t m = 0; m < mm.size(); ++m) {
    const Cells cells{marker_cells(seen.family, static_cast<int>(m)), seeds.turn};
    for (const Border& border : borders_of(mm[m], m, cells)) borders.push_back(border);
  }
  // First the markers' own sides from as far off as the small copy may have been, then every border within
  // them.
  BorderSearch search;
  for (const bool first : {true, false}) {
    if (!first) search = {3, false, mean_blur(fitted.sides)};
    fitted.sides = trace_borders(view, fitted.fit.plane, borders, search);
    if (fitted.sides.size() < 12 && seeds.markers < 4) return too_little();
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
  if (!plausible(fitted, prior)) return wrong_sizes(card);
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
