#include "hydraulics/settling.hpp"

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cassert>

#include "hydraulics/flooding.hpp"

namespace spile::hydraulics {

namespace {

constexpr double kCubicMillimetresPerLitre = 1e6;

}  // namespace

std::optional<units::Minute> time_to_settle(const Leak& leak, units::Millimetre by,
                                            units::LitrePerMinute pumps) {
  assert(leak.waterplane.value() > 0 && by.value() >= 0 && "she settles on her waterplane");
  const auto net = [&](double settled) {
    return (inflow(leak.bore, leak.depth + units::Millimetre(settled), leak.coefficient) - pumps).value();
  };
  // What keeps up at the start keeps up: nothing settles.
  if (net(0) <= 0) return std::nullopt;
  const double litres_per_mm = leak.waterplane.value() / kCubicMillimetresPerLitre;
  const double minutes = boost::math::quadrature::gauss_kronrod<double, 31>::integrate(
      [&](double settled) { return litres_per_mm / net(settled); }, 0.0, by.value(), 10, 1e-6);
  return units::Minute(minutes);
}

std::optional<units::Minute> time_to_take_in(const Leak& leak, units::Litre volume,
                                             units::LitrePerMinute pumps) {
  return time_to_settle(
      leak, units::Millimetre(volume.value() * kCubicMillimetresPerLitre / leak.waterplane.value()), pumps);
}

}  // namespace spile::hydraulics
