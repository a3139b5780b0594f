#include "vision/rule.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>
#include <optional>
#include <utility>

#include "vision/comb.hpp"
#include "vision/graduations.hpp"

namespace spile::vision {
namespace {

constexpr double kCoherent = 0.45;    // a window of marks worth believing
constexpr double kMaxShift = 0.3;     // of a pitch: further off could as well be the next mark
constexpr double kMarkNoise = 0.06;   // px, of one window of marks before the fit tells
constexpr int kGap = 24;              // marks that may be hidden by glare or a finger before the row ends
constexpr std::size_t kSteer = 160;   // windows that steer the plane while a row grows
constexpr double kLikelyTilt = 0.35;  // sine of the tilt across the rule, one standard deviation
constexpr int kFewestMarks = 25;      // a row shorter than that is too often mere texture
constexpr double kClearShare = 0.15, kClearLead = 0.025;             // of how the long marks explain the row
constexpr double kNarrowestRule = 13;                                // mm
constexpr double kRuleThickness = 0.75, kThicknessHalfRange = 0.35;  // mm, steel rules: 0.5 to 1.0
constexpr double kRuleError = 4e-4;  // relative, engraved steel rules; common practice

// One edge of the rule and its graduations: marks at offset + k * pitch, at depths between the edge's y and
// into the rule.
struct Row {
  double edge_y = 0;
  int inwards = 1;  // +1: the rule lies at larger y
  double pitch = 1;
  double offset = 0;
  int first = 0, last = 0;     // indices of the outermost marks read
  std::vector<double> depths;  // in pitches
};

// A point of the picture that lies on a mark. How far up the mark it lies is not known until the plane is.
struct Observation {
  double x = 0;  // of the mark, the row's offset left out
  Point2 px;
  double px_per_unit = 1;  // along the rule
  double u = kMarkNoise;   // px
  bool far = false;        // belongs to the row of the far edge

  // Pixels along the rule from the mark as the plane has it.
  [[nodiscard]] double miss(const Plane& plane, double far_offset) const {
    const auto mm = plane.mm_from_px(px);
    return mm ? (mm->x() - x - (far ? far_offset : 0)) * px_per_unit : 1e3;
  }
};

struct Reader {
  const cv::Mat& grey;

  // Observations of one window; nothing where the marks are not seen.
  [[nodiscard]] std::optional<Observation> at(const Plane& plane, const Row& row, int k, double depth,
                                              bool far) const {
    const double x = row.offset + k * row.pitch;
    const double y = row.edge_y + row.inwards * depth * row.pitch;
    const auto marks = read_marks(grey, plane, x, y, row.pitch, row.offset);
    if (!marks || marks->coherence < kCoherent || std::abs(marks->shift) > kMaxShift * row.pitch) {
      return std::nullopt;
    }
    Observation out;
    out.x = x - (far ? row.offset : 0);
    out.px = plane.px_from_mm({x + marks->shift, y, 0});
    out.px_per_unit =
        (plane.px_from_mm({x + 0.5 * row.pitch, y, 0}) - plane.px_from_mm({x - 0.5 * row.pitch, y, 0}))
            .norm() /
        row.pitch;
    out.u = kMarkNoise / std::sqrt(marks->coherence);
    out.far = far;
    return out;
  }

  // Every window of the row within [first, last]. Marks are straight and the same at every depth: a place
  // counts where most depths see them, and agree. Texture that happens to be even does not.
  [[nodiscard]] std::vector<Observation> all(const Plane& plane, const Row& row, int first, int last,
                                             bool far) const {
    std::vector<Observation> out;
    for (int k = first + 1; k < last; k += 2) {
      std::vector<Observation> here;
      for (const double depth : row.depths) {
        if (const auto seen = at(plane, row, k, depth, far)) here.push_back(*seen);
      }
      if (2 * here.size() > row.depths.size() && agree(plane, row, here))
        out.insert(out.end(), here.begin(), here.end());
    }
    return out;
  }

