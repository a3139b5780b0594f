#include "vision/rim_ring.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/core/utility.hpp>
#include <span>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr std::size_t kFewest = 120, kMost = 1024;  // directions
constexpr std::size_t kAnchors = 48;                // directions in which the usual colour is worked out
// What counts as near by, to either side of an anchor: several chips wide, yet as little of the light's
// changes as may be.
constexpr double kWindowMm = 12, kNarrowestWindow = 0.35, kWidestWindow = M_PI / 3;
constexpr std::size_t kInWindow = 60;
constexpr double kLeastSpread = 2.0;  // coded values: a ring without any noise

using Ycc = std::array<float, 3>;

struct Usual {
  std::array<double, 3> colour{}, spread{1, 1, 1};
};

// On all cores: a ring is read for every hole of a photo.
template <class Work>
void for_each_of(std::size_t count, const Work& work) {
  cv::parallel_for_(cv::Range(0, static_cast<int>(count)), [&](const cv::Range& some) {
    for (int i = some.start; i < some.end; ++i) work(static_cast<std::size_t>(i));
  });
}

// The values near one anchor, one channel after the other. Sorted in place: there are tens of thousands of
// these in one ring.
struct Near {
  std::array<std::array<double, kInWindow>, 3> values{};
  std::size_t count = 0;
};

Usual usual_of(Near& near) {
  Usual out;
  for (std::size_t c = 0; c < 3; ++c) {
    const std::span<double> values(near.values[c].data(), near.count);
    out.colour[c] = median_of(values);
    for (double& v : values) v = std::abs(v - out.colour[c]);
    out.spread[c] = std::max(kLeastSpread, 1.4826 * median_of(values));
  }
  return out;
}

}  // namespace

RimRing::RimRing(const RimPlace& place, const FineRim& rim, double reach_mm) {
  const double round_px = 2 * M_PI * rim.fit.radius / rim.mm_per_px;
  directions_ = std::clamp(static_cast<std::size_t>(round_px), kFewest, kMost);
  step_mm_ = std::max(rim.mm_per_px, reach_mm / 160);
  window_ = std::clamp(kWindowMm / rim.fit.radius, kNarrowestWindow, kWidestWindow);
  steps_ = static_cast<std::size_t>(reach_mm / step_mm_) + 1;
  seen_.assign(directions_, 1);
  difference_.resize(directions_ * steps_);
  departure_.resize(directions_ * steps_);
  read(place, rim);
  soften();
  compare();
}

double RimRing::angle(std::size_t direction) const {
  return 2 * M_PI * static_cast<double>(direction) / static_cast<double>(directions_);
}

void RimRing::read(const RimPlace& place, const FineRim& rim) {
  for_each_of(directions_, [&](std::size_t k) {
    const Point2 way(std::cos(angle(k)), std::sin(angle(k)));
    const double radius = rim.fit.radius_at(angle(k));
    for (std::size_t j = 0; j < steps_ && seen_[k] != 0; ++j) {
      const Point2 mm = rim.fit.centre + (radius + away_mm(j)) * way;
      const Point2 px = place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z));
      seen_[k] = place.view.holds(px.x(), px.y()) ? 1 : 0;
      if (seen_[k] != 0) difference_[k * steps_ + j] = place.view.ycc_at(px.x(), px.y());
    }
  });
}

// Noise is no business of chips: each place with its two neighbours round the rim.
void RimRing::soften() {
  const std::vector<Ycc> sharp = difference_;
  for (std::size_t k = 0; k < directions_; ++k) {
    const std::size_t before = (k + directions_ - 1) % directions_, after = (k + 1) % directions_;
    if (seen_[k] == 0 || seen_[before] == 0 || seen_[after] == 0) continue;
    for (std::size_t j = 0; j < steps_; ++j) {
      for (std::size_t c = 0; c < 3; ++c)
        difference_[k * steps_ + j][c] = 0.25F * sharp[before * steps_ + j][c] +
                                         0.5F * sharp[k * steps_ + j][c] +
                                         0.25F * sharp[after * steps_ + j][c];
    }
  }
}

// The directions that count as near each anchor.
std::vector<std::vector<std::size_t>> RimRing::anchor_windows() const {
  std::vector<std::vector<std::size_t>> windows(kAnchors);
  for (std::size_t a = 0; a < kAnchors; ++a) {
    for (std::size_t i = 0; i < kInWindow; ++i) {
      const double share = 2 * (static_cast<double>(i) + 0.5) / kInWindow - 1;
      const double turn = static_cast<double>(a) / kAnchors + share * window_ / (2 * M_PI);
      const auto k = static_cast<std::size_t>((turn + 1) * static_cast<double>(directions_)) % directions_;
      if (seen_[k] != 0) windows[a].push_back(k);
    }
  }
  return windows;
}

void RimRing::compare() {
  const auto windows = anchor_windows();
  const auto n = static_cast<double>(directions_);
  for_each_of(steps_, [&](std::size_t j) {
    std::array<Usual, kAnchors> usual;
    for (std::size_t a = 0; a < kAnchors; ++a) {
      Near near;
      for (const std::size_t k : windows[a]) {
        for (std::size_t c = 0; c < 3; ++c)
          near.values[c][near.count] = static_cast<double>(difference_[k * steps_ + j][c]);
        ++near.count;
      }
      usual[a] = usual_of(near);
    }
    for (std::size_t k = 0; k < directions_; ++k) {
      const double turn = static_cast<double>(k) / n * kAnchors;
      const auto before = static_cast<std::size_t>(turn) % kAnchors, after = (before + 1) % kAnchors;
      const double share = turn - std::floor(turn);
      double square = 0;
      for (std::size_t c = 0; c < 3; ++c) {
        const auto between = [&](double from, double to) { return from + share * (to - from); };
        float& value = difference_[k * steps_ + j][c];
        value -= static_cast<float>(between(usual[before].colour[c], usual[after].colour[c]));
        const double away =
            static_cast<double>(value) / between(usual[before].spread[c], usual[after].spread[c]);
        square += away * away / 3;
      }
      departure_[k * steps_ + j] = static_cast<float>(seen_[k] != 0 ? std::sqrt(square) : 0);
    }
  });
}

}  // namespace spile::vision
