#include "app/section.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/wording.hpp"
#include "model/heel.hpp"

namespace spile::app {

namespace {

using rules::Standing;

// Heights over the water at rest and at the worst heel, as the zone is judged: measured up the hull.
struct OverWater {
  double at_rest = 0, heeled = 0, heel_deg = 0;
};

OverWater over_water(const Snapshot& snapshot, const model::Opening& opening) {
  const auto& water = snapshot.water;
  const double at_rest = opening.height_mm.value_or(0) - water.sinkage_mm;
  const auto rise =
      model::heel_rise(units::Millimetre(opening.half_breadth_mm.value_or(0)), units::Degree(water.heel_deg));
  return {at_rest, at_rest - rise.value(), water.heel_deg};
}

std::string up_or_under(double mm) {
  return fmt::format("{} mm {} the water", print_number(std::abs(mm), 0), mm >= 0 ? "above" : "under");
}

std::string where(const std::string& tag, const OverWater& over) {
  if (over.heel_deg <= 0) return fmt::format("{} lies {} at rest.", tag, up_or_under(over.at_rest));
  if ((over.at_rest < 0) == (over.heeled < 0))
    return fmt::format("{} lies {} at rest and {} at {}° heel.", tag, up_or_under(over.at_rest),
                       up_or_under(over.heeled), print_number(over.heel_deg, 0));
  return fmt::format("{} lies {} at rest, but goes under at {}° heel: {} then.", tag,
                     up_or_under(over.at_rest), print_number(over.heel_deg, 0), up_or_under(over.heeled));
}

const rules::Verdict* verdict_of(const OpeningView& opening, std::string_view rule) {
  for (const auto& v : opening.verdicts)
    if (v.rule == rule) return &v;
  return nullptr;
}

Standing standing_of(const BackflowView& back) {
  if (hydraulics::dangerous(back.answer)) return Standing::Act;
  return back.answer == hydraulics::Backflow::Close ? Standing::Watch : Standing::Good;
}

std::string fixture_of(const RunView& run) {
  return run.run.name.empty() ? std::string("the fixture") : run.run.name;
}

// Heeled is what matters; where she does not heel, at rest.
const std::optional<BackflowView>& worse_of(const RunView& run) {
  const bool rest = run.back_at_rest && hydraulics::dangerous(run.back_at_rest->answer);
  return rest || run.heel_deg <= 0 || !run.back_heeled ? run.back_at_rest : run.back_heeled;
}

std::string can_flood(const RunView& run) {
  const auto& back = worse_of(run);
  const std::string question = fmt::format("Can {} flood through it? ", fixture_of(run));
  if (!run.faults.empty()) return question + "Not worked out: " + run.faults.front();
  if (!back)
    return question + (run.profile.empty() ? "Not known: its heights are not recorded."
                                           : "It has no basin that could fill from outside.");
  const char* answer = hydraulics::dangerous(back->answer)           ? "Yes. "
                       : back->answer == hydraulics::Backflow::Close ? "Hardly, but it is close. "
                                                                     : "No. ";
  return question + answer + back->text;
}

std::string above_text(const char* what, double at_rest, const std::optional<double>& heeled,
                       double heel_deg) {
  const auto sea = [](double mm) {
    return fmt::format("{} mm {} the sea", print_number(std::abs(mm), 0), mm >= 0 ? "above" : "under");
  };
  std::string text = fmt::format("{}: {} at rest", what, sea(at_rest));
  if (heeled) text += fmt::format(", {} at {}° heel", sea(*heeled), print_number(heel_deg, 0));
  return text;
}

std::optional<std::size_t> loop_of(const RunView& run) {
  for (std::size_t i = run.placed.parts.size(); i-- > 0;)
    if (run.placed.parts[i].stock->vented) return i + 1;
  return std::nullopt;
}

void draw_run(figures::OpeningSection& into, const RunView& run) {
  for (const auto& p : run.profile) into.run.push_back({p.along_mm, p.height_mm, p.toward_low_side_mm});
  if (into.run.empty()) return;
  const auto &rest = run.back_at_rest, &heeled = run.back_heeled;
  const double depth = run.run.basin_depth_mm.value_or(0);
  if (!rest || depth <= 0) return;
  into.rim = run.profile.front().height_mm + depth;
  const auto at_heel = [&](double BackflowView::*what) {
    return heeled && run.heel_deg > 0 ? std::optional((*heeled).*what) : std::nullopt;
  };
  into.at_rim = {standing_of(*worse_of(run)), above_text("Rim of the fixture", rest->rim_mm,
                                                         at_heel(&BackflowView::rim_mm), run.heel_deg)};
  into.loop = loop_of(run);
  if (into.loop)
    into.at_loop = {into.at_rim.standing, above_text("Vented loop", rest->highest_mm,
                                                     at_heel(&BackflowView::highest_mm), run.heel_deg)};
}

}  // namespace

SectionView section_of(const Snapshot& snapshot, const OpeningView& opening, const RunView* run) {
  SectionView view;
  const auto& o = opening.opening;
  view.tag = o.tag;
  if (!o.height_mm) {
    view.words.push_back(fmt::format("How high {} lies is not recorded.", o.tag));
    return view;
  }
  const OverWater over = over_water(snapshot, o);
  view.words.push_back(where(o.tag, over));
  const auto* valve = verdict_of(opening, "shut-off");
  if (valve != nullptr) view.words.push_back(valve->headline);
  if (run != nullptr) view.words.push_back(can_flood(*run));
  figures::OpeningSection section;
  section.tag = o.tag;
  section.side = o.side;
  section.from_bow = o.from_bow_mm;
  section.height = *o.height_mm;
  section.half_breadth = o.half_breadth_mm.value_or(0);
  section.heel_deg = over.heel_deg;
  section.sinkage = snapshot.water.sinkage_mm;
  section.opening.standing = valve != nullptr ? valve->standing : Standing::NotKnownYet;
  section.opening.text = fmt::format("{}: {} at rest", o.tag, up_or_under(over.at_rest));
  if (over.heel_deg > 0)
    section.opening.text +=
        fmt::format(", {} at {}° heel", up_or_under(over.heeled), print_number(over.heel_deg, 0));
  if (run != nullptr) draw_run(section, *run);
  view.drawn = std::move(section);
  return view;
}

std::vector<SectionView> sections_of(const Snapshot& snapshot) {
  std::vector<SectionView> all;
  for (const auto& opening : snapshot.openings) {
    bool any = false;
    for (const auto& run : snapshot.water.runs) {
      if (run.run.opening != opening.opening.id) continue;
      all.push_back(section_of(snapshot, opening, &run));
      any = true;
    }
    if (!any) all.push_back(section_of(snapshot, opening, nullptr));
  }
  return all;
}

figures::Figure section_figure(const Snapshot& snapshot, const SectionView& section, double width_paper) {
  if (!section.drawn) return {};
  return figures::opening_section(snapshot.vessel.value_or(model::Vessel{}), *section.drawn, width_paper);
}

nlohmann::ordered_json to_json(const SectionView& section) {
  nlohmann::ordered_json out = {{"opening", section.tag}, {"words", section.words}};
  if (!section.drawn) return out;
  const auto& d = *section.drawn;
  out["height_mm"] = d.height;
  out["half_breadth_mm"] = d.half_breadth;
  out["heel_deg"] = d.heel_deg;
  out["sinkage_mm"] = d.sinkage;
  out["rim_height_mm"] = d.rim ? nlohmann::ordered_json(*d.rim) : nlohmann::ordered_json(nullptr);
  out["run_mm"] = nlohmann::ordered_json::array();
  for (const auto& p : d.run) out["run_mm"].push_back({p.along, p.height, p.toward_low_side});
  return out;
}

}  // namespace spile::app
