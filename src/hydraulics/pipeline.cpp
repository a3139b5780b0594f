#include "hydraulics/pipeline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cassert>
#include <cmath>

#include "hydraulics/flooding.hpp"
#include "hydraulics/metric.hpp"
#include "hydraulics/variation.hpp"
#include "units/text.hpp"

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;
using units::Millimetre;

constexpr double kRoughest = 0.1;  // e/D; Moody's chart ends at 0.05
constexpr Millimetre kNothing(0);

Millimetre velocity_head(double velocity) {
  return Millimetre(velocity * velocity / (2 * kGravity) * kMillimetresPerMetre);
}

double velocity_in(Millimetre bore, LitrePerMinute flow) {
  return flow.value() / kLitresPerMinute / area_m2(bore);
}

// On the velocity in the smaller bore.
double change_of_bore(Millimetre from, Millimetre to) {
  if (to < from) return contraction_loss(to / from);
  return expansion_loss(from / to);
}

StretchLoss loss_in(const Stretch& s, LitrePerMinute flow, double viscosity) {
  StretchLoss loss;
  loss.velocity = velocity_in(s.bore, flow);
  const Millimetre head = velocity_head(loss.velocity);
  loss.minor = head * s.losses;
  loss.reynolds = loss.velocity * metres(s.bore) / viscosity;
  if (loss.reynolds > 0) {
    loss.factor = friction_factor(loss.reynolds, std::min(s.rough / s.bore, kRoughest));
    loss.friction = head * (loss.factor * (s.length / s.bore));
  }
  return loss;
}

Result<void> complain(const Stretch& s, std::string_view what, std::string_view remedy) {
  return fail(ErrorCode::BadInput, fmt::format("{} {}.", s.name, what), std::string(remedy));
}

Result<void> check(const Stretch& s) {
  const auto finite = [](double v) { return std::isfinite(v); };
  if (!(s.bore > kNothing) || !finite(s.bore.value()))
    return complain(s, fmt::format("has a bore of {}", units::print_metric(s.bore)),
                    "Give the bore as measured; it has to be above 0.");
  if (!(s.length >= kNothing) || !finite(s.length.value()))
    return complain(s, fmt::format("has a length of {}", units::print_metric(s.length, 0)),
                    "A length is 0 or more.");
  if (!(s.losses >= 0) || !finite(s.losses) || !(s.rough >= kNothing))
    return complain(s, "has a negative loss or roughness", "They are 0 or more.");
  return {};
}

Result<void> check_drive(Millimetre fall, const PumpCurve* pump) {
  if (!std::isfinite(fall.value()))
    return fail(ErrorCode::BadInput, "The heights of the run's ends are not known.",
                "Record how high the water stands in the fixture and where the opening lies.");
  if (pump == nullptr && fall <= kNothing)
    return fail(ErrorCode::Refused,
                fall < kNothing
                    ? fmt::format("Nothing flows: the water would have to rise by {} and there is no pump.",
                                  units::print_metric(-fall, 0))
                    : std::string("Nothing flows: there is no fall and no pump."),
                "Raise the fixture, lower the outlet, or put a pump in the run.");
  if (pump != nullptr && pump->shut_off() + fall <= kNothing)
    return fail(ErrorCode::Refused,
                fmt::format("Nothing flows: the rise of {} is more than the {} that the pump lifts at most.",
                            units::print_metric(-fall, 0), units::print_metric(pump->shut_off(), 0)),
                "Lower the highest point, or fit a pump that lifts more.");
  return {};
}

// What drives less what is lost, mm; falls as the flow grows.
double surplus_at(const Pipeline& pipeline, Millimetre fall, const PumpCurve* pump, double flow) {
  const LitrePerMinute q(flow);
  const Millimetre driven = fall + (pump != nullptr ? pump->head_at(q) : kNothing);
  return (driven - head_needed(pipeline, q)).value();
}

