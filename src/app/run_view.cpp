#include "app/run_view.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "app/run_flow.hpp"
#include "app/run_heights.hpp"
#include "app/wording.hpp"

namespace spile::app {

namespace {

using rules::Standing;

void bridge(RunView& view, const rules::Stock& stock) {
  for (const auto& joint : view.match.joints) {
    if (rules::matches(joint.fit)) continue;
    const auto& parts = view.placed.parts;
    view.chains[joint.before] =
        rules::shortest_chain(parts[joint.before].out, parts[joint.before + 1].in, stock);
  }
}

// The rise of the whole stays; the parts' own give way, since hose is laid anew.
std::optional<double> flow_after(const RunView& view, const rules::Remedy& remedy, const RunPlace& place,
                                 const RunWorkshop& shop) {
  if (view.profile.empty() || view.at_rest.drive == Drive::Drawn) return std::nullopt;
  RunView changed = view;
  changed.placed = remedy.after;
  changed.profile = heights_of(view.run, changed.placed, place).points;
  const auto flow = flow_of({changed, place, shop, 0, true});
  return flow.flows() ? std::optional(flow.lpm) : std::nullopt;
}

void mend(RunView& view, const RunPlace& place, const rules::ServiceRun* service, const RunWorkshop& shop) {
  if (!view.faults.empty()) return;
  for (auto& remedy : rules::remedies({view.placed, place.end, service, shop.stock, shop.tables})) {
    const auto lpm = flow_after(view, remedy, place, shop);
    view.remedies.push_back({std::move(remedy), lpm});
  }
}

bool too_little(const RunView& view, const rules::ServiceRun* service) {
  return service != nullptr && view.at_rest.flows() && view.at_rest.drive != Drive::Drawn &&
         view.at_rest.low_lpm < service->flow_from_lpm;
}

bool any_danger(const RunView& view) {
  const auto danger = [](const auto& b) { return b && hydraulics::dangerous(b->answer); };
  return danger(view.back_at_rest) || danger(view.back_heeled);
}

bool any_close(const RunView& view) {
  const auto close = [](const auto& b) { return b && b->answer == hydraulics::Backflow::Close; };
  return close(view.back_at_rest) || close(view.back_heeled);
}

void conclude(RunView& view, const rules::ServiceRun* service) {
  const auto bad = [](const rules::Joint& j) {
    return !rules::matches(j.fit) && j.fit != rules::Fit::Stretched;
  };
  const auto& joints = view.match.joints;
  const auto count = static_cast<std::size_t>(std::count_if(
      joints.begin(), joints.end(), [](const rules::Joint& j) { return !rules::matches(j.fit); }));
  if (!view.faults.empty()) {
    view.standing = Standing::NotKnownYet;
    view.headline = view.faults.front();
  } else if (any_danger(view)) {
    view.standing = Standing::Act;
    const bool rest = view.back_at_rest && hydraulics::dangerous(view.back_at_rest->answer);
    view.headline = (rest ? view.back_at_rest : view.back_heeled)->text;
  } else if (count > 0 || !view.match.size_note.empty()) {
    const bool act = std::any_of(joints.begin(), joints.end(), bad) || !view.match.size_note.empty();
    view.standing = act ? Standing::Act : Standing::Watch;
    view.headline = count > 0 ? fmt::format("{} not match; {} of the widest bore is left at the narrowest.",
                                            count == 1 ? "1 joint does" : fmt::format("{} joints do", count),
                                            fmt::format("{} %", print_number(100 * view.match.area_left, 0)))
                              : view.match.size_note;
  } else if (too_little(view, service) || (!view.at_rest.flows() && view.at_rest.drive != Drive::None)) {
    view.standing = Standing::Watch;
    view.headline = view.at_rest.flows() ? fmt::format("It matches, but carries as little as {} L/min.",
                                                       print_number(view.at_rest.low_lpm, 1))
                                         : view.at_rest.why_not;
  } else if (any_close(view)) {
    view.standing = Standing::Watch;
    view.headline = view.back_heeled && view.back_heeled->answer == hydraulics::Backflow::Close
                        ? view.back_heeled->text
                        : view.back_at_rest->text;
  } else if (view.profile.empty() && view.at_rest.drive == Drive::None && !view.notes.empty()) {
    view.standing = Standing::NotKnownYet;
    view.headline = "It matches as far as recorded. " + view.notes.back();
  } else {
    view.standing = Standing::Good;
    view.headline = "Sizes and threads match all the way.";
  }
}

// What a pump is said to give is read here; the parts themselves were looked at when they were placed.
void add_curve_faults(RunView& view) {
  for (std::size_t i = 0; i < view.placed.parts.size(); ++i) {
    const auto& curve = view.placed.parts[i].curve;
    if (curve.empty()) continue;
    const auto read = hydraulics::PumpCurve::parse(curve);
    if (!read)
      view.faults.push_back(fmt::format("Part {}, {}: {} The curve is kept as typed.", i + 1,
                                        view.placed.parts[i].stock->choice.label, read.error().sentence()));
  }
}

void name_sources(RunView& view, const RunWorkshop& shop) {
  std::set<std::string> found = {"Darcy and Weisbach with Colebrook's friction factor (Moody 1944)",
                                 "common practice"};
  for (const auto& part : view.placed.parts) {
    found.insert(part.stock->choice.source);
    found.insert(shop.stock.loss(part.stock->loss).source);
  }
  view.sources.assign(found.begin(), found.end());
}

}  // namespace

RunView view_of(const model::Run& run, std::span<const model::Run> all, const RunPlace& place,
                const RunWorkshop& shop) {
  RunView view;
  view.run = run;
  view.tag = place.tag;
  view.title = fmt::format("{}{}{}", place.tag, run.name.empty() || place.tag.empty() ? "" : " ", run.name);
  view.heel_deg = place.heel_deg;
  view.sinkage_mm = place.sinkage_mm;
  view.half_breadth_mm = place.half_breadth_mm.value_or(0);
  const auto* service = shop.stock.service(place.service);
  view.placed = rules::place(run, place.end, shop.stock, all);
  view.faults = view.placed.faults;
  add_curve_faults(view);
  view.notes = view.placed.notes;
  view.match = rules::judge_joints(view.placed, service, place.end.below_waterline);
  bridge(view, shop.stock);
  const auto heights = heights_of(run, view.placed, place);
  view.profile = heights.points;
  if (!heights.gap.empty()) view.notes.push_back(heights.gap);
  if (!run.from_centreline_mm && place.half_breadth_mm.value_or(0) > 0)
    view.notes.emplace_back(
        "How far the fixture lies from the centreline is not recorded; it is taken to lie as far out as the "
        "opening.");
  if (!heights.missing.empty()) view.notes.push_back(heights.missing);
  view.at_rest = flow_of({view, place, shop, 0});
  view.heeled = flow_of({view, place, shop, place.heel_deg});
  view.back_at_rest = backflow_of({view, place, shop, 0});
  view.back_heeled = backflow_of({view, place, shop, place.heel_deg});
  mend(view, place, service, shop);
  conclude(view, service);
  name_sources(view, shop);
  return view;
}

}  // namespace spile::app
