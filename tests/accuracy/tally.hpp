// How often intervals hold the truth, over all trials and in classes of tilt, size and blur.
#pragma once

#include <string>
#include <vector>

#include "trial.hpp"

namespace spile::accuracy {

struct Tally {
  std::string name;  // "all", "tilt 15-30 deg" ...
  int trials = 0, answered = 0, held = 0;
  double mean_z = 0, sd_z = 0;
  double rms_error_pct = 0, median_error_pct = 0, median_u95_pct = 0;
  [[nodiscard]] double held_pct() const { return answered > 0 ? 100.0 * held / answered : 0; }
};

// "all" first, then three classes each of tilt, size (radius in pixels) and blur.
[[nodiscard]] std::vector<Tally> tallied(const std::vector<Trial>& trials);

// The share of intervals that may be seen to hold the truth, %, in `n` trials when the true share lies
// between `from_pct` and `to_pct`, but for one run in some hundreds at either end (2.6 standard deviations of
// the binomial distribution).
struct Limits {
  double from_pct = 0, to_pct = 100;
};
[[nodiscard]] Limits binomial_limits(double from_pct, double to_pct, int n);

// One line a class, as a Markdown table.
[[nodiscard]] std::string markdown(const std::vector<Tally>& tallies);

}  // namespace spile::accuracy
