#include "app/water.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/run_network.hpp"
#include "app/run_view.hpp"
#include "app/session.hpp"
#include "app/wording.hpp"
#include "hydraulics/flooding.hpp"
#include "hydraulics/settling.hpp"
#include "rules/heel.hpp"
#include "rules/standing_value.hpp"

namespace spile::app {

namespace {

using hydraulics::inflow;
using units::LitrePerMinute;
using units::Millimetre;

constexpr double kWaterplaneShare = 0.6;  // of hull length times beam
constexpr double kSettle = 100;           // mm
constexpr double kVolume = 500;           // L
// What tables of coefficients disagree by (hydraulics handbooks), 95 %.
constexpr double kEdgeDoubt = 0.02, kTubeDoubt = 0.05;

const model::Measurement* measured(const OpeningView& view, model::Quantity quantity,
                                   const WaterCase& facts) {
  return rules::standing_value(view.measurements, quantity, facts.newest_first);
}

bool below(const OpeningView& view) {
  for (const auto& verdict : view.verdicts)
    if (verdict.rule == "zone") return verdict.answer != "above";
  return true;
}

RunPlace place_of(const OpeningView& view, const WaterCase& facts, double heel_deg) {
  RunPlace place;
  place.tag = view.opening.tag;
  place.service = view.opening.service;
  place.height_mm = view.opening.height_mm;
  place.half_breadth_mm = view.opening.half_breadth_mm;
  place.end.fitting = view.fitting;
  if (const auto* bore = measured(view, model::Quantity::BoreDiameter, facts)) {
    place.end.bore_mm = bore->value;
    place.end.bore_u95_mm = bore->u95;
  }
  if (const auto* hole = measured(view, model::Quantity::HoleDiameter, facts))
    place.end.hole_mm = hole->value;
  place.end.below_waterline = below(view);
  place.heel_deg = heel_deg;
  place.sinkage_mm = facts.vessel.loaded_sinkage_mm;
  return place;
}

bool is_bilge(const OpeningView& view) {
  return view.opening.service.ends_with("bilge-discharge");
}

void add_pumps(WaterView& water, const WaterCase& facts) {
  std::size_t count = 0;
  for (const auto& run : water.runs) {
    const auto view = std::find_if(facts.openings.begin(), facts.openings.end(),
                                   [&](const OpeningView& o) { return o.opening.id == run.run.opening; });
    if (view == facts.openings.end() || !is_bilge(*view) || run.at_rest.drive != Drive::Pumped ||
        !run.at_rest.flows())
      continue;
    water.pumps_lpm += run.at_rest.lpm;
    ++count;
  }
  const double other = facts.bilge.other_pumps_lpm.value_or(0);
  water.pumps_lpm += other;
  if (count > 0)
    water.pumps_how = fmt::format("{} worked out through its own run", counted(count, "bilge pump"));
  if (other > 0)
    water.pumps_how += fmt::format("{}{} L/min as recorded", water.pumps_how.empty() ? "" : ", and ",
                                   print_number(other, 1));
  if (water.pumps_how.empty()) water.pumps_how = "no bilge pump is recorded";
}

void take_waterplane(WaterView& water, const WaterCase& facts) {
  if (facts.bilge.waterplane_m2) {
    water.waterplane_m2 = facts.bilge.waterplane_m2;
    water.waterplane_how = "as recorded";
  } else if (facts.vessel.length_mm && facts.vessel.beam_mm) {
    water.waterplane_m2 = kWaterplaneShare * *facts.vessel.length_mm * *facts.vessel.beam_mm / 1e6;
    water.waterplane_how = "estimated as 0.6 times hull length times beam (common practice, good to a fifth)";
  } else {
    water.waterplane_how = "not known: record hull length and beam";
  }
}

struct Hole {
  std::string what, how, cd_source;
  double bore_mm, u95_mm, cd, cd_u95;
};

void add_hole(std::vector<Hole>& holes, const OpeningView& view, const WaterCase& facts) {
  const std::string sharp = "0.61, bare hole with a sharp edge: 0.60 to 0.62 in tables of small orifices";
  if (const auto* hole = measured(view, model::Quantity::HoleDiameter, facts)) {
    holes.push_back({"fitting gone, bare hole", "hole as measured", sharp, hole->value, hole->u95,
                     hydraulics::kSharpEdge, kEdgeDoubt});
    return;
  }
  const auto* step = view.fitting ? rules::nominal_step(view.fitting->nominal_size) : nullptr;
  if (step == nullptr) return;
  for (const auto& size : facts.tables.nominal_sizes())
    if (size.size_in == step->inches)
      holes.push_back({"fitting gone, bare hole", fmt::format("the hole usual for {} in", step->inches),
                       sharp, (size.hole.from_mm + size.hole.to_mm) / 2,
                       std::max(1.5, (size.hole.to_mm - size.hole.from_mm) / 2), hydraulics::kSharpEdge,
                       kEdgeDoubt});
}

void add_bore(std::vector<Hole>& holes, const OpeningView& view, const WaterCase& facts) {
  const std::string tube = "0.82, short tube: 1/sqrt(1 + 0.5), square entrance";
  if (const auto* bore = measured(view, model::Quantity::BoreDiameter, facts)) {
    holes.push_back({"valve or tail broken off, fitting open", "bore as measured", tube, bore->value,
                     bore->u95, hydraulics::kShortTube, kTubeDoubt});
    return;
  }
  const auto* row = view.fitting ? facts.stock.through_hull(view.fitting->nominal_size, "npsm") : nullptr;
  if (row != nullptr)
    holes.push_back({"valve or tail broken off, fitting open",
                     fmt::format("the bore usual for {}", view.fitting->nominal_size), tube, row->bore_mm,
                     row->bore_u95_mm, hydraulics::kShortTube, kTubeDoubt});
}

// Through valve and tail, as far as the hose that let go.
void add_parted(std::vector<Hole>& holes, const OpeningView& view, const WaterView& water) {
  for (const auto& run : water.runs) {
    if (run.run.opening != view.opening.id || !run.faults.empty()) continue;
    double narrowest = 0, doubt = 0, losses = 0.5;
    for (auto part = run.placed.parts.rbegin(); part != run.placed.parts.rend(); ++part) {
      if (part->stock->kind == rules::PartKind::Hose) break;
      if (narrowest == 0 || part->bore_mm < narrowest) {
        narrowest = part->bore_mm;
        doubt = part->bore_u95_mm;
      }
      if (part->stock->kind == rules::PartKind::Valve) losses += 0.05;
    }
    if (narrowest <= 0 || narrowest >= run.match.widest_mm * 1.5) continue;
    const double cd = hydraulics::coefficient_from_losses(losses);
    holes.push_back({"hose parted at the tail", "narrowest of tail, valve and fitting",
                     fmt::format("{}, from losses of {} at entrance and valve", print_number(cd, 2),
                                 print_number(losses, 2)),
                     narrowest, doubt, cd, kTubeDoubt});
    return;
  }
}

LeakView leak_of(const Hole& hole, const FloodView& flood, const WaterView& water, double height_u95) {
  LeakView leak{hole.what, hole.bore_mm, hole.u95_mm, hole.how, hole.cd, hole.cd_source, 0, 0, 0, 0, {},
                {},        {},           {},          {},       {}};
  const Millimetre bore(hole.bore_mm), rest(flood.depth_at_rest_mm), heeled(flood.depth_heeled_mm);
  leak.at_rest_lpm = inflow(bore, rest, hole.cd).value();
  leak.heeled_lpm = inflow(bore, heeled, hole.cd).value();
  const auto off = [&](double b, double d, double cd) {
    return inflow(Millimetre(b), Millimetre(d), cd).value() - leak.at_rest_lpm;
  };
  const double d = flood.depth_at_rest_mm, less = std::max(hole.bore_mm - hole.u95_mm, 1.0);
  leak.at_rest_low = std::max(
      0.0, leak.at_rest_lpm - std::hypot(off(less, d, hole.cd), off(hole.bore_mm, d - height_u95, hole.cd),
                                         off(hole.bore_mm, d, hole.cd - hole.cd_u95)));
  leak.at_rest_high = leak.at_rest_lpm + std::hypot(off(hole.bore_mm + hole.u95_mm, d, hole.cd),
                                                    off(hole.bore_mm, d + height_u95, hole.cd),
                                                    off(hole.bore_mm, d, hole.cd + hole.cd_u95));
  if (!water.waterplane_m2) return leak;
  const hydraulics::Leak growing{bore, flood.depth_at_rest_mm > 0 ? rest : heeled, hole.cd,
                                 units::SquareMillimetre(*water.waterplane_m2 * 1e6)};
  const LitrePerMinute none(0), pumps(water.pumps_lpm);
  const auto minutes = [](const std::optional<units::Minute>& t) {
    return t ? std::optional(t->value()) : std::nullopt;
  };
  leak.settle_minutes = minutes(hydraulics::time_to_settle(growing, Millimetre(kSettle), none));
  leak.settle_minutes_pumped = minutes(hydraulics::time_to_settle(growing, Millimetre(kSettle), pumps));
  leak.minutes_500 = minutes(hydraulics::time_to_take_in(growing, units::Litre(kVolume), none));
  leak.minutes_500_pumped = minutes(hydraulics::time_to_take_in(growing, units::Litre(kVolume), pumps));
  if (!water.sole_litres) return leak;
  const units::Litre sole(*water.sole_litres);
  leak.sole_minutes = minutes(hydraulics::time_to_take_in(growing, sole, none));
  leak.sole_minutes_pumped = minutes(hydraulics::time_to_take_in(growing, sole, pumps));
  return leak;
}

std::string minutes_text(double minutes) {
  if (minutes < 1) return "less than a minute";
  if (minutes < 120) return fmt::format("{} minutes", print_number(minutes, minutes < 10 ? 1 : 0));
  return fmt::format("{} hours", print_number(minutes / 60, 1));
}

std::string headline_of(const FloodView& flood, const WaterView& water) {
  const auto& worst = flood.leaks.front();
  const bool at_rest = worst.at_rest_lpm > 0;
  const double lpm = at_rest ? worst.at_rest_lpm : worst.heeled_lpm;
  if (lpm <= 0) return "Out of the water at rest and heeled.";
  std::string text = fmt::format(
      "{} L/min {}, {} a minute", print_number(lpm, 0), at_rest ? "at rest" : "when heeled only",
      lpm / kBucket < 1.5 ? "about a bucket" : fmt::format("{} buckets", print_number(lpm / kBucket, 0)));
  const auto left = water.sole_litres ? worst.sole_minutes : worst.minutes_500;
  const auto pumped = water.sole_litres ? worst.sole_minutes_pumped : worst.minutes_500_pumped;
  const std::string until = water.sole_litres ? "until the cabin sole is wet" : "until 500 L are in";
  if (left) text += fmt::format("; {} {}", minutes_text(*left), until);
  if (left && water.pumps_lpm > 0)
    text += pumped ? fmt::format(", {} with the pumps running", minutes_text(*pumped))
                   : ", the pumps keep up while they run";
  return text + ".";
}

FloodView flood_of(const OpeningView& view, const WaterView& water, const WaterCase& facts) {
  FloodView flood;
  flood.opening = view.opening.id;
  flood.tag = view.opening.tag;
  if (!view.opening.height_mm) {
    flood.why_not = "How high it lies is not recorded.";
    return flood;
  }
  const auto at = hydraulics::inflow_at_rest_and_heeled(
      Millimetre(1), Millimetre(*view.opening.height_mm), Millimetre(water.sinkage_mm),
      Millimetre(view.opening.half_breadth_mm.value_or(0)), units::Degree(water.heel_deg),
      hydraulics::kSharpEdge);
  flood.depth_at_rest_mm = at.depth_at_rest.value();
  flood.depth_heeled_mm = at.depth_heeled.value();
  std::vector<Hole> holes;
  add_hole(holes, view, facts);
  add_bore(holes, view, facts);
  add_parted(holes, view, water);
  if (holes.empty()) {
    flood.why_not = "Neither hole nor fitting is measured, and its size is not recorded.";
    return flood;
  }
  flood.known = true;
  const double height_u95 = facts.tables.threshold("zone.height.u95").value;
  for (const auto& hole : holes) flood.leaks.push_back(leak_of(hole, flood, water, height_u95));
  std::stable_sort(flood.leaks.begin(), flood.leaks.end(), [](const LeakView& a, const LeakView& b) {
    return std::pair(a.at_rest_lpm, a.heeled_lpm) > std::pair(b.at_rest_lpm, b.heeled_lpm);
  });
  flood.headline = headline_of(flood, water);
  return flood;
}

// What floods her at her mooring with nobody aboard comes first, then what needs heel.
void rank(std::vector<FloodView>& floods) {
  const auto cost = [](const FloodView& f) {
    return f.known ? std::pair(f.leaks.front().at_rest_lpm, f.leaks.front().heeled_lpm)
                   : std::pair(-1.0, -1.0);
  };
  std::stable_sort(floods.begin(), floods.end(),
                   [&](const FloodView& a, const FloodView& b) { return cost(a) > cost(b); });
  int number = 0;
  for (auto& flood : floods)
    if (flood.known && cost(flood) > std::pair(0.0, 0.0)) flood.rank = ++number;
}

}  // namespace

WaterView water_of(const WaterCase& facts) {
  WaterView water;
  water.heel_deg = rules::worst_heel(facts.vessel, facts.tables).angle.value();
  water.sinkage_mm = facts.vessel.loaded_sinkage_mm;
  std::vector<RunPlace> places;
  for (const auto& run : facts.runs) {
    const auto view = std::find_if(facts.openings.begin(), facts.openings.end(),
                                   [&](const OpeningView& o) { return o.opening.id == run.opening; });
    if (view == facts.openings.end()) continue;
    places.push_back(place_of(*view, facts, water.heel_deg));
    water.runs.push_back(view_of(run, facts.runs, places.back(), {facts.tables, facts.stock}));
  }
  join_flows(water.runs, places, {facts.tables, facts.stock});
  add_pumps(water, facts);
  take_waterplane(water, facts);
  water.sole_litres = facts.bilge.sole_litres;
  for (const auto& view : facts.openings) water.floods.push_back(flood_of(view, water, facts));
  rank(water.floods);
  water.cautions = {
      "These are estimates to plan with, not promises: she trims and settles, pumps clog, batteries drown.",
      "Bilge pumps are sized for bilge water, not for a hole in the hull; they buy time to shut the seacock "
      "or drive in a plug.",
      "Shut what can be shut when leaving her. Local rules, the builder and a licensed surveyor come before "
      "this."};
  return water;
}

const RunView* WaterView::find(model::RunId run) const {
  const auto hit = std::find_if(runs.begin(), runs.end(), [&](const RunView& v) { return v.run.id == run; });
  return hit == runs.end() ? nullptr : &*hit;
}

const FloodView* WaterView::flood_of(model::OpeningId opening) const {
  const auto hit =
      std::find_if(floods.begin(), floods.end(), [&](const FloodView& v) { return v.opening == opening; });
  return hit == floods.end() ? nullptr : &*hit;
}

model::Run run_from_template(const rules::Stock& stock, const std::string& service,
                             model::OpeningId opening) {
  model::Run run;
  run.opening = opening;
  if (const auto* usual = stock.service(service)) {
    run.outlet_height_mm = usual->outlet_height_mm;
    if (usual->basin_depth_mm > 0) run.basin_depth_mm = usual->basin_depth_mm;
    if (usual->basin_litres > 0) run.basin_litres = usual->basin_litres;
  }
  for (const auto& step : stock.steps(service)) {
    model::RunPart part;
    part.part = step.part;
    part.length_mm = step.length_mm;
    part.rise_mm = step.rise_mm;
    part.bends = step.bends;
    run.parts.push_back(part);
  }
  return run;
}

}  // namespace spile::app
