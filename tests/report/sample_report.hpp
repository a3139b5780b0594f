// A survey report with everything in it: an invented vessel, drawn photos, verdicts of every standing.
#pragma once

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "report/survey_report.hpp"
#include "scenes/photo.hpp"

namespace spile::report::test {

inline model::Measurement measured(model::Quantity quantity, double value, double u95, model::Method method) {
  model::Measurement m;
  m.quantity = quantity;
  m.value = value;
  m.u95 = u95;
  m.method = method;
  m.budget = {{"reference printed to scale", u95 / 2.5}, {"edge", u95 / 5}};
  return m;
}

inline ReportPhoto photo_of_a_hole(std::uint64_t seed) {
  scenes::Scene scene;
  scene.seed = seed;
  scene.hull = seed % 2 ? scenes::Hull::Dark : scenes::Hull::White;
  scenes::Hole hole;
  hole.diameter_mm = 38;
  scene.holes = {hole};
  scene.card = scenes::Card{};
  scene.card->x = 92;
  scenes::Camera camera;
  camera.width_px = 800;
  camera.height_px = 600;
  camera.focal_px = 1100;
  camera.look_x = 62;
  camera.distance_mm = 300;
  camera.tilt_deg = 12;
  const scenes::Photo taken = scenes::take(scene, camera);
  ReportPhoto photo;
  photo.name = "hole-" + std::to_string(seed) + ".jpg";
  photo.taken_at = "2026-04-11T09:41:08";
  photo.finding = "hole 38.12 ± 0.11 mm";
  photo.sha256 = std::string(60, 'a') + std::to_string(1000 + seed);
  photo.jpeg = taken.jpeg;
  photo.width_px = photo.original_width_px = camera.width_px;
  photo.height_px = photo.original_height_px = camera.height_px;
  model::Measurement m = measured(model::Quantity::HoleDiameter, 38.12, 0.11, model::Method::PhotoAuto);
  model::Trace trace;
  trace.reference_kind = "card";
  for (const auto& p : {taken.truth.marker_corners[0][0], taken.truth.marker_corners[1][1],
                        taken.truth.marker_corners[2][2], taken.truth.marker_corners[3][3]})
    trace.reference_outline.push_back({p.x, p.y});
  for (const auto& p : taken.truth.holes[0].rim_px) trace.outline.push_back({p.x, p.y});
  trace.centre = model::PixelPoint{taken.truth.holes[0].centre_px.x, taken.truth.holes[0].centre_px.y};
  m.trace = trace;
  photo.measurements = {m};
  return photo;
}

inline rules::Verdict verdict(const std::string& title, rules::Standing standing,
                              const std::string& headline) {
  rules::Verdict v;
  v.title = title;
  v.rule = title;
  v.standing = standing;
  v.headline = headline;
  v.inputs = {{"Laminate thickness", "18.60 ± 0.50 mm (steel rule)"}, {"Zone", "below the waterline"}};
  v.reasons = {"18.60 ± 0.50 mm means between 18.1 and 19.1 mm; the limit of 19.05 mm (3/4 in) lies inside.",
               "Below the waterline, too close to tell counts as not met."};
  v.actions = {"Measure the laminate with a caliper on the cut-out.",
               "Until then, plan for a backing block."};
  v.would_change = {"A caliper reading of 19.2 mm or more would settle it."};
  v.sources = {"common practice", "ILAC-G8:09/2019, guard band of the 95 % interval"};
  v.caution = "Work on a fitting below the waterline can sink her: do it ashore.";
  return v;
}

inline ReportOpening opening(int number, bool with_photo) {
  using rules::Standing;
  static const std::vector<Standing> standings = {Standing::Act, Standing::TooCloseToTell, Standing::Watch,
                                                  Standing::NotKnownYet, Standing::Good};
  ReportOpening o;
  o.mark.tag = (number % 2 ? "P-" : "S-") + std::string(number < 10 ? "0" : "") + std::to_string(number);
  o.mark.side = number % 2 ? model::Side::Port : model::Side::Starboard;
  o.mark.from_bow_mm = 2000 + 520.0 * number;
  o.mark.height_mm = -420 + 75.0 * number;
  o.mark.half_breadth_mm = 900;
  o.mark.standing = standings[static_cast<std::size_t>(number) % standings.size()];
  o.service = number % 3 ? "Galley sink drain" : "Engine raw-water intake";
  o.place = "Port, 3.50 m from the bow, 330 mm below the waterline at rest";
  o.zone = number < 6 ? "below the waterline" : "wetted when heeled";
  o.seen = number == 4 ? model::Seen::NotLookedAt : model::Seen::Looked;
  o.material = "Bronze (leaded tin bronze 85-5-5-5)";
  o.valve = "works freely";
  o.record = {
      {"Condition", "Sound"}, {"Valve", "Ball valve on a through-hull, works freely"}, {"Notes", "None."}};
  const auto value = [&](double mm, double u95, const char* date, bool now) {
    auto m = measured(model::Quantity::HoleDiameter, mm, u95, model::Method::PhotoAuto);
    m.survey = model::SurveyId{now ? 2 : 1};
    o.values.push_back({m, date, "hole.jpg", now});
  };
  value(37.2, 0.15, "2025-04-05", false);
  value(38.12, 0.11, "2026-04-11", true);
  auto laminate = measured(model::Quantity::LaminateThickness, 18.6, 0.5, model::Method::SteelRule);
  laminate.survey = model::SurveyId{2};
  o.values.push_back({laminate, "2026-04-11", "", true});
  o.verdicts = {
      verdict("Reinforcement", o.mark.standing, "Too close to tell whether the laminate needs a block.")};
  o.missing = {"flange diameter"};
  if (with_photo) o.photos = {photo_of_a_hole(static_cast<std::uint64_t>(number))};
  return o;
}

inline SurveyReport sample_report(int openings, bool with_photos) {
  SurveyReport data;
  data.vessel.name = "Wrenfold";
  data.vessel.construction = model::HullConstruction::SingleSkin;
  data.vessel.length_mm = 10200;
  data.vessel.beam_mm = 3280;
  data.vessel.draught_mm = 1750;
  data.vessel.freeboard_mm = 1080;
  data.vessel.loaded_sinkage_mm = 40;
  data.vessel.built = "1986";
  data.survey.date = "2026-04-11";
  data.survey.title = "Spring 2026";
  data.survey.surveyor = "Demonstration";
  data.survey.notes = "Ashore, with several fittings out.";
  data.heel_deg = 30;
  data.engine = "spile 0.1.0";
  data.logbook = "wrenfold.spile";
  for (int i = 1; i <= openings; ++i) data.openings.push_back(opening(i, with_photos && i <= 3));
  if (with_photos) data.unfiled = {photo_of_a_hole(7)};
  return data;
}

}  // namespace spile::report::test
