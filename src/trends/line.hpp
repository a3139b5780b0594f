// A straight line through values over time by weighted least squares: each value counts by 1 / u^2.
// Time is in any one unit, values and u in another; u are standard uncertainties of independent values, > 0.
#pragma once

#include <optional>
#include <span>

namespace spile::trends {

struct Reading {
  double t = 0, value = 0, u = 1;
};

// Level and rate are uncorrelated, since the level is taken at the weighted middle of the times.
struct Line {
  double middle = 0;              // weighted mean of the times
  double level = 0, u_level = 0;  // the line there; u by propagation of the stated u alone
  double rate = 0, u_rate = 0;    // per unit of time, likewise
  double chi_squared = 0;         // sum of squared residuals, each over its u
  int readings = 0;

  [[nodiscard]] double at(double t) const { return level + rate * (t - middle); }
  [[nodiscard]] double u_at(double t) const;
  [[nodiscard]] int degrees_of_freedom() const { return readings - 2; }
  // Scatter about the line over what the u lead to expect (the Birge ratio); 1 where nothing is left to tell.
  [[nodiscard]] double scatter() const;
};

// Nothing for fewer than two different times.
[[nodiscard]] std::optional<Line> fit_line(std::span<const Reading> readings);

}  // namespace spile::trends
