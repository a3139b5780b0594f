#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cassert>
#include <cmath>
#include <numbers>

#include "metrology/uncertainty.hpp"

namespace spile::metrology {

double rectangular(double a) {
  return a / std::numbers::sqrt3;
}
double triangular(double a) {
  return a / std::sqrt(6.0);
}
double arcsine(double a) {
  return a / std::numbers::sqrt2;
}
double resolution(double digit) {
  return rectangular(digit / 2);
}

double normal_probability(double z) {
  return boost::math::cdf(boost::math::normal(), z);
}

double normal_quantile(double p) {
  assert(p > 0 && p < 1 && "a quantile needs a probability between 0 and 1");
  return boost::math::quantile(boost::math::normal(), p);
}

double student_quantile(double p, double nu) {
  assert(p > 0 && p < 1 && "a quantile needs a probability between 0 and 1");
  assert(nu > 0 && "degrees of freedom are above zero");
  return boost::math::quantile(boost::math::students_t(nu), p);
}

double chi_squared_above(double x, double nu) {
  assert(nu > 0 && "degrees of freedom are above zero");
  return boost::math::cdf(boost::math::complement(boost::math::chi_squared(nu), x));
}

}  // namespace spile::metrology
