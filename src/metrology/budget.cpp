#include <algorithm>
#include <cassert>
#include <cmath>

#include "metrology/uncertainty.hpp"

namespace spile::metrology {

namespace {

constexpr double kKnownWell = 1e9;

// JCGM 100, G.4.1: not an integer, so truncated to the next lower one; the small allowance keeps the rounding
// of the arithmetic from turning 4 into 3.
double usable_degrees_of_freedom(double nu) {
  return nu < 1 ? nu : std::floor(nu + 1e-6);
}

double welch_satterthwaite(double u, const std::vector<Contribution>& contributions) {
  double sum = 0;
  for (const auto& c : contributions) sum += std::pow(c.u / u, 4) / c.degrees_of_freedom;
  return std::min(kKnownWell, 1 / sum);
}

}  // namespace

Budget& Budget::add(std::string term, double u, double degrees_of_freedom) {
  assert(std::isfinite(u) && u >= 0 && "a standard uncertainty is not negative");
  assert(degrees_of_freedom > 0 && "degrees of freedom are above zero");
  contributions_.push_back({std::move(term), u, degrees_of_freedom});
  return *this;
}

Expanded Budget::expanded() const {
  double u = 0;
  for (const auto& c : contributions_) u = std::hypot(u, c.u);
  Expanded result;
  result.u = u;
  if (u == 0) return result;
  result.degrees_of_freedom = welch_satterthwaite(u, contributions_);
  result.coverage_factor = student_quantile(0.975, usable_degrees_of_freedom(result.degrees_of_freedom));
  result.u95 = result.coverage_factor * u;
  return result;
}

std::vector<model::BudgetTerm> Budget::terms() const {
  std::vector<model::BudgetTerm> terms;
  for (const auto& c : contributions_) terms.push_back({c.term, c.u});
  std::stable_sort(terms.begin(), terms.end(), [](const auto& a, const auto& b) { return a.u > b.u; });
  return terms;
}

}  // namespace spile::metrology
