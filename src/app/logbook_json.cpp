#include "app/logbook_json.hpp"

#include "model/names.hpp"

namespace spile::app {

namespace {

using nlohmann::ordered_json;
using rules::Standing;

template <class T>
ordered_json or_null(const std::optional<T>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json or_null(const std::string& text) {
  return text.empty() ? ordered_json(nullptr) : ordered_json(text);
}

// An enumeration's key; its Unknown is something nobody recorded.
template <class E>
ordered_json key_or_null(E value) {
  const auto key = model::key(value);
  return key.empty() || key == "unknown" ? ordered_json(nullptr) : ordered_json(key);
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
  std::string text;
  for (const auto& part : parts) {
    if (!text.empty()) text.append(between);
    text.append(part);
  }
  return text;
}

ordered_json vessel_json(const model::Vessel& v) {
  return {{"name", or_null(v.name)},
          {"type", model::key(v.type)},
          {"construction", key_or_null(v.construction)},
          {"length_mm", or_null(v.length_mm)},
          {"beam_mm", or_null(v.beam_mm)},
          {"draught_mm", or_null(v.draught_mm)},
          {"freeboard_mm", or_null(v.freeboard_mm)},
          {"loaded_sinkage_mm", v.loaded_sinkage_mm},
          {"heel_deg", or_null(v.heel_deg)},
          {"trim_deg", or_null(v.trim_deg)},
          {"built", or_null(v.built)},
          {"notes", or_null(v.notes)}};
}

ordered_json survey_json(const model::Survey& s, bool current) {
  return {{"date", s.date},
          {"title", or_null(s.title)},
          {"surveyor", or_null(s.surveyor)},
          {"afloat", s.afloat == model::Afloat::Afloat},
          {"notes", or_null(s.notes)},
          {"current", current}};
}

ordered_json replacement_json(const model::Replacement& r) {
  return {{"nominal_size", or_null(r.nominal_size)},
          {"material", or_null(r.material)},
          {"shank_mm", or_null(r.shank_mm)},
          {"flange_mm", or_null(r.flange_mm)},
          {"thread_length_mm", or_null(r.thread_length_mm)}};
}

ordered_json fitting_json(const model::Fitting& f) {
  return {{"kind", or_null(f.kind)},
          {"material", or_null(f.material)},
          {"nominal_size", or_null(f.nominal_size)},
          {"thread", or_null(f.thread)},
          {"fitted", or_null(f.fitted)},
          {"valve_thread", or_null(f.valve_thread)},
          {"valve_material", or_null(f.valve_material)},
          {"tail_material", or_null(f.tail_material)},
          {"bedding", or_null(f.bedding)},
          {"shank_mm", or_null(f.shank_mm)},
          {"thread_length_mm", or_null(f.thread_length_mm)},
          {"nut_mm", or_null(f.nut_mm)},
          {"stack_mm", or_null(f.stack_mm)},
          {"tail_mm", or_null(f.tail_mm)},
          {"hose_bore_mm", or_null(f.bore_mm)},
          {"hose_bend_mm", or_null(f.bend_mm)},
          {"next", f.next.planned() ? replacement_json(f.next) : ordered_json(nullptr)},
          {"notes", or_null(f.notes)}};
}

ordered_json observation_json(const model::Observation& o) {
  return {{"seen", model::key(o.seen)},
          {"condition", key_or_null(o.condition)},
          {"waterline", key_or_null(o.waterline)},
          {"fitting_material", or_null(o.fitting_material)},
          {"valve_kind", or_null(o.valve_kind)},
          {"valve", key_or_null(o.valve)},
          {"backing", key_or_null(o.backing)},
          {"backing_material", or_null(o.backing_material)},
          {"backing_thickness_mm", or_null(o.backing_thickness_mm)},
          {"findings", o.findings},
          {"clips", or_null(o.clips)},
          {"plug", key_or_null(o.plug)},
          {"bonding_ohm", or_null(o.bonding_ohm)},
          {"hose", or_null(o.hose)},
          {"notes", or_null(o.notes)}};
}

ordered_json photo_json(const PhotoView& view) {
  return {{"name", view.photo.original_name},
          {"sha256", view.photo.sha256},
          {"size_px", {view.photo.width_px, view.photo.height_px}},
          {"taken_at", or_null(view.photo.taken_at)},
          {"caption", or_null(view.use.caption)},
          {"finding", or_null(view.use.finding)}};
}

ordered_json photos_json(const std::vector<PhotoView>& photos) {
  ordered_json list = ordered_json::array();
  for (const auto& view : photos) list.push_back(photo_json(view));
  return list;
}

ordered_json verdict_json(const rules::Verdict& v) {
  ordered_json inputs = ordered_json::object();
  for (const auto& input : v.inputs) inputs[input.label] = input.text;
  return {{"rule", v.rule},
          {"title", v.title},
          {"state", standing_key(v.standing)},
          {"answer", v.answer},
          {"headline", v.headline},
          {"because", v.reasons},
          {"source", joined(v.sources, "; ")},
          {"caution", or_null(v.caution)},
          {"settle_by", or_null(rules::settle_by(v))},
          {"inputs", inputs},
          {"margin", or_null(v.margin)},
          {"actions", v.actions},
          {"would_change", v.would_change},
          {"sources", v.sources}};
}

ordered_json verdict_list(const OpeningView& view) {
  ordered_json list = ordered_json::array();
  for (const auto& verdict : view.verdicts) list.push_back(verdict_json(verdict));
  return list;
}

template <class T, class ToJson>
ordered_json or_null(const std::optional<T>& value, ToJson convert) {
  return value ? convert(*value) : ordered_json(nullptr);
}

}  // namespace

ordered_json to_json(const model::CameraProfile& p) {
  return {{"id", p.id.value},
          {"camera", p.camera},
          {"focal_mm", or_null(p.focal_mm)},
          {"focal_35mm", or_null(p.focal_35mm)},
          {"digital_zoom", p.digital_zoom},
          {"size_px", {p.width_px, p.height_px}},
          {"focal_px", p.focal_px},
          {"u_focal_rel", p.u_log_focal},
          {"k1", p.k1},
          {"u_k1", p.u_k1},
          {"k2", p.k2},
          {"u_k2", p.u_k2},
          {"k_correlation", p.k_correlation},
          {"centre_px", {p.centre_x_px, p.centre_y_px}},
          {"u_centre_px", p.u_centre_px},
          {"photos", p.photos},
          {"rms_px", p.rms_px},
          {"reach", p.reach},
          {"date", p.date},
          {"note", or_null(p.note)}};
}

ordered_json cameras_json(const std::vector<model::CameraProfile>& cameras) {
  ordered_json list = ordered_json::array();
  for (const auto& profile : cameras) list.push_back(to_json(profile));
  return list;
}

std::string_view standing_key(Standing standing) {
  switch (standing) {
    case Standing::Good:
      return "good";
    case Standing::Watch:
      return "watch";
    case Standing::Act:
      return "act";
    case Standing::TooCloseToTell:
      return "too-close-to-tell";
    case Standing::NotKnownYet:
      return "not-known-yet";
    case Standing::NotApplicable:
      return "not-applicable";
  }
  return {};
}

std::string_view standing_label(Standing standing) {
  switch (standing) {
    case Standing::Good:
      return "Good";
    case Standing::Watch:
      return "Watch";
    case Standing::Act:
      return "Act";
    case Standing::TooCloseToTell:
      return "Too close to tell";
    case Standing::NotKnownYet:
      return "Not known yet";
    case Standing::NotApplicable:
      return "Does not apply";
  }
  return {};
}

ordered_json to_json(const model::Measurement& m) {
  ordered_json budget = ordered_json::array();
  for (const auto& term : m.budget) budget.push_back({{"term", term.term}, {"u", term.u}});
  return {{"id", m.id.value},
          {"quantity", model::key(m.quantity)},
          {"label", or_null(m.label)},
          {"value", m.value},
          {"u95", m.u95},
          {"unit", model::unit_of(m.quantity)},
          {"method", model::key(m.method)},
          {"instrument", or_null(m.instrument)},
          {"budget", budget},
          {"lens", m.trace ? or_null(m.trace->lens) : ordered_json(nullptr)},
          {"note", or_null(m.note)},
          {"made_at", m.made_at}};
}

ordered_json verdicts_json(const OpeningView& view) {
  return {
      {"tag", view.opening.tag}, {"standing", standing_key(view.standing)}, {"verdicts", verdict_list(view)}};
}

ordered_json to_json(const OpeningView& view) {
  const auto& o = view.opening;
  ordered_json measurements = ordered_json::array();
  for (const auto& m : view.measurements) measurements.push_back(to_json(m));
  return {{"tag", o.tag},
          {"service", or_null(o.service)},
          {"side", model::key(o.side)},
          {"from_bow_mm", or_null(o.from_bow_mm)},
          {"height_mm", or_null(o.height_mm)},
          {"half_breadth_mm", or_null(o.half_breadth_mm)},
          {"construction", key_or_null(o.construction)},
          {"hull_radius_mm", or_null(o.hull_radius_mm)},
          {"frame_mm", or_null(o.frame_mm)},
          {"clear_depth_mm", or_null(o.clear_depth_mm)},
          {"clear_width_mm", or_null(o.clear_width_mm)},
          {"reach", key_or_null(o.reach)},
          {"reach_s", or_null(o.reach_s)},
          {"notes", or_null(o.notes)},
          {"standing", standing_key(view.standing)},
          {"missing", view.missing},
          {"fitting", or_null(view.fitting, fitting_json)},
          {"observation", or_null(view.observation, observation_json)},
          {"measurements", measurements},
          {"photos", photos_json(view.photos)},
          {"verdicts", verdict_list(view)}};
}

ordered_json to_json(const Snapshot& snapshot) {
  ordered_json surveys = ordered_json::array();
  for (const auto& survey : snapshot.surveys)
    surveys.push_back(survey_json(survey, survey.id == snapshot.survey));
  ordered_json openings = ordered_json::array();
  for (const auto& opening : snapshot.openings) openings.push_back(to_json(opening));
  return {{"vessel", or_null(snapshot.vessel, vessel_json)},
          {"surveys", surveys},
          {"openings", openings},
          {"unfiled_photos", photos_json(snapshot.unfiled)},
          {"cameras", cameras_json(snapshot.cameras)}};
}

}  // namespace spile::app
