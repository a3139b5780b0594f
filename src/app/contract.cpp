#include "app/contract.hpp"

#include <cmath>

namespace spile::app {

namespace {

using nlohmann::ordered_json;

// Digits kept after the point: finer than the finest interval the engine can claim, coarse enough to read.
constexpr int kPixel = 2;
constexpr int kMillimetre = 3;
constexpr int kUncertainty = 4;
constexpr int kScale = 6;
constexpr int kDegree = 2;
constexpr int kShare = 3;
constexpr int kPercent = 2;
constexpr int kRelative = 5;

// JSON has no NaN: a number that is none is absent.
ordered_json number(double value, int decimals) {
  if (!std::isfinite(value)) return nullptr;
  const double power = std::pow(10.0, decimals);
  const double rounded = std::round(value * power) / power;
  return rounded == 0 ? 0.0 : rounded;  // no "-0.0"
}

ordered_json number(const std::optional<double>& value, int decimals) {
  return value ? number(*value, decimals) : ordered_json(nullptr);
}

ordered_json pixel(const vision::PixelPoint& point) {
  return ordered_json::array({number(point.x, kPixel), number(point.y, kPixel)});
}

ordered_json reference_json(const vision::Reference& r) {
  ordered_json json = {{"kind", r.kind},
                       {"mm_per_px", number(r.mm_per_px, kScale)},
                       {"tilt_deg", number(r.tilt_deg, kDegree)},
                       {"rel_u95", number(r.rel_u95, kRelative)},
                       {"lens", r.lens.empty() ? ordered_json(nullptr) : ordered_json(r.lens)}};
  if (!r.checked.empty()) json["checked"] = r.checked;
  return json;
}

ordered_json chips_json(const std::vector<vision::Chip>& chips) {
  ordered_json json = ordered_json::array();
  for (const auto& c : chips) {
    json.push_back({{"centre_px", pixel(c.centre_px)},
                    {"depth_mm", number(c.depth_mm, kMillimetre)},
                    {"u95_mm", number(c.u95_mm, kMillimetre)},
                    {"width_mm", number(c.width_mm, kMillimetre)},
                    {"arc_deg", number(c.arc_deg, kDegree)}});
  }
  return json;
}

ordered_json hole_json(const vision::Hole& h) {
  ordered_json json = {{"centre_px", pixel(h.centre_px)},
                       {"diameter_mm", number(h.diameter_mm, kMillimetre)},
                       {"u95_mm", number(h.u95_mm, kMillimetre)},
                       {"major_mm", number(h.major_mm, kMillimetre)},
                       {"minor_mm", number(h.minor_mm, kMillimetre)},
                       {"ovality_pct", number(h.ovality_pct, kPercent)},
                       {"edge_seen", number(h.edge_seen, kShare)},
                       {"edge_damage_mm", number(h.edge_damage_mm, kMillimetre)},
                       {"depth_mm", number(h.depth_mm, kMillimetre)},
                       {"depth_u95_mm", number(h.depth_u95_mm, kMillimetre)},
                       {"rim", h.rim}};
  if (!h.chips.empty()) json["chips"] = chips_json(h.chips);
  return json;
}

ordered_json edge_json(const vision::Edge& e) {
  ordered_json layers = ordered_json::array();
  for (const auto& layer : e.layers) {
    layers.push_back({{"kind", layer.kind},
                      {"thickness_mm", number(layer.thickness_mm, kMillimetre)},
                      {"u95_mm", number(layer.u95_mm, kMillimetre)}});
  }
  ordered_json json = {
      {"thickness_mm", number(e.thickness_mm, kMillimetre)},
      {"u95_mm", number(e.u95_mm, kMillimetre)},
      {"construction", e.construction.empty() ? ordered_json(nullptr) : ordered_json(e.construction)},
      {"layers", layers}};
  if (e.thinnest) {
    json["thinnest"] = {{"thickness_mm", number(e.thinnest->thickness_mm, kMillimetre)},
                        {"u95_mm", number(e.thinnest->u95_mm, kMillimetre)},
                        {"from_px", pixel(e.thinnest->outer)},
                        {"to_px", pixel(e.thinnest->inner)}};
  }
  return json;
}

ordered_json fitting_json(const vision::FittingSeen& f) {
  const bool flange = f.flange_mm > 0;
  ordered_json json = {
      {"flange_mm", flange ? number(f.flange_mm, kMillimetre) : ordered_json(nullptr)},
      {"flange_u95_mm", flange ? number(f.flange_u95_mm, kMillimetre) : ordered_json(nullptr)},
      {"bore_mm", number(f.bore_mm, kMillimetre)},
      {"bore_u95_mm", number(f.bore_u95_mm, kMillimetre)}};
  if (f.hexagon) {
    json["across_flats_mm"] = number(f.hexagon->across_flats_mm, kMillimetre);
    json["across_flats_u95_mm"] = number(f.hexagon->u95_mm, kMillimetre);
  }
  return json;
}

template <class T, class ToJson>
ordered_json or_null(const std::optional<T>& value, ToJson convert) {
  return value ? convert(*value) : ordered_json(nullptr);
}

ordered_json refusal_json(const vision::Refusal& r) {
  return {{"code", r.code}, {"reason", r.reason}};
}

ordered_json change_json(const vision::Change& c) {
  ordered_json course = ordered_json::array();
  for (const auto& p : c.outline_px) course.push_back(pixel(p));
  return {{"kind", c.kind},
          {"centre_px", pixel(c.centre_px)},
          {"length_mm", number(c.length_mm, kMillimetre)},
          {"area_mm2", number(c.area_mm2, kPercent)},
          {"u95", number(c.u95, kMillimetre)},
          {"earlier_area_mm2", number(c.earlier_area_mm2, kPercent)},
          {"outline_px", course}};
}

}  // namespace

ordered_json to_json(const vision::Comparison& comparison) {
  ordered_json changes = ordered_json::array();
  for (const auto& change : comparison.changes) changes.push_back(change_json(change));
  return {
      {"aligned", comparison.aligned},
      {"residual_px", comparison.aligned ? number(comparison.residual_px, kPixel) : ordered_json(nullptr)},
      {"changes", changes},
      {"refused", or_null(comparison.refused, refusal_json)}};
}

ordered_json to_json(const vision::Report& report, const std::string& photo) {
  ordered_json holes = ordered_json::array();
  for (const auto& hole : report.holes) holes.push_back(hole_json(hole));
  ordered_json budget = ordered_json::array();
  for (const auto& term : report.budget)
    budget.push_back({{"term", term.term}, {"u_mm", number(term.u, kUncertainty)}});
  const bool sized = report.width_px > 0 && report.height_px > 0;
  ordered_json json = {
      {"photo", photo},
      {"size_px", sized ? ordered_json::array({report.width_px, report.height_px}) : ordered_json(nullptr)},
      {"engine", vision::engine_name()},
      {"reference", or_null(report.reference, reference_json)},
      {"holes", holes},
      {"edge", or_null(report.edge, edge_json)},
      {"fitting", or_null(report.fitting, fitting_json)},
      {"budget", budget},
      {"refused", or_null(report.refused, refusal_json)}};
  // Only where there is something to say: the design's keys are all there are otherwise.
  if (const auto parts = vision::parts_by_hand(report); !parts.empty()) json["by_hand"] = parts;
  if (!report.warnings.empty()) json["warnings"] = report.warnings;
  return json;
}

vision::Report unreadable(const Error& error) {
  vision::Report report;
  report.refused = vision::Refusal{"unreadable", error.sentence()};
  return report;
}

}  // namespace spile::app