  [[nodiscard]] static bool agree(const Plane& plane, const Row& row, const std::vector<Observation>& here) {
    double low = 1e9, high = -1e9;
    for (const Observation& o : here) {
      const double miss = o.miss(plane, row.offset);
      low = std::min(low, miss);
      high = std::max(high, miss);
    }
    return high - low < 0.35 * row.pitch * here.front().px_per_unit;
  }
};

// Median absolute residual along the rule, px, of the observations against a plane.
double typical_miss(const std::vector<Observation>& seen, const Plane& plane, double far_offset) {
  std::vector<double> miss;
  for (const Observation& o : seen) miss.push_back(std::abs(o.miss(plane, far_offset)));
  if (miss.empty()) return 0;
  std::nth_element(miss.begin(), miss.begin() + static_cast<long>(miss.size() / 2), miss.end());
  return miss[miss.size() / 2];
}

// The plane's position along y and its turn in its own plane are held by the edge the search started from:
// marks alone say nothing of where along themselves they lie.
struct EdgePoint {
  double x = 0, y = 0;
  Point2 px, normal;
  double u = 1;
};

PlaneFit fit(const Plane& start, const CameraPrior& prior, const std::vector<Observation>& seen,
             const std::vector<EdgePoint>& edge, double far_offset, double scale) {
  const auto residuals = [&](const Plane& plane, const Eigen::VectorXd& extra) {
    const auto n = static_cast<Eigen::Index>(seen.size()), m = static_cast<Eigen::Index>(edge.size());
    Eigen::VectorXd r(n + m + 2);
    for (Eigen::Index i = 0; i < n; ++i) {
      const Observation& o = seen[static_cast<std::size_t>(i)];
      r[i] = o.miss(plane, extra[0]) / (o.u * scale);
    }
    for (Eigen::Index i = 0; i < m; ++i) {
      const EdgePoint& e = edge[static_cast<std::size_t>(i)];
      r[n + i] = (plane.px_from_mm({e.x, e.y, 0}) - e.px).dot(e.normal) / e.u;
    }
    r[n + m] = plane.rotation(2, 1) / kLikelyTilt;
    r[n + m + 1] = plane.rotation(2, 0) / (2 * kLikelyTilt);
    return r;
  };
  return fit_plane(start, prior, residuals, Eigen::VectorXd::Constant(1, far_offset),
                   Eigen::VectorXd::Constant(1, 1e-4), "graduations");
}

// Evenly thinned: enough to steer by while the row grows.
std::vector<Observation> thinned(const std::vector<Observation>& seen, std::size_t at_most) {
  if (seen.size() <= at_most) return seen;
  std::vector<Observation> out;
  const double step = static_cast<double>(seen.size()) / static_cast<double>(at_most);
  for (double i = 0; i < static_cast<double>(seen.size()); i += step)
    out.push_back(seen[static_cast<std::size_t>(i)]);
  return out;
}

// Without the windows that lie further off than the rest allows.
std::vector<Observation> without_outliers(const std::vector<Observation>& seen, const Plane& plane,
                                          double far_offset) {
  const double allowed = 4.5 * std::max(0.02, typical_miss(seen, plane, far_offset));
  std::vector<Observation> out;
  for (const Observation& o : seen)
    if (std::abs(o.miss(plane, far_offset)) < allowed) out.push_back(o);
  return out;
}

// A plane square to the line of sight but for the tilt along the rule that the comb's widening shows; marks
// one unit apart, x = 0 at the comb's foot.
Plane plane_from_comb(const Comb& comb, const CameraPrior& prior, double sine_across) {
  const double lean = std::atan(-comb.period_slope * prior.focal_px / (2 * comb.period));
  Eigen::Matrix3d level;
  level.col(0) << comb.along, 0;
  level.col(1) << comb.into, 0;
  level.col(2) << 0, 0, -1;
  const Eigen::Matrix3d turn = (Eigen::AngleAxisd(-lean, Point3::UnitY()) *
                                Eigen::AngleAxisd(-std::asin(sine_across), Point3::UnitX()))
                                   .toRotationMatrix();
  Plane plane;
  plane.rotation = level * turn;
  plane.focal_px = prior.focal_px;
  plane.k1 = prior.k1;
  plane.k2 = prior.k2;
  plane.centre = prior.centre;
  const double distance = prior.focal_px * std::cos(lean) / comb.period;
  plane.origin = distance * Point3((comb.foot.x() - prior.centre.x()) / prior.focal_px,
                                   (comb.foot.y() - prior.centre.y()) / prior.focal_px, 1);
  return plane;
}

// The straight edge the comb was found on, as it lies in the starting plane.
std::vector<EdgePoint> edge_points(const Plane& plane, const Comb& comb) {
  std::vector<EdgePoint> out;
  for (int i = -4; i <= 4; ++i) {
    const double s = 0.5 * comb.length * i / 4.0;
    EdgePoint point;
    point.px = comb.foot + s * comb.along;
    point.normal = comb.into;
    const auto mm = plane.mm_from_px(point.px);
    if (!mm) continue;
    point.x = mm->x();
    out.push_back(point);
  }
  return out;
}

struct Traced {
  Plane plane;
  Row near, far;
  bool has_far = false;
  std::vector<Observation> seen;
  std::vector<EdgePoint> edge;
  double far_offset = 0;
  double miss = 0;  // px