LitrePerMinute balance(const Pipeline& pipeline, Millimetre fall, const PumpCurve* pump) {
  const auto surplus = [&](double flow) { return surplus_at(pipeline, fall, pump, flow); };
  // As if all losses went with the square of the flow.
  const double ten = 10, needed = head_needed(pipeline, LitrePerMinute(ten)).value();
  const double guess = ten * std::sqrt(std::max(surplus(0) / needed, 1e-12));
  std::uintmax_t rounds = 200;
  const auto [low, high] = boost::math::tools::bracket_and_solve_root(
      surplus, guess, 1.3, false, boost::math::tools::eps_tolerance<double>(52), rounds);
  return LitrePerMinute(std::abs(surplus(low)) < std::abs(surplus(high)) ? low : high);
}

}  // namespace

Result<void> check(const Pipeline& pipeline) {
  if (pipeline.stretches.empty())
    return fail(ErrorCode::BadInput, "The run has no part that water flows through.",
                "Add its hose and parts.");
  for (const auto& s : pipeline.stretches)
    if (auto ok = check(s); !ok) return ok;
  return {};
}

Millimetre Flowing::lost() const {
  Millimetre sum = exit;
  for (const auto& loss : losses) sum = sum + loss.total();
  return sum;
}

std::size_t Flowing::worst() const {
  const auto more = [](const StretchLoss& a, const StretchLoss& b) { return a.total() < b.total(); };
  return static_cast<std::size_t>(std::max_element(losses.begin(), losses.end(), more) - losses.begin());
}

Flowing at_flow(const Pipeline& pipeline, LitrePerMinute flow) {
  Flowing result;
  result.flow = flow;
  std::optional<Millimetre> before;
  for (const auto& s : pipeline.stretches) {
    StretchLoss loss = loss_in(s, flow, pipeline.viscosity);
    if (!before) {
      loss.change = velocity_head(loss.velocity) * pipeline.entrance;
    } else {
      const Millimetre narrow = std::min(*before, s.bore);
      loss.change = velocity_head(velocity_in(narrow, flow)) * change_of_bore(*before, s.bore);
    }
    before = s.bore;
    result.losses.push_back(loss);
  }
  if (before) result.exit = velocity_head(velocity_in(*before, flow));
  return result;
}

Millimetre head_needed(const Pipeline& pipeline, LitrePerMinute flow) {
  return at_flow(pipeline, flow).lost();
}

Result<Flowing> solve(const Pipeline& pipeline, Millimetre fall, const PumpCurve* pump) {
  if (auto ok = check(pipeline); !ok) return tl::unexpected(std::move(ok.error()));
  if (auto ok = check_drive(fall, pump); !ok) return tl::unexpected(std::move(ok.error()));
  const LitrePerMinute flow = balance(pipeline, fall, pump);
  Flowing result = at_flow(pipeline, flow);
  result.fall = fall;
  if (pump != nullptr) result.pump_head = pump->head_at(flow);
  return result;
}

LitrePerMinute flow_near(const Pipeline& pipeline, Millimetre fall, const PumpCurve* pump,
                         LitrePerMinute near) {
  if (!check_drive(fall, pump)) return LitrePerMinute(0);
  if (near <= LitrePerMinute(0)) return balance(pipeline, fall, pump);
  const auto surplus = [&](double flow) { return surplus_at(pipeline, fall, pump, flow); };
  std::uintmax_t rounds = 200;
  const auto [low, high] = boost::math::tools::bracket_and_solve_root(
      surplus, near.value(), 1.1, false, boost::math::tools::eps_tolerance<double>(32), rounds);
  return LitrePerMinute((low + high) / 2);
}

Result<units::Minute> time_to_empty(const Pipeline& pipeline, units::Litre volume, Millimetre depth,
                                    Millimetre fall) {
  if (!(volume > units::Litre(0)) || !(depth > kNothing))
    return fail(ErrorCode::BadInput, "The basin holds nothing.",
                "Give its volume and how deep the water stands.");
  const auto lowest = solve(pipeline, fall + depth * 1e-6);
  if (!lowest) return tl::unexpected(lowest.error());
  // By the root of the depth, because near empty the flow may go with it.
  LitrePerMinute last = balance(pipeline, fall + depth, nullptr);
  const auto slice = [&](double root) {
    last = flow_near(pipeline, fall + depth * (root * root), nullptr, last);
    return 2 * root / last.value();
  };
  const double integral =
      boost::math::quadrature::gauss_kronrod<double, 15>::integrate(slice, 1e-6, 1.0, 3, 1e-5);
  return units::Minute(volume.value() * integral);
}

}  // namespace spile::hydraulics
