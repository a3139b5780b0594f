#include "app/edit_names.hpp"

#include <fmt/format.h>

#include <initializer_list>
#include <string_view>
#include <utility>

namespace spile::app {

namespace {

using Changes = std::initializer_list<std::pair<std::string_view, bool>>;

// The only field that changed, or `whole` when there are several or none.
std::string_view changed_field(std::string_view whole, Changes changes) {
  std::string_view found;
  for (const auto& [name, changed] : changes) {
    if (!changed) continue;
    if (!found.empty()) return whole;
    found = name;
  }
  return found.empty() ? whole : found;
}

}  // namespace

std::string edit_name(const std::optional<model::Vessel>& before, const model::Vessel& after) {
  if (!before) return after.name.empty() ? "Record vessel" : fmt::format("Record vessel {}", after.name);
  const auto& old = *before;
  const auto field =
      changed_field("vessel", {{"vessel's name", old.name != after.name},
                               {"vessel's type", old.type != after.type},
                               {"hull construction", old.construction != after.construction},
                               {"hull length", old.length_mm != after.length_mm},
                               {"beam", old.beam_mm != after.beam_mm},
                               {"draught", old.draught_mm != after.draught_mm},
                               {"freeboard", old.freeboard_mm != after.freeboard_mm},
                               {"sinkage when laden", old.loaded_sinkage_mm != after.loaded_sinkage_mm},
                               {"worst heel", old.heel_deg != after.heel_deg},
                               {"worst trim", old.trim_deg != after.trim_deg},
                               {"year built", old.built != after.built},
                               {"vessel's notes", old.notes != after.notes}});
  return fmt::format("Record {}", field);
}

std::string edit_name(const std::optional<model::Opening>& before, const model::Opening& after) {
  if (!before) return fmt::format("Add opening {}", after.tag);
  const auto& old = *before;
  if (old.tag != after.tag) return fmt::format("Rename opening {} to {}", old.tag, after.tag);
  const auto field =
      changed_field("opening", {{"service", old.service != after.service},
                                {"side", old.side != after.side},
                                {"distance from the bow", old.from_bow_mm != after.from_bow_mm},
                                {"height", old.height_mm != after.height_mm},
                                {"half breadth", old.half_breadth_mm != after.half_breadth_mm},
                                {"construction", old.construction != after.construction},
                                {"hull radius", old.hull_radius_mm != after.hull_radius_mm},
                                {"distance to a frame", old.frame_mm != after.frame_mm},
                                {"clear room inwards", old.clear_depth_mm != after.clear_depth_mm},
                                {"clear room across", old.clear_width_mm != after.clear_width_mm},
                                {"way to reach it", old.reach != after.reach},
                                {"time to reach it", old.reach_s != after.reach_s},
                                {"notes", old.notes != after.notes}});
  return fmt::format("Record {}, {}", field, after.tag);
}

std::string edit_name(const std::optional<model::Fitting>& before, const model::Fitting& after,
                      const std::string& tag) {
  const model::Fitting old = before.value_or(model::Fitting{});
  const auto field =
      changed_field("fitting", {{"fitting's kind", old.kind != after.kind},
                                {"fitting's material", old.material != after.material},
                                {"fitting's size", old.nominal_size != after.nominal_size},
                                {"fitting's thread", old.thread != after.thread},
                                {"when fitted", old.fitted != after.fitted},
                                {"valve's thread", old.valve_thread != after.valve_thread},
                                {"valve's material", old.valve_material != after.valve_material},
                                {"tail's material", old.tail_material != after.tail_material},
                                {"bedding", old.bedding != after.bedding},
                                {"shank", old.shank_mm != after.shank_mm},
                                {"thread's length", old.thread_length_mm != after.thread_length_mm},
                                {"nut", old.nut_mm != after.nut_mm},
                                {"height inside", old.stack_mm != after.stack_mm},
                                {"hose tail", old.tail_mm != after.tail_mm},
                                {"hose bore", old.bore_mm != after.bore_mm},
                                {"hose bend", old.bend_mm != after.bend_mm},
                                {"fitting to go in next", old.next != after.next},
                                {"fitting's notes", old.notes != after.notes}});
  return fmt::format("Record {}, {}", field, tag);
}

std::string edit_name(const std::optional<model::Survey>& before, const model::Survey& after) {
  return fmt::format("{} survey of {}", before ? "Change" : "Begin", after.date);
}

std::string edit_name(const std::optional<model::Observation>& before, const model::Observation& after,
                      const std::string& tag) {
  const model::Observation old = before.value_or(model::Observation{});
  const bool backing = old.backing != after.backing || old.backing_material != after.backing_material ||
                       old.backing_thickness_mm != after.backing_thickness_mm;
  const bool confirmed = old.seen == model::Seen::ToBeConfirmed && after.seen == model::Seen::Looked;
  const auto field =
      changed_field("observation", {{"condition", old.condition != after.condition},
                                    {"waterline", old.waterline != after.waterline},
                                    {"material", old.fitting_material != after.fitting_material},
                                    {"valve", old.valve_kind != after.valve_kind || old.valve != after.valve},
                                    {"backing", backing},
                                    {"findings", old.findings != after.findings},
                                    {"clips", old.clips != after.clips},
                                    {"plug", old.plug != after.plug},
                                    {"bonding", old.bonding_ohm != after.bonding_ohm},
                                    {"hose", old.hose != after.hose},
                                    {"look", confirmed},
                                    {"notes", old.notes != after.notes}});
  if (field == "look") return fmt::format("Confirm what was put down, {}", tag);
  return fmt::format("Record {}, {}", field, tag);
}

}  // namespace spile::app