  // Many marks, all where one plane has them.
  [[nodiscard]] double merit() const { return static_cast<double>(seen.size()) / (0.05 + miss); }
};

// Reads further and further out from the middle, fitting the plane each time, so that no window is ever
// expected more than a fraction of a pitch from where it is.
void grow(const Reader& reader, const CameraPrior& prior, Traced& traced, Row& row, bool far) {
  int reach_low = row.first, reach_high = row.last;
  for (int round = 0; round < 24; ++round) {
    std::vector<Observation> seen = reader.all(traced.plane, row, reach_low, reach_high, far);
    if (seen.size() < 6) return;
    int low = reach_high, high = reach_low;
    for (const Observation& o : seen) {
      const int k = static_cast<int>(std::lround(o.x / row.pitch));
      low = std::min(low, k - 1);
      high = std::max(high, k + 1);
    }
    std::vector<Observation> others;
    for (const Observation& o : traced.seen)
      if (o.far != far) others.push_back(o);
    others.insert(others.end(), seen.begin(), seen.end());
    const auto few = thinned(others, kSteer);
    PlaneFit fitted = fit(traced.plane, prior, few, traced.edge, traced.far_offset, 1);
    fitted = fit(fitted.plane, prior, without_outliers(few, fitted.plane, fitted.extra[0]), traced.edge,
                 fitted.extra[0], 1);
    traced.seen = without_outliers(others, fitted.plane, fitted.extra[0]);
    traced.plane = fitted.plane;
    traced.far_offset = fitted.extra[0];
    if (far) row.offset = traced.far_offset;
    row.first = low;
    row.last = high;
    const int step = std::max(6, (high - low) / 4);
    const int next_low = std::max(low - step, low - kGap), next_high = std::min(high + step, high + kGap);
    if (next_low >= reach_low && next_high <= reach_high && round > 2) return;
    reach_low = std::min(reach_low, next_low);
    reach_high = std::max(reach_high, next_high);
  }
}

// Depths at which the whole row of marks is seen; short marks end before long ones.
std::vector<double> coherent_depths(const Reader& reader, const Plane& plane, const Row& row,
                                    double deepest) {
  std::vector<double> out;
  const double px = 1 / std::max(1e-9, plane.mm_per_px(plane.px_from_mm({row.offset, row.edge_y, 0})));
  const double step = std::max(0.3, 2.5 / (px * row.pitch));
  for (double depth = 0.5; depth <= deepest; depth += step) {
    int good = 0, tried = 0;
    for (int k = row.first + 1; k < row.last; k += 2) {
      ++tried;
      Row probe = row;
      if (reader.at(plane, probe, k, depth, false)) ++good;
    }
    if (good >= std::max(3, tried / 3)) out.push_back(depth);
  }
  return out;
}

std::optional<Traced> trace(const Reader& reader, const CameraPrior& prior, const Comb& comb, double across) {
  Traced traced;
  traced.plane = plane_from_comb(comb, prior, across);
  traced.edge = edge_points(traced.plane, comb);
  const int half = static_cast<int>(std::min(12.0, 0.4 * comb.length / comb.period));
  traced.near.first = -half;
  traced.near.last = half;
  // The phase of the comb's foot is arbitrary: start where the marks are.
  traced.near.depths = {0.8};
  const auto start = read_marks(reader.grey, traced.plane, 0, 0.8, 1, 0);
  if (!start) return std::nullopt;
  traced.plane.origin += traced.plane.rotation * Point3(start->shift, 0, 0);
  for (EdgePoint& e : traced.edge) e.x -= start->shift;
  grow(reader, prior, traced, traced.near, false);
  for (const double deepest : {1.6, 3.0, 5.0}) {
    const auto depths = coherent_depths(reader, traced.plane, traced.near, deepest);
    if (depths.empty()) break;
    traced.near.depths = depths;
    grow(reader, prior, traced, traced.near, false);
  }
  if (traced.seen.size() < 12) return std::nullopt;
  traced.miss = typical_miss(traced.seen, traced.plane, 0);
  return traced;
}

// From marks one unit apart to millimetres.
void rescale(Traced& traced, const Graduation& graduation) {
  const double mm = graduation.mm;
  traced.plane.origin += traced.plane.rotation * Point3(graduation.longest, 0, 0);
  traced.plane.origin *= mm;
  for (Observation& o : traced.seen) {
    o.x = (o.x - graduation.longest) * mm;
    o.px_per_unit /= mm;
  }
  for (EdgePoint& e : traced.edge) {
    e.x = (e.x - graduation.longest) * mm;
    e.y *= mm;
  }
  traced.near.pitch = mm;
  traced.near.first -= graduation.longest;
  traced.near.last -= graduation.longest;
}

// How well a row of marks of that pitch is seen at height y: the share of windows that are coherent.
double marks_at(const Reader& reader, const Plane& plane, double first_x, double last_x, double y,
                double pitch) {
  int good = 0, tried = 0;
  const double step = std::max(4 * pitch, (last_x - first_x) / 24);
  for (double x = first_x + 2 * pitch; x <= last_x - 2 * pitch; x += step) {
    const auto marks = read_marks(reader.grey, plane, x, y, pitch, 0);
    if (!marks) continue;
    ++tried;
    if (marks->coherence > kCoherent) ++good;
  }
  return tried >= 4 ? static_cast<double>(good) / tried : 0;
}

// The second row of marks along the far edge, if there is one: the run of heights where marks are seen that
// reaches furthest from the near edge.
std::optional<Row> far_row(const Reader& reader, const Traced& traced) {
  const double first_x = traced.near.first * traced.near.pitch, last_x = traced.near.last * traced.near.pitch;
  std::optional<Row> best;
  for (const double pitch : {0.5, 1.0, 25.4 / 16, 25.4 / 32}) {
    std::vector<double> run;
    for (double y = 9; y < 60; y += 0.4) {
      if (marks_at(reader, traced.plane, first_x, last_x, y, pitch) > 0.4) {
        run.push_back(y);
      } else {
        run.clear();
      }
      if (run.size() < 3 || (best && y <= best->edge_y + 0.1)) continue;
      best = Row{};
      best->edge_y = y + 0.4;
      best->inwards = -1;
      best->pitch = pitch;
      for (const double seen : run) best->depths.push_back((best->edge_y - seen) / pitch);
    }
  }
  return best;
}

void read_far_edge(const Reader& reader, const CameraPrior& prior, Traced& traced) {
  const auto row = far_row(reader, traced);
  if (!row) return;
  traced.far = *row;
  const double middle = 0.5 * traced.near.pitch * (traced.near.first + traced.near.last);
  const int k = static_cast<int>(std::lround(middle / traced.far.pitch));
  // Where the marks are seen nearest the middle.
  for (const int away : {0, 6, -6, 14, -14, 24, -24, 36, -36}) {
    const double x = (k + away) * traced.far.pitch;
    const double y = traced.far.edge_y - traced.far.depths[traced.far.depths.size() / 2] * traced.far.pitch;
    const auto marks = read_marks(reader.grey, traced.plane, x, y, traced.far.pitch, 0);
    if (!marks || marks->coherence < kCoherent) continue;
    traced.far_offset = traced.far.offset = marks->shift;
    traced.far.first = k + away - 6;
    traced.far.last = k + away + 6;
    traced.has_far = true;
    break;
  }
  if (!traced.has_far) return;
  grow(reader, prior, traced, traced.far, true);
  traced.has_far = std::any_of(traced.seen.begin(), traced.seen.end(), [](const auto& o) { return o.far; });
}

tl::unexpected<Refusal> no_rule() {
  return refuse(
      "no-reference",
      "No steel rule was found in this photo: no row of even graduations is seen. Lay the rule flat "
      "beside the opening, in even light, near enough that its marks can be told apart.");
}

std::optional<Traced> best_trace(const Reader& reader, const CameraPrior& prior, const StopAsked& stop) {
  std::optional<Traced> best;
  for (const Comb& comb : find_combs(reader.grey, 6)) {
    for (const double across : {0.0, 0.4, -0.4}) {
      if (stop && stop()) return std::nullopt;
      auto traced = trace(reader, prior, comb, across);
      if (traced && (!best || traced->merit() > best->merit())) best = std::move(traced);
    }
    if (best && best->near.last - best->near.first > 2 * kFewestMarks) break;
  }
  if (best && best->near.last - best->near.first < kFewestMarks) return std::nullopt;
  return best;
}

PlaneFit settled_fit(Traced& traced, const CameraPrior& prior) {
  PlaneFit fitted = fit(traced.plane, prior, traced.seen, traced.edge, traced.far_offset, 1);
  for (int round = 0; round < 3; ++round) {
    traced.seen = without_outliers(traced.seen, fitted.plane, fitted.extra[0]);
    fitted = fit(fitted.plane, prior, traced.seen, traced.edge, fitted.extra[0], 1);
  }
  // Once more with the noise that the marks themselves showed.
  return fit(fitted.plane, prior, traced.seen, traced.edge, fitted.extra[0], std::max(0.3, fitted.rms));
}

FoundReference described(const Traced& traced, const Plane& plane) {
  FoundReference found;
  found.kind = "rule";
  found.plane = plane;
  found.height_mm = kRuleThickness;
  found.u_height_mm = kThicknessHalfRange / std::sqrt(3.0);
  found.scale_doubts.push_back({"rule's own error", kRuleError});
  const double y_far = traced.has_far ? traced.far.edge_y : kNarrowestRule;
  const double x0 = traced.near.pitch * traced.near.first, x1 = traced.near.pitch * traced.near.last;
  for (const Point2& corner : {Point2(x0, 0), Point2(x1, 0), Point2(x1, y_far), Point2(x0, y_far)}) {
    const Point2 px = plane.px_from_mm({corner.x(), corner.y(), 0});
    found.outline.push_back({px.x(), px.y()});
  }
  found.covered.push_back(found.outline);
  if (!traced.has_far) {
    found.warnings.push_back("Only one edge of the rule shows marks, so the tilt across it is less certain.");
  }
  return found;
}

}  // namespace

Expected<FoundReference> find_rule(const Picture::Pixels& pixels, const RuleReference&,
                                   const StopAsked& stop) {
  const Reader reader{pixels.grey};
  const CameraPrior prior = camera_prior(pixels.info);
  auto traced = best_trace(reader, prior, stop);
  if (stop && stop()) return refuse("cancelled", "Stopped before it was finished.");
  if (!traced) return no_rule();
  const auto graduation = graduation_of(reader.grey, traced->plane, traced->near.first, traced->near.last);
  if (!graduation || graduation->share < kClearShare) return no_rule();
  if (graduation->lead < kClearLead) {
    return refuse(
        "ambiguous-reference",
        "A rule is seen, but not which of its marks are the long ones, so it cannot be told whether "
        "they are millimetres, half millimetres or fractions of an inch. Take the photo from nearer, "
        "with the whole width of the rule in view.");
  }
  rescale(*traced, *graduation);
  read_far_edge(reader, prior, *traced);
  const PlaneFit fitted = settled_fit(*traced, prior);
  return described(*traced, fitted.plane);
}

}  // namespace spile::vision
