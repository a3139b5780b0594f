#include "app/run_flow.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "app/wording.hpp"

namespace spile::app {

using hydraulics::above_sea;
using rules::PartKind;
using units::Millimetre;

double sea_height(const HeightPoint& p, double more_mm, const FlowCase& f) {
  return above_sea(Millimetre(p.height_mm + more_mm), Millimetre(p.toward_low_side_mm),
                   units::Degree(f.heel_deg), Millimetre(f.place.sinkage_mm))
      .value();
}

rules::Flow service_flow(const FlowCase& f) {
  const auto* service = f.shop.tables.service(f.place.service);
  return service != nullptr ? service->flow : rules::Flow::Discharge;
}

const rules::PlacedPart* pump_of(const RunView& view) {
  for (const auto& part : view.placed.parts)
    if (part.stock->kind == PartKind::Pump) return &part;
  return nullptr;
}

std::optional<std::size_t> vented_point(const RunView& view) {
  for (std::size_t i = view.placed.parts.size(); i-- > 0;)
    if (view.placed.parts[i].stock->vented) return i + 1;
  return std::nullopt;
}

namespace {

bool carries_water(rules::Flow flow) {
  return flow == rules::Flow::Intake || flow == rules::Flow::Discharge || flow == rules::Flow::Drain;
}

std::string cannot(const RunView& view) {
  if (!view.faults.empty()) return "Not worked out: " + view.faults.front();
  if (view.placed.parts.empty()) return "The run has no parts yet.";
  return {};
}

std::size_t highest_point(const FlowCase& f) {
  const auto& p = f.view.profile;
  std::size_t highest = 0;
  for (std::size_t i = 1; i < p.size(); ++i)
    if (sea_height(p[i], 0, f) > sea_height(p[highest], 0, f)) highest = i;
  return highest;
}

void fill(FlowView& into, const hydraulics::Pipeline& pipeline, const hydraulics::Flowing& solved) {
  into.lpm = solved.flow.value();
  into.fall_mm = solved.fall.value();
  into.pump_head_mm = solved.pump_head.value();
  const double lost = solved.lost().value();
  for (std::size_t i = 0; i < solved.losses.size(); ++i) {
    const double head = solved.losses[i].total().value();
    into.losses.push_back(
        {pipeline.stretches[i].name, head, solved.losses[i].velocity, lost > 0 ? head / lost : 0});
  }
  into.worst = solved.worst();
}

void take_range(FlowView& into, const hydraulics::Pipeline& pipeline, const hydraulics::Flowing& solved,
                const hydraulics::PumpCurve* pump, const FlowCase& f) {
  if (f.flow_alone) return;
  const double height = f.shop.tables.threshold("zone.height.u95").value;
  const auto range = hydraulics::range_of(
      pipeline, solved, pump, {Millimetre(std::sqrt(2.0) * height), pump != nullptr ? kPumpDoubt : 0});
  into.low_lpm = range.low.value();
  into.high_lpm = range.high.value();
  into.budget = range.budget;
}

FlowView gravity(const FlowCase& f) {
  FlowView out;
  out.drive = Drive::Gravity;
  const auto& profile = f.view.profile;
  const double depth = f.view.run.basin_depth_mm.value_or(0);
  const double surface = sea_height(profile.front(), depth, f);
  const double outlet = std::max(0.0, sea_height(profile.back(), 0, f));
  const auto pipeline = pipeline_of(f.view.placed.parts, f.shop.stock);
  const double hump = sea_height(profile[highest_point(f)], 0, f);
  if (hump > surface + 1) {
    out.why_not =
        fmt::format("Nothing drains by itself: the run climbs {} mm above the water in the fixture.",
                    print_number(hump - surface, 0));
    return out;
  }
  const auto solved = hydraulics::solve(pipeline, Millimetre(surface - outlet));
  if (!solved) {
    out.why_not = solved.error().sentence();
    return out;
  }
  fill(out, pipeline, *solved);
  take_range(out, pipeline, *solved, nullptr, f);
  if (f.view.run.basin_litres && depth > 0 && !f.flow_alone) {
    const auto minutes = hydraulics::time_to_empty(
        pipeline, units::Litre(*f.view.run.basin_litres), Millimetre(depth),
        Millimetre(surface - depth * std::cos(f.heel_deg * std::numbers::pi / 180) - outlet));
    if (minutes) out.empty_minutes = minutes->value();
  }
  return out;
}

FlowView pumped(const FlowCase& f, const rules::PlacedPart& pump_part) {
  FlowView out;
  out.drive = Drive::Pumped;
  const auto pump = hydraulics::PumpCurve::parse(pump_part.curve);
  if (!pump) {
    out.why_not = pump.error().sentence();
    return out;
  }
  const auto& profile = f.view.profile;
  const auto vent = vented_point(f.view);
  const double start = sea_height(profile.front(), 0, f);
  const double crest = sea_height(profile[highest_point(f)], 0, f);
  if (start + pump->shut_off().value() <= crest) {
    out.why_not =
        fmt::format("Nothing flows: the run climbs {} mm above the pump, which lifts {} mm at most.",
                    print_number(crest - start, 0), print_number(pump->shut_off().value(), 0));
    return out;
  }
  const double outlet =
      vent ? sea_height(profile[*vent], 0, f) : std::max(0.0, sea_height(profile.back(), 0, f));
  const auto parts = std::span(f.view.placed.parts).first(vent.value_or(f.view.placed.parts.size()));
  const auto pipeline = pipeline_of(parts, f.shop.stock);
  const auto solved = hydraulics::solve(pipeline, Millimetre(start - outlet), &*pump);
  if (!solved) {
    out.why_not = solved.error().sentence();
    return out;
  }
  fill(out, pipeline, *solved);
  take_range(out, pipeline, *solved, &*pump, f);
  return out;
}

FlowView drawn(const FlowCase& f) {
  FlowView out;
  out.drive = Drive::Drawn;
  const auto* service = f.shop.stock.service(f.place.service);
  if (service == nullptr) {
    out.why_not = "How much this service draws is not in the tables.";
    return out;
  }
  const auto pipeline = pipeline_of(f.view.placed.parts, f.shop.stock, true);
  auto at = hydraulics::at_flow(pipeline, units::LitrePerMinute(service->flow_to_lpm));
  at.fall = Millimetre(-sea_height(f.view.profile.front(), 0, f));
  fill(out, pipeline, at);
  out.low_lpm = service->flow_from_lpm;
  out.high_lpm = service->flow_to_lpm;
  out.needed_mm = at.lost().value() - at.fall.value();
  return out;
}

std::string margin_words(const BackflowView& b, const std::string& when) {
  using hydraulics::Backflow;
  const auto up = [](double mm) { return print_number(std::abs(mm), 0) + " mm"; };
  switch (b.answer) {
    case Backflow::OutletDry:
      return fmt::format("The outlet lies {} above the sea {}: nothing can run back.", up(b.outlet_mm), when);
    case Backflow::Clear:
      return fmt::format("The fixture's rim stands {} above the sea {}: it does not fill from outside.",
                         up(b.rim_mm), when);
    case Backflow::Close:
      return fmt::format(
          "The fixture's rim stands only {} above the sea {}: a wave or a lurch brings water in.",
          up(b.rim_mm), when);
    case Backflow::HeldByLoop:
      return fmt::format(
          "The fixture lies {} under the sea {}; a vented loop {} above it holds the water off as long as "
          "its valve is clean.",
          up(b.rim_mm), when, up(b.highest_mm));
    case Backflow::LoopTooLow:
      return fmt::format(
          "The fixture lies {} under the sea {} and the vented loop stands only {} above it: raise the loop.",
          up(b.rim_mm), when, up(b.highest_mm));
    case Backflow::Siphons:
      return fmt::format(
          "The fixture lies {} under the sea {} and nothing breaks the siphon: once the run is full the sea "
          "runs in.",
          up(b.rim_mm), when);
    case Backflow::RunsBack:
      return fmt::format(
          "Fixture and run lie under the sea {}: it runs in by itself unless the valve is shut.", when);
  }
  return {};
}

}  // namespace

FlowView flow_of(const FlowCase& f) {
  FlowView out;
  if (!carries_water(service_flow(f))) {
    out.why_not = "No water flows in it in use: a vent or an exhaust.";
    return out;
  }
  if (out.why_not = cannot(f.view); !out.why_not.empty()) return out;
  if (f.view.profile.empty()) {
    out.why_not = f.view.notes.empty() ? "Heights are not recorded." : f.view.notes.back();
    return out;
  }
  if (service_flow(f) == rules::Flow::Intake) return drawn(f);
  const auto* pump = pump_of(f.view);
  out = pump != nullptr ? pumped(f, *pump) : gravity(f);
  if (const auto* service = f.shop.stock.service(f.place.service))
    out.needed_mm = hydraulics::head_needed(pipeline_of(f.view.placed.parts, f.shop.stock),
                                            units::LitrePerMinute(service->flow_to_lpm))
                        .value();
  return out;
}

std::optional<BackflowView> backflow_of(const FlowCase& f) {
  const auto flow = service_flow(f);
  const double depth = f.view.run.basin_depth_mm.value_or(0);
  if (!carries_water(flow) || f.view.profile.empty() || !cannot(f.view).empty()) return std::nullopt;
  if (flow == rules::Flow::Intake && depth <= 0) return std::nullopt;  // closed by its own pump
  BackflowView out;
  const auto& profile = f.view.profile;
  const auto vent = vented_point(f.view);
  out.outlet_mm = sea_height(profile.back(), 0, f);
  out.rim_mm = sea_height(profile.front(), depth, f);
  out.highest_mm = sea_height(vent ? profile[*vent] : profile[highest_point(f)], 0, f);
  out.answer = hydraulics::judge_backflow(
      {Millimetre(out.outlet_mm), Millimetre(out.highest_mm), Millimetre(out.rim_mm), vent.has_value()},
      {Millimetre(f.shop.tables.threshold("run.rim.margin").value),
       Millimetre(f.shop.tables.threshold("valve.bilge-discharge.height").value)});
  out.text =
      margin_words(out, f.heel_deg > 0 ? fmt::format("at {}° heel", print_number(f.heel_deg, 0)) : "at rest");
  if (hydraulics::dangerous(out.answer)) {
    const double inside = std::max(0.0, -sea_height(profile.front(), 0, f));
    if (auto solved =
            hydraulics::solve(pipeline_of(f.view.placed.parts, f.shop.stock, true), Millimetre(inside)))
      out.lpm = solved->flow.value();
  }
  return out;
}

}  // namespace spile::app
