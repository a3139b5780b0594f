// Uncertainty budgets by the law of propagation for uncorrelated inputs (JCGM 100:2008, clause 5), expanded
// at 95 %.
#pragma once

#include <string>
#include <vector>

#include "model/measurement.hpp"

namespace spile::metrology {

// One input: standard uncertainty in the unit of the result (sensitivity already applied) and its degrees of
// freedom.
struct Contribution {
  std::string term;
  double u = 0;                     // >= 0
  double degrees_of_freedom = 1e9;  // > 0; 1e9 stands for "known well"
};

struct Expanded {
  double u = 0;                     // combined standard uncertainty
  double degrees_of_freedom = 1e9;  // Welch-Satterthwaite, JCGM 100 annex G.4
  double coverage_factor = 1.96;    // Student's t at 95 %, two-sided
  double u95 = 0;                   // half-width of the 95 % interval
};

class Budget {
 public:
  Budget& add(std::string term, double u, double degrees_of_freedom = 1e9);
  [[nodiscard]] const std::vector<Contribution>& contributions() const { return contributions_; }
  [[nodiscard]] Expanded expanded() const;
  [[nodiscard]] std::vector<model::BudgetTerm> terms() const;  // largest first

 private:
  std::vector<Contribution> contributions_;
};

// Standard uncertainties of the usual shapes (JCGM 100, 4.3): half-width `a`, or one digit of a display.
[[nodiscard]] double rectangular(double a);
[[nodiscard]] double triangular(double a);
[[nodiscard]] double arcsine(double a);
[[nodiscard]] double resolution(double digit);

// Quantiles and probabilities; p in (0, 1), nu > 0.
[[nodiscard]] double normal_probability(double z);
[[nodiscard]] double normal_quantile(double p);
[[nodiscard]] double student_quantile(double p, double nu);
// That a chi-squared of nu degrees of freedom is at least `x`; x >= 0.
[[nodiscard]] double chi_squared_above(double x, double nu);

// Repeated readings: mean, sample standard deviation, standard uncertainty of the mean (JCGM 100, 4.2). At
// least two.
struct Repeated {
  double mean = 0;
  double s = 0;
  double u = 0;
  double degrees_of_freedom = 0;
};
[[nodiscard]] Repeated repeated(const std::vector<double>& readings);

// Inverse-variance weighted mean of independent values.
struct Weighted {
  double mean = 0;
  double u = 0;
};
[[nodiscard]] Weighted weighted_mean(const std::vector<double>& values, const std::vector<double>& u);

}  // namespace spile::metrology
