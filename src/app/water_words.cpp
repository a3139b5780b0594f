#include "app/water_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/wording.hpp"

namespace spile::app {

namespace {

std::string at_heel(double heel_deg) {
  return fmt::format("At {}° heel", print_number(heel_deg, 0));
}

std::string minutes(const std::optional<double>& value) {
  return value ? fmt::format("{} min", print_number(*value, 1)) : "never";
}

std::string pumped(const std::optional<double>& still, const std::optional<double>& with_pumps) {
  return fmt::format("{} ({} with the pumps running)", minutes(still), minutes(with_pumps));
}

// "2 of hose tee, 25 mm; 1 of ..." once more than one of a part is needed.
std::string shopping(const std::vector<std::string>& buy) {
  std::vector<std::pair<std::string, int>> counted;
  for (const auto& part : buy) {
    const auto known =
        std::find_if(counted.begin(), counted.end(), [&](const auto& c) { return c.first == part; });
    if (known == counted.end()) {
      counted.emplace_back(part, 1);
    } else {
      ++known->second;
    }
  }
  std::string text;
  for (const auto& [part, count] : counted)
    text += (text.empty() ? "" : "; ") + (count > 1 ? fmt::format("{} x ", count) : "") + part;
  return text;
}

std::string drawn_text(const FlowView& flow, const PartLoss& worst) {
  return fmt::format(
      "The {} L/min of this service need {} mm of head. Most of it, {} %, is lost in {} ({} m/s there).",
      print_number(flow.lpm, 0), print_number(flow.needed_mm, 0), print_number(100 * worst.share, 0),
      lower(worst.part), print_number(worst.velocity, 1));
}

}  // namespace

std::string run_title(const RunView& run) {
  return run.title.empty() ? "Run" : run.title;
}

std::string part_text(const RunView& run, std::size_t i) {
  const auto& part = run.placed.parts[i];
  std::string text = fmt::format("{}. {}, bore {}", i + 1, part.stock->choice.label,
                                 print_interval(part.bore_mm, part.bore_u95_mm, "mm"));
  if (part.stock->kind == rules::PartKind::Hose)
    text += fmt::format(", {} mm long", print_number(part.length_mm, 0));
  if (!run.profile.empty())
    text += fmt::format(", ends at {} mm", print_number(run.profile[i + 1].height_mm, 0));
  if (part.from_fitting) text += " (the opening's own)";
  if (run.match.bottleneck == i && run.match.narrowest_mm < run.match.widest_mm) text += " (narrowest)";
  return text;
}

std::string joint_text(const RunView& run, std::size_t i) {
  if (i >= run.match.joints.size() || rules::matches(run.match.joints[i].fit)) return {};
  const auto& joint = run.match.joints[i];
  const std::string chain = chain_text(run, i);
  return fmt::format("{}: {}.{}{}", rules::label(joint.fit), joint.text, chain.empty() ? "" : " ", chain);
}

std::string chain_text(const RunView& run, std::size_t joint) {
  const auto chain = run.chains.find(joint);
  if (chain == run.chains.end()) return {};
  if (!chain->second) return "No chain of stocked parts joins them.";
  std::string names;
  for (const auto* link : chain->second->parts)
    names += (names.empty() ? "" : "; ") + lower(link->choice.label);
  return fmt::format("To bridge it would take {}: {}.", counted(chain->second->parts.size(), "part"), names);
}

std::string flow_text(const FlowView& flow) {
  const std::string needed =
      flow.needed_mm > 0
          ? fmt::format(" The service's usual flow needs {} mm of head.", print_number(flow.needed_mm, 0))
          : std::string();
  if (!flow.flows()) return flow.why_not + (flow.why_not.empty() ? "" : needed);
  const auto& worst = flow.losses[flow.worst];
  if (flow.drive == Drive::Drawn) return drawn_text(flow, worst);
  std::string text =
      fmt::format("{} L/min ({} to {}), {} {} mm", print_number(flow.lpm, 1), print_number(flow.low_lpm, 1),
                  print_number(flow.high_lpm, 1), flow.fall_mm < 0 ? "lifting" : "falling",
                  print_number(std::abs(flow.fall_mm), 0));
  if (flow.drive == Drive::Pumped)
    text += fmt::format(", the pump giving {} mm", print_number(flow.pump_head_mm, 0));
  text += "." + needed;
  if (flow.empty_minutes)
    text += fmt::format(" The basin empties in {} min.", print_number(*flow.empty_minutes, 1));
  text += fmt::format(" Most head, {} %, is lost in {} ({} m/s there).", print_number(100 * worst.share, 0),
                      lower(worst.part), print_number(worst.velocity, 1));
  if (!flow.budget.empty())
    text += fmt::format(" Least certain: {}, {} to +{} L/min.", lower(flow.budget.front().term),
                        print_number(-flow.budget.front().less.value(), 1),
                        print_number(flow.budget.front().more.value(), 1));
  return text;
}

std::string backflow_text(const BackflowView& back) {
  return back.lpm ? fmt::format("{} {} L/min come in until somebody shuts it.", back.text,
                                print_number(*back.lpm, 0))
                  : back.text;
}

std::vector<std::string> flow_lines(const RunView& run) {
  std::vector<std::string> lines;
  const auto add = [&](const std::string& when, const FlowView& flow,
                       const std::optional<TogetherView>& together) {
    if (const auto text = flow_text(flow); !text.empty()) lines.push_back(when + ": " + text);
    if (together) lines.push_back(when + ": " + lower(together->text));
  };
  add("At rest", run.at_rest, run.together_at_rest);
  if (run.heel_deg > 0) add(at_heel(run.heel_deg), run.heeled, run.together_heeled);
  return lines;
}

std::vector<const BackflowView*> backflows(const RunView& run) {
  std::vector<const BackflowView*> all;
  if (run.back_at_rest) all.push_back(&*run.back_at_rest);
  if (run.heel_deg > 0 && run.back_heeled) all.push_back(&*run.back_heeled);
  return all;
}

std::string remedy_title(const RemedyView& view) {
  return fmt::format("{}{}{}", view.remedy.title, view.remedy.serves ? "" : " (too small for the service)",
                     view.lpm ? fmt::format(": {} L/min then", print_number(*view.lpm, 1)) : "");
}

std::vector<std::string> remedy_lines(const RemedyView& view) {
  std::vector<std::string> lines = view.remedy.steps;
  if (!view.remedy.buy.empty()) lines.push_back(fmt::format("To buy: {}.", shopping(view.remedy.buy)));
  if (!view.remedy.why_not.empty()) lines.push_back("Against it: " + view.remedy.why_not);
  return lines;
}

std::string flood_title(const FloodView& flood, const WaterView& water) {
  if (!flood.known) return flood.why_not;
  if (flood.rank == 0) return flood.headline;
  return fmt::format("{} of {} to worry about. {}", flood.rank, ranked(water), flood.headline);
}

std::vector<std::string> leak_lines(const FloodView& flood) {
  std::vector<std::string> lines;
  if (flood.rank == 0) return lines;
  for (const auto& l : flood.leaks)
    lines.push_back(fmt::format(
        "If {} ({}, {}): {} L/min at rest ({} to {}), {} heeled. {} Discharge coefficient {}.", lower(l.what),
        print_interval(l.bore_mm, l.bore_u95_mm, "mm"), l.how, print_number(l.at_rest_lpm, 0),
        print_number(l.at_rest_low, 0), print_number(l.at_rest_high, 0), print_number(l.heeled_lpm, 0),
        time_text(l), l.cd_source));
  return lines;
}

std::string time_text(const LeakView& leak) {
  std::string text;
  if (leak.sole_minutes) text = "Sole wet in " + pumped(leak.sole_minutes, leak.sole_minutes_pumped) + "; ";
  if (!leak.minutes_500) return text;
  return text + fmt::format("500 L in {}; 100 mm deeper in {}.",
                            pumped(leak.minutes_500, leak.minutes_500_pumped),
                            pumped(leak.settle_minutes, leak.settle_minutes_pumped));
}

std::string pumps_text(const WaterView& water) {
  const std::string sole = water.sole_litres ? fmt::format("The cabin sole is wet from {} L on.",
                                                           print_number(*water.sole_litres, 0))
                                             : std::string("How much covers the cabin sole is not recorded.");
  return fmt::format(
      "Pumps {} L/min: {}. {} Waterplane {}{}.", print_number(water.pumps_lpm, 0), water.pumps_how, sole,
      water.waterplane_m2 ? print_number(*water.waterplane_m2, 1) + " m2, " : "", water.waterplane_how);
}

int ranked(const WaterView& water) {
  return static_cast<int>(
      std::count_if(water.floods.begin(), water.floods.end(), [](const FloodView& f) { return f.rank > 0; }));
}

}  // namespace spile::app
