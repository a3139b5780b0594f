#include "vision/rim_chips.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "vision/median.hpp"
#include "vision/rim_ring.hpp"

namespace spile::vision {
namespace {

constexpr double kNearestReachMm = 4, kFarthestReachMm = 8, kReach = 0.35;  // of the radius
constexpr double kBroken = 2.5;         // departure from the ring from which on a place counts as broken
constexpr double kClearlyBroken = 3.4;  // mean departure of a chip
constexpr double kWholeAgain = 1.4;     // the most beyond it: a crack, a seam or a shadow goes on
constexpr double kMostOpen = 0.4;       // of its directions, broken as far as one can see
constexpr double kLeastDepthMm = 0.25, kLeastDepthPx = 2.2, kLeastWidthPx = 3;
constexpr double kLeastWidthShare = 0.7;  // of the depth: what is narrower is a crack
constexpr double kBridgedMm = 0.3;        // whole rim within a chip
constexpr double kRaggedU = 0.1;          // of the depth: a broken edge is ragged and slopes
constexpr double kEdgeUPx = 0.5;
constexpr double kFullShare = 0.8;  // of a chip's places, from the faintest, before blur takes nothing off
constexpr double kBesidePx = 3;     // what the blur of a chip reaches of the rim to either side of it

struct Column {
  std::size_t start = 0, end = 0;  // steps, broken from the first to the last
  double departure = 0;            // mean there; 0: whole
  bool open = false;               // broken as far as one can see
  double depth = 0;                // mm
};

class ChipSearch {
 public:
  ChipSearch(const RimPlace& place, const FineRim& rim, double reach_mm)
      : place_(place), rim_(rim), ring_(place, rim, reach_mm) {
    for (std::size_t k = 0; k < ring_.directions(); ++k) columns_.push_back(column_of(k));
  }

  [[nodiscard]] std::vector<RimChip> chips();

 private:
  struct Run {
    std::size_t from = 0, to = 0;  // directions, from <= to, may go beyond a full turn
  };
  [[nodiscard]] Column column_of(std::size_t k) const;
  [[nodiscard]] std::vector<Run> runs() const;
  struct Likeness {
    std::array<double, 3> along{};
    [[nodiscard]] double of(const std::array<float, 3>& difference) const {
      double sum = 0;
      for (std::size_t i = 0; i < 3; ++i) sum += along[i] * static_cast<double>(difference[i]);
      return sum;
    }
  };
  // Of every broken place of a run: its direction and step.
  template <class Do>
  void each_place(const Run& run, Do todo) const {
    for (std::size_t k = run.from; k <= run.to; ++k) {
      const Column& c = column(k);
      for (std::size_t j = c.start; c.departure > 0 && j <= c.end; ++j) todo(k % columns_.size(), j);
    }
  }
  [[nodiscard]] Likeness likeness(const Run& run) const;
  void measure(const Run& run);
  [[nodiscard]] double goes_on(const Run& run) const;
  [[nodiscard]] std::optional<RimChip> chip_of(const Run& run);
  void outline(const Run& run, RimChip& chip) const;
  [[nodiscard]] const Column& column(std::size_t k) const { return columns_[k % columns_.size()]; }
  [[nodiscard]] bool broken(std::size_t k) const {
    const Column& c = column(k);
    return c.departure > 0 && ring_.away_mm(c.end) >= std::max(kLeastDepthMm, kLeastDepthPx * rim_.mm_per_px);
  }

