#include "vision/graduations.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numeric>
#include <span>

namespace spile::vision {
namespace {

std::optional<double> coded_at(const cv::Mat& grey, const Point2& p) {
  if (!(p.x() >= 0 && p.y() >= 0 && p.x() < grey.cols - 1 && p.y() < grey.rows - 1)) return std::nullopt;
  const int x = static_cast<int>(p.x()), y = static_cast<int>(p.y());
  const double fx = p.x() - x, fy = p.y() - y;
  const auto* a = grey.ptr<std::uint8_t>(y) + x;
  const auto* b = grey.ptr<std::uint8_t>(y + 1) + x;
  return (1 - fy) * ((1 - fx) * a[0] + fx * a[1]) + fy * ((1 - fx) * b[0] + fx * b[1]);
}

std::optional<double> log_brightness(const cv::Mat& grey, const Plane& plane, double x, double y) {
  const auto coded = coded_at(grey, plane.px_from_mm({x, y, 0}));
  if (!coded) return std::nullopt;
  return std::log(*coded + 8);
}

// A way of dividing a rule: which marks are alike.
struct Division {
  double mm;
  int cycle;                 // marks from one longest mark to the next
  std::array<int, 5> ranks;  // marks that are multiples of these, longest first; 0 ends the list
};

// Metric rules by common practice (long marks at 5 and 10 mm); inch rules by halving.
constexpr std::array<Division, 6> kDivisions{{{1.0, 10, {10, 5, 0, 0, 0}},
                                              {0.5, 20, {20, 10, 2, 0, 0}},
                                              {25.4 / 8, 8, {8, 4, 2, 0, 0}},
                                              {25.4 / 16, 16, {16, 8, 4, 2, 0}},
                                              {25.4 / 32, 32, {32, 16, 8, 4, 2}},
                                              {25.4 / 64, 64, {64, 32, 16, 8, 4}}}};

int rank_of(const Division& division, int index) {
  int rank = 0;
  for (const int every : division.ranks) {
    if (every == 0) break;
    if (index % every == 0) return rank;
    ++rank;
  }
  return rank;
}

int ranks_in(const Division& division) {
  return 1 + static_cast<int>(std::count_if(division.ranks.begin(), division.ranks.end(),
                                            [](int every) { return every != 0; }));
}

// Darkness of every mark against the gaps beside it at one depth; the marks outside the picture are left out.
struct DepthRow {
  std::vector<int> index;
  std::vector<double> darkness;
};

DepthRow read_depth(const cv::Mat& grey, const Plane& plane, int first, int last, double depth) {
  DepthRow row;
  for (int k = first; k <= last; ++k) {
    double mark = 0, gap = 0;
    bool inside = true;
    for (const double dy : {-0.2, 0.0, 0.2}) {
      for (const double dx : {-0.12, 0.0, 0.12}) {
        const auto m = log_brightness(grey, plane, k + dx, depth + dy);
        const auto l = log_brightness(grey, plane, k - 0.5 + dx, depth + dy);
        const auto r = log_brightness(grey, plane, k + 0.5 + dx, depth + dy);
        inside = inside && m && l && r;
        if (!inside) break;
        mark += *m;
        gap += 0.5 * (*l + *r);
      }
    }
    if (!inside) continue;
    row.index.push_back(k);
    row.darkness.push_back((gap - mark) / 9);
  }
  return row;
}

// Share of the row's variance that the ranks explain, less what chance would; with `dark` the mean of the
// longest rank less that of the shortest.
struct Explained {
  double share = 0, dark = 0;
};

Explained explained(const DepthRow& row, const Division& division, int longest) {
  const auto n = static_cast<double>(row.darkness.size());
  std::array<double, 6> sum{}, count{};
  double total = 0, square = 0;
  for (std::size_t i = 0; i < row.darkness.size(); ++i) {
    const int shifted = ((row.index[i] - longest) % division.cycle + division.cycle) % division.cycle;
    const auto rank = static_cast<std::size_t>(rank_of(division, shifted));
    sum[rank] += row.darkness[i];
    count[rank] += 1;
    total += row.darkness[i];
    square += row.darkness[i] * row.darkness[i];
  }
  const double all = square - total * total / n;
  double between = -total * total / n;
  std::size_t shortest = 0;
  for (std::size_t r = 0; r < sum.size(); ++r)
    if (count[r] > 0) {
      between += sum[r] * sum[r] / count[r];
      shortest = r;
    }
  if (all <= 0 || count[0] < 1) return {};
  const double chance = (ranks_in(division) - 1) / (n - 1);
  return {(between / all - chance) / (1 - chance), sum[0] / count[0] - sum[shortest] / count[shortest]};
}

// The best phase of one division over all depths.
struct Candidate {
  double share = -1;
  int longest = 0;
  double mm = 0;
};

Candidate best_phase(std::span<const DepthRow> rows, const Division& division) {
  Candidate best;
  best.mm = division.mm;
  for (int longest = 0; longest < division.cycle; ++longest) {
    double share = 0, dark = 0, weight = 0;
    for (const DepthRow& row : rows) {
      const Explained e = explained(row, division, longest);
      share += e.share;
      dark += e.dark;
      weight += 1;
    }
    if (weight > 0 && dark > 0 && share / weight > best.share) {
      best.share = share / weight;
      best.longest = longest;
    }
  }
  return best;
}

}  // namespace

std::optional<MarkReading> read_marks(const cv::Mat& grey, const Plane& plane, double x, double y,
                                      double pitch, double offset) {
  constexpr int kSamplesEach = 12, kPitches = 4, kCount = kSamplesEach * kPitches;
  std::array<double, kCount> value{};
  for (int i = 0; i < kCount; ++i) {
    const double at = x + pitch * ((i + 0.5) / kSamplesEach - 0.5 * kPitches);
    for (const double across : {-0.15, 0.15}) {
      const auto v = log_brightness(grey, plane, at, y + across * pitch);
      if (!v) return std::nullopt;
      value[static_cast<std::size_t>(i)] += 0.5 * *v;
    }
  }
  // A straight line is taken off first: shading along the rule is no mark.
  double mean = 0, slope = 0, norm = 0;
  for (int i = 0; i < kCount; ++i) {
    const double c = i - 0.5 * (kCount - 1);
    mean += value[static_cast<std::size_t>(i)] / kCount;
    slope += c * value[static_cast<std::size_t>(i)];
    norm += c * c;
  }
  slope /= norm;
  std::complex<double> sum = 0;
  double weights = 0, power = 1e-9;
  for (int i = 0; i < kCount; ++i) {
    const double c = i - 0.5 * (kCount - 1);
    const double at = x + pitch * ((i + 0.5) / kSamplesEach - 0.5 * kPitches) - offset;
    const double w = 0.5 + 0.5 * std::cos(2 * M_PI * c / kCount);
    const double v = value[static_cast<std::size_t>(i)] - mean - slope * c;
    sum += w * v * std::polar(1.0, -2 * M_PI * at / pitch);
    weights += w;
    power += w * v * v;
  }
  // Dark marks at the multiples are a cosine of negative amplitude.
  MarkReading out;
  out.shift = -std::arg(-sum) * pitch / (2 * M_PI);
  out.coherence = 2 * std::norm(sum) / (weights * power);
  return out;
}

std::optional<Graduation> graduation_of(const cv::Mat& grey, const Plane& plane, int first, int last) {
  std::vector<DepthRow> rows;
  for (double depth = 1.0; depth < 19; depth += 0.75) {
    DepthRow row = read_depth(grey, plane, first, last, depth);
    if (row.index.size() >= 18) rows.push_back(std::move(row));
  }
  if (rows.empty()) return std::nullopt;
  std::vector<Candidate> tried;
  for (const Division& division : kDivisions) {
    if (last - first < division.cycle * 3 / 2) continue;
    // Marks end at different depths on different rules: the eight depths that show the pattern best.
    std::vector<DepthRow> sorted = rows;
    const auto quality = [&](const DepthRow& row) {
      double best = -1;
      for (int longest = 0; longest < division.cycle; ++longest)
        best = std::max(best, explained(row, division, longest).share);
      return best;
    };
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < rows.size(); ++i) order.emplace_back(-quality(rows[i]), i);
    std::sort(order.begin(), order.end());
    sorted.clear();
    for (std::size_t i = 0; i < std::min<std::size_t>(8, order.size()); ++i)
      sorted.push_back(rows[order[i].second]);
    tried.push_back(best_phase(sorted, division));
  }
  if (tried.empty()) return std::nullopt;
  std::sort(tried.begin(), tried.end(), [](const auto& a, const auto& b) { return a.share > b.share; });
  const double next = tried.size() > 1 ? std::max(0.0, tried[1].share) : 0;
  return Graduation{tried[0].mm, tried[0].longest, tried[0].share, tried[0].share - next};
}

}  // namespace spile::vision
