#include "app/water_json.hpp"

#include <algorithm>
#include <array>

#include "app/logbook_json.hpp"

namespace spile::app {

namespace {

using nlohmann::ordered_json;

ordered_json or_null(const std::optional<double>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json text_or_null(const std::string& text) {
  return text.empty() ? ordered_json(nullptr) : ordered_json(text);
}

std::string_view drive_key(Drive drive) {
  static constexpr std::array<std::string_view, 4> keys = {"none", "gravity", "pumped", "drawn"};
  return keys[static_cast<std::size_t>(drive)];
}

std::string_view backflow_key(hydraulics::Backflow answer) {
  static constexpr std::array<std::string_view, 7> keys = {
      "outlet-dry", "clear", "close", "held-by-loop", "loop-too-low", "siphons", "runs-back"};
  return keys[static_cast<std::size_t>(answer)];
}

ordered_json flow_json(const FlowView& f) {
  if (!f.flows())
    return {
        {"drive", drive_key(f.drive)}, {"litres_per_minute", nullptr}, {"why_not", text_or_null(f.why_not)}};
  ordered_json losses = ordered_json::array(), budget = ordered_json::array();
  for (const auto& l : f.losses)
    losses.push_back(
        {{"part", l.part}, {"head_mm", l.head_mm}, {"velocity_m_s", l.velocity}, {"share", l.share}});
  for (const auto& t : f.budget)
    budget.push_back({{"term", t.term}, {"less_lpm", t.less.value()}, {"more_lpm", t.more.value()}});
  return {{"drive", drive_key(f.drive)},
          {"litres_per_minute", f.lpm},
          {"low", f.low_lpm},
          {"high", f.high_lpm},
          {"fall_mm", f.fall_mm},
          {"pump_head_mm", f.pump_head_mm},
          {"needed_mm", f.needed_mm},
          {"empty_minutes", or_null(f.empty_minutes)},
          {"costs_most", f.losses.empty() ? ordered_json(nullptr) : ordered_json(f.losses[f.worst].part)},
          {"losses", losses},
          {"budget", budget}};
}

ordered_json together_json(const std::optional<TogetherView>& t) {
  if (!t) return nullptr;
  if (!t->worked_out) return {{"litres_per_minute", nullptr}, {"text", t->text}};
  return {{"litres_per_minute", t->lpm},      {"low", t->low_lpm},         {"high", t->high_lpm},
          {"at_the_opening", t->opening_lpm}, {"needed_mm", t->needed_mm}, {"text", t->text}};
}

ordered_json backflow_json(const std::optional<BackflowView>& b) {
  if (!b) return nullptr;
  return {{"answer", backflow_key(b->answer)},
          {"dangerous", hydraulics::dangerous(b->answer)},
          {"text", b->text},
          {"outlet_above_sea_mm", b->outlet_mm},
          {"highest_above_sea_mm", b->highest_mm},
          {"rim_above_sea_mm", b->rim_mm},
          {"litres_per_minute", or_null(b->lpm)}};
}

ordered_json parts_json(const RunView& run) {
  ordered_json list = ordered_json::array();
  for (std::size_t i = 0; i < run.placed.parts.size(); ++i) {
    const auto& part = run.placed.parts[i];
    list.push_back({{"number", i + 1},
                    {"part", part.stock->choice.key},
                    {"label", part.stock->choice.label},
                    {"kind", rules::label(part.stock->kind)},
                    {"bore_mm", part.bore_mm},
                    {"bore_u95_mm", part.bore_u95_mm},
                    {"length_mm", part.length_mm},
                    {"rise_mm", or_null(part.rise_mm)},
                    {"bends", part.bends},
                    {"height_mm", run.profile.empty() ? ordered_json(nullptr)
                                                      : ordered_json(run.profile[i + 1].height_mm)},
                    {"of_the_opening", part.from_fitting},
                    {"source", part.stock->choice.source}});
  }
  return list;
}

ordered_json joints_json(const RunView& run) {
  ordered_json list = ordered_json::array();
  for (const auto& joint : run.match.joints) {
    ordered_json chain = nullptr;
    if (const auto found = run.chains.find(joint.before); found != run.chains.end() && found->second) {
      chain = ordered_json::array();
      for (const auto* part : found->second->parts) chain.push_back(part->choice.label);
    }
    list.push_back({{"before", joint.before + 1},
                    {"behind", joint.before + 2},
                    {"fit", rules::key(joint.fit)},
                    {"matches", rules::matches(joint.fit)},
                    {"area_kept", joint.area_kept},
                    {"text", joint.text},
                    {"chain", chain}});
  }
  return list;
}

ordered_json remedies_json(const RunView& run) {
  ordered_json list = ordered_json::array();
  for (const auto& [r, lpm] : run.remedies)
    list.push_back({{"title", r.title},
                    {"serves", r.serves},
                    {"one_size", r.one_size},
                    {"replaces_fitting", r.replaces_fitting},
                    {"enlarges_opening", r.enlarges_opening},
                    {"below_waterline", r.below_waterline},
                    {"work", r.work},
                    {"narrowest_mm", r.narrowest_mm},
                    {"litres_per_minute", or_null(lpm)},
                    {"steps", r.steps},
                    {"buy", r.buy},
                    {"why_not", text_or_null(r.why_not)}});
  return list;
}

ordered_json leak_json(const LeakView& l) {
  return {{"what", l.what},
          {"bore_mm", l.bore_mm},
          {"bore_u95_mm", l.bore_u95_mm},
          {"bore_from", l.how},
          {"cd", l.cd},
          {"source", l.cd_source},
          {"at_rest_lpm", l.at_rest_lpm},
          {"at_rest_low", l.at_rest_low},
          {"at_rest_high", l.at_rest_high},
          {"heeled_lpm", l.heeled_lpm},
          {"buckets_a_minute", std::max(l.at_rest_lpm, l.heeled_lpm) / kBucket},
          {"minutes_to_sole", or_null(l.sole_minutes)},
          {"minutes_to_sole_pumped", or_null(l.sole_minutes_pumped)},
          {"minutes_to_500_litres", or_null(l.minutes_500)},
          {"minutes_to_500_litres_pumped", or_null(l.minutes_500_pumped)},
          {"minutes_to_100_mm", or_null(l.settle_minutes)},
          {"minutes_to_100_mm_pumped", or_null(l.settle_minutes_pumped)}};
}

}  // namespace

ordered_json to_json(const RunView& run) {
  const auto& bottleneck = run.match.bottleneck;
  return {{"opening", text_or_null(run.tag)},
          {"name", text_or_null(run.run.name)},
          {"standing", standing_key(run.standing)},
          {"headline", run.headline},
          {"faults", run.faults},
          {"notes", run.notes},
          {"outlet_height_mm", or_null(run.run.outlet_height_mm)},
          {"basin_depth_mm", or_null(run.run.basin_depth_mm)},
          {"basin_litres", or_null(run.run.basin_litres)},
          {"parts", parts_json(run)},
          {"joints", joints_json(run)},
          {"matches", run.match.all_match},
          {"bottleneck", bottleneck ? ordered_json{{"number", *bottleneck + 1},
                                                   {"bore_mm", run.match.narrowest_mm},
                                                   {"area_left", run.match.area_left}}
                                    : ordered_json(nullptr)},
          {"size_note", text_or_null(run.match.size_note)},
          {"heel_deg", run.heel_deg},
          {"flow",
           {{"at_rest", flow_json(run.at_rest)},
            {"heeled", flow_json(run.heeled)},
            {"together_at_rest", together_json(run.together_at_rest)},
            {"together_heeled", together_json(run.together_heeled)}}},
          {"backflow",
           {{"at_rest", backflow_json(run.back_at_rest)}, {"heeled", backflow_json(run.back_heeled)}}},
          {"remedies", remedies_json(run)},
          {"sources", run.sources}};
}

ordered_json runs_json(const WaterView& water) {
  ordered_json list = ordered_json::array();
  for (const auto& run : water.runs) list.push_back(to_json(run));
  return list;
}

ordered_json flooding_json(const WaterView& water) {
  ordered_json openings = ordered_json::array();
  for (const auto& f : water.floods) {
    ordered_json leaks = ordered_json::array();
    for (const auto& leak : f.leaks) leaks.push_back(leak_json(leak));
    openings.push_back(
        {{"tag", f.tag},
         {"rank", f.rank == 0 ? ordered_json(nullptr) : ordered_json(f.rank)},
         {"headline", text_or_null(f.headline)},
         {"why_not", text_or_null(f.why_not)},
         {"depth_at_rest_mm", f.known ? ordered_json(f.depth_at_rest_mm) : ordered_json(nullptr)},
         {"depth_heeled_mm", f.known ? ordered_json(f.depth_heeled_mm) : ordered_json(nullptr)},
         {"leaks", leaks}});
  }
  return {{"heel_deg", water.heel_deg},
          {"sinkage_mm", water.sinkage_mm},
          {"pumps_lpm", water.pumps_lpm},
          {"pumps", water.pumps_how},
          {"sole_litres", or_null(water.sole_litres)},
          {"waterplane_m2", or_null(water.waterplane_m2)},
          {"waterplane", water.waterplane_how},
          {"openings", openings},
          {"cautions", water.cautions}};
}

}  // namespace spile::app