  const RimPlace& place_;
  const FineRim& rim_;
  RimRing ring_;
  std::vector<Column> columns_;
};

Column ChipSearch::column_of(std::size_t k) const {
  Column out;
  out.start = static_cast<std::size_t>(std::ceil((1.0 + rim_.blur_px) * rim_.mm_per_px / ring_.step_mm()));
  std::size_t miss = 0;
  double sum = 0, n = 0;
  for (std::size_t j = out.start; j < ring_.steps() && miss < 2; ++j) {
    const auto departure = static_cast<double>(ring_.departure(k, j));
    miss = departure >= kBroken ? 0 : miss + 1;
    if (miss > 0) continue;
    out.end = j;
    sum += departure;
    ++n;
  }
  if (n > 0) out.departure = sum / n;
  out.open = out.end + 2 >= ring_.steps();
  return out;
}

std::vector<ChipSearch::Run> ChipSearch::runs() const {
  const std::size_t n = columns_.size();
  std::size_t whole = 0;
  while (whole < n && broken(whole)) ++whole;
  const auto bridged = std::max<std::size_t>(
      1, static_cast<std::size_t>(kBridgedMm / rim_.fit.radius / (2 * M_PI) * static_cast<double>(n)));
  std::vector<Run> out;
  for (std::size_t k = whole; k < whole + n; ++k) {
    if (!broken(k)) continue;
    if (!out.empty() && k <= out.back().to + bridged + 1)
      out.back().to = k;
    else
      out.push_back({k, k});
  }
  return out;
}

// How much of the chip's own colour each place of it shows; what it shows where blur takes nothing off is 1.
ChipSearch::Likeness ChipSearch::likeness(const Run& run) const {
  Likeness out;
  std::array<double, 3> sum{};
  each_place(run, [&](std::size_t k, std::size_t j) {
    for (std::size_t i = 0; i < 3; ++i) sum[i] += static_cast<double>(ring_.difference(k, j)[i]);
  });
  out.along = sum;
  std::vector<double> shown;
  each_place(run, [&](std::size_t k, std::size_t j) { shown.push_back(out.of(ring_.difference(k, j))); });
  const auto full =
      shown.begin() + static_cast<std::ptrdiff_t>(kFullShare * static_cast<double>(shown.size()));
  std::nth_element(shown.begin(), full, shown.end());
  const double scale = std::max(*full, 1e-9);
  for (double& a : out.along) a /= scale;
  return out;
}

// Where the chip's colour gives way to the hull's, half and half.
void ChipSearch::measure(const Run& run) {
  const Likeness likeness = this->likeness(run);
  for (std::size_t k = run.from; k <= run.to; ++k) {
    Column& c = columns_[k % columns_.size()];
    c.depth = 0;
    if (c.departure <= 0) continue;
    const auto share = [&](std::size_t j) {
      return j < ring_.steps() ? likeness.of(ring_.difference(k % columns_.size(), j)) : 0;
    };
    std::size_t j = std::min(c.end + 2, ring_.steps() - 1);
    while (j > 0 && share(j) < 0.5) --j;
    const double here = share(j), next = share(j + 1);
    const double part = here > 0.5 && next < 0.5 ? (here - 0.5) / (here - next) : 0;
    c.depth = here < 0.5 ? 0 : ring_.away_mm(j) + part * ring_.step_mm();
  }
}

// What the ring shows beyond the chip, against what it shows in it.
double ChipSearch::goes_on(const Run& run) const {
  double sum = 0, n = 0;
  for (std::size_t k = run.from; k <= run.to; ++k) {
    const Column& c = column(k);
    if (c.departure <= 0) continue;
    const auto gap = static_cast<std::size_t>(std::ceil(2 * rim_.mm_per_px / ring_.step_mm()));
    const std::size_t first = c.end + gap, last = std::min(ring_.steps(), first + std::max(c.end, 2 * gap));
    for (std::size_t j = first; j < last; ++j) {
      sum += static_cast<double>(ring_.departure(k % columns_.size(), j));
      ++n;
    }
  }
  return n > 0 ? sum / n : 1e9;
}

// Along the rim one way, along the broken edge back.
void ChipSearch::outline(const Run& run, RimChip& chip) const {
  const auto at = [&](double angle, double away) {
    return Point2(rim_.fit.centre +
                  (rim_.fit.radius_at(angle) + away) * Point2(std::cos(angle), std::sin(angle)));
  };
  const double step = 2 * M_PI / static_cast<double>(columns_.size());
  for (std::size_t k = run.from; k <= run.to; ++k)
    chip.outline_mm.push_back(at(step * static_cast<double>(k), 0));
  for (std::size_t k = run.to + 1; k-- > run.from;)
    chip.outline_mm.push_back(at(step * static_cast<double>(k), column(k).depth));
}

std::optional<RimChip> ChipSearch::chip_of(const Run& run) {
  measure(run);
  RimChip chip;
  double departure = 0, open = 0;
  const auto count = static_cast<double>(run.to - run.from + 1);
  const double step = 2 * M_PI / static_cast<double>(columns_.size());
  for (std::size_t k = run.from; k <= run.to; ++k) {
    const double depth =
        median({column(k + columns_.size() - 1).depth, column(k).depth, column(k + 1).depth});
    if (depth > chip.depth_mm) {
      chip.depth_mm = depth;
      chip.angle = step * static_cast<double>(k);
    }
    departure += column(k).departure / count;
    open += column(k).open / count;
  }
  chip.from = step * (static_cast<double>(run.from) - 0.5);
  chip.to = step * (static_cast<double>(run.to) + 0.5);
  chip.width_mm = (chip.to - chip.from) * rim_.fit.radius;
  const double px = rim_.mm_per_px, beyond = goes_on(run);
  if (departure < kClearlyBroken || open > kMostOpen || beyond > std::min(kWholeAgain, 0.5 * departure))
    return std::nullopt;
  if (chip.depth_mm < std::max(kLeastDepthMm, kLeastDepthPx * px) || chip.width_mm < kLeastWidthPx * px ||
      chip.width_mm < kLeastWidthShare * chip.depth_mm)
    return std::nullopt;
  chip.u_depth_mm = std::hypot(kRaggedU * chip.depth_mm, kEdgeUPx * px, rim_.fit.u_radius);
  outline(run, chip);
  return chip;
}

std::vector<RimChip> ChipSearch::chips() {
  std::vector<RimChip> out;
  for (const Run& run : runs())
    if (auto chip = chip_of(run)) out.push_back(*std::move(chip));
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.depth_mm > b.depth_mm; });
  return out;
}

}  // namespace

