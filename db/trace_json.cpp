#include "db/trace_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "db/fault.hpp"

namespace spile::db {
namespace {

using Json = nlohmann::json;

double finite(double value) {
  if (!std::isfinite(value)) {
    raise(ErrorCode::BadInput, "A point of the measurement lies nowhere: its coordinate is not a number.",
          "Place the points again.");
  }
  return value;
}

Json to_array(const model::PixelPoint& point) {
  return Json::array({finite(point.x), finite(point.y)});
}

Json to_array(const std::vector<model::PixelPoint>& points) {
  auto array = Json::array();
  for (const auto& point : points) array.push_back(to_array(point));
  return array;
}

model::PixelPoint point_of(const Json& json) {
  if (json.size() != 2) throw std::invalid_argument("a point has two coordinates");
  return {json.at(0).get<double>(), json.at(1).get<double>()};
}

std::vector<model::PixelPoint> points_of(const Json& json) {
  std::vector<model::PixelPoint> points;
  for (const auto& point : json) points.push_back(point_of(point));
  return points;
}

}  // namespace

std::string to_json(const model::Trace& trace) {
  Json json;
  json["reference_kind"] = trace.reference_kind;
  json["reference_outline"] = to_array(trace.reference_outline);
  json["reference_length_mm"] = trace.reference_length_mm ? Json(finite(*trace.reference_length_mm)) : Json();
  if (!trace.lens.empty()) json["lens"] = trace.lens;
  json["outline"] = to_array(trace.outline);
  json["by_hand"] = to_array(trace.by_hand);
  json["centre"] = trace.centre ? to_array(*trace.centre) : Json();
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

model::Trace trace_from_json(const std::string& text) try {
  const auto json = Json::parse(text);
  model::Trace trace;
  trace.reference_kind = json.at("reference_kind").get<std::string>();
  trace.reference_outline = points_of(json.at("reference_outline"));
  if (!json.at("reference_length_mm").is_null()) {
    trace.reference_length_mm = json.at("reference_length_mm").get<double>();
  }
  trace.lens = json.value("lens", "");  // not in what earlier versions wrote
  trace.outline = points_of(json.at("outline"));
  trace.by_hand = points_of(json.at("by_hand"));
  if (!json.at("centre").is_null()) trace.centre = point_of(json.at("centre"));
  return trace;
} catch (const std::exception& fault) {
  raise(ErrorCode::LogbookDamaged, "What was seen in the photo of one measurement cannot be read back.",
        "Copy the whole folder to a safe place, then go back to your newest copy of the logbook.",
        fault.what());
}

}  // namespace spile::db