std::vector<RimChip> rim_chips(const RimPlace& place, const FineRim& rim) {
  const double reach = std::clamp(kReach * rim.fit.radius, kNearestReachMm, kFarthestReachMm);
  return ChipSearch(place, rim, std::max(reach, 8 * rim.mm_per_px)).chips();
}

bool leave_out(const std::vector<RimChip>& chips, FineRim& rim) {
  const double beside = kBesidePx * rim.mm_per_px / rim.fit.radius;
  const auto in_chip = [&](const RimSample& sample) {
    return std::any_of(chips.begin(), chips.end(), [&](const RimChip& chip) {
      const double away = std::remainder(sample.angle - 0.5 * (chip.from + chip.to), 2 * M_PI);
      return std::abs(away) < 0.5 * (chip.to - chip.from) + beside;
    });
  };
  FineRim without = rim;
  std::size_t left = 0;
  for (RimSample& sample : without.samples) {
    sample.inlier = sample.inlier && !in_chip(sample);
    left += sample.inlier ? 1 : 0;
  }
  if (chips.empty() || 2 * left < rim.samples.size()) return false;
  rim = std::move(without);
  return true;
}

std::vector<Chip> described(const std::vector<RimChip>& chips, const RimPlace& place, const FineRim& rim) {
  const auto px = [&](const Point2& mm) {
    const Point2 p = place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z));
    return PixelPoint{p.x(), p.y()};
  };
  std::vector<Chip> out;
  for (const RimChip& chip : chips) {
    Chip one;
    const double middle = rim.fit.radius_at(chip.angle) + 0.5 * chip.depth_mm;
    one.centre_px = px(rim.fit.centre + middle * Point2(std::cos(chip.angle), std::sin(chip.angle)));
    one.depth_mm = chip.depth_mm;
    one.u95_mm = 1.96 * chip.u_depth_mm;
    one.width_mm = chip.width_mm;
    one.arc_deg = (chip.to - chip.from) * 180 / M_PI;
    for (const Point2& mm : chip.outline_mm) one.outline.push_back(px(mm));
    out.push_back(std::move(one));
  }
  return out;
}

}  // namespace spile::vision
