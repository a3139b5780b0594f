#include "app/run_file.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "app/run_view.hpp"
#include "units/text.hpp"

namespace spile::app {

namespace {

using nlohmann::json;

struct NotUnderstood : std::runtime_error {
  using std::runtime_error::runtime_error;
};

std::optional<double> length(const json& from, const std::string& name) {
  if (const auto number = from.find(name + "_mm"); number != from.end()) return number->get<double>();
  const auto typed = from.find(name);
  if (typed == from.end()) return std::nullopt;
  const auto read = units::parse_length(typed->get<std::string>());
  if (!read) throw NotUnderstood(read.error().sentence());
  return read->length.value();
}

std::optional<double> number(const json& from, const char* name) {
  const auto found = from.find(name);
  return found == from.end() || found->is_null() ? std::nullopt : std::optional(found->get<double>());
}

void only(const json& from, std::initializer_list<std::string_view> names) {
  for (const auto& [name, value] : from.items()) {
    if (std::find(names.begin(), names.end(), name) != names.end()) continue;
    std::string known;
    for (const auto n : names) known += (known.empty() ? "" : ", ") + std::string(n);
    throw NotUnderstood(fmt::format("\"{}\" is not known here; it is one of {}.", name, known));
  }
}

model::RunPart part_of(const json& from) {
  only(from, {"part", "bore_mm", "bore", "length_mm", "length", "rise_mm", "rise", "bends", "curve", "turned",
              "note"});
  model::RunPart part;
  part.part = from.at("part").get<std::string>();
  part.bore_mm = length(from, "bore");
  part.length_mm = length(from, "length");
  part.rise_mm = length(from, "rise");
  part.bends = number(from, "bends");
  part.curve = from.value("curve", "");
  part.turned = from.value("turned", false);
  part.note = from.value("note", "");
  return part;
}

RunPlace place_of(const json& from) {
  RunPlace place;
  place.service = from.value("service", "");
  place.heel_deg = number(from, "heel_deg").value_or(0);
  place.sinkage_mm = length(from, "sinkage").value_or(0);
  const auto opening = from.find("opening");
  if (opening == from.end()) return place;
  only(*opening, {"tag", "height_mm", "height", "half_breadth_mm", "half_breadth", "hole_mm", "hole",
                  "bore_mm", "bore", "size", "thread", "below_waterline"});
  place.tag = opening->value("tag", "");
  place.height_mm = length(*opening, "height");
  place.half_breadth_mm = length(*opening, "half_breadth");
  place.end.hole_mm = length(*opening, "hole");
  place.end.bore_mm = length(*opening, "bore");
  place.end.below_waterline = opening->value("below_waterline", true);
  if (opening->contains("size")) {
    place.end.fitting.emplace();
    place.end.fitting->nominal_size = opening->at("size").get<std::string>();
    place.end.fitting->thread = opening->value("thread", "");
  }
  return place;
}

RunView read(const json& from, const rules::Tables& tables, const rules::Stock& stock) {
  only(from, {"service", "name", "heel_deg", "sinkage_mm", "sinkage", "opening", "outlet_height_mm",
              "outlet_height", "basin_depth_mm", "basin_depth", "basin_litres", "from_centreline_mm",
              "from_centreline", "parts"});
  const RunPlace place = place_of(from);
  if (!place.service.empty() && tables.service(place.service) == nullptr)
    throw NotUnderstood(fmt::format("\"{}\" is not a known service.", place.service));
  model::Run run;
  run.name = from.value("name", "");
  run.outlet_height_mm = length(from, "outlet_height");
  run.basin_depth_mm = length(from, "basin_depth");
  run.basin_litres = number(from, "basin_litres");
  run.from_centreline_mm = length(from, "from_centreline");
  for (const auto& part : from.at("parts")) run.parts.push_back(part_of(part));
  return view_of(run, {}, place, {tables, stock});
}

}  // namespace

Result<RunView> view_of_file(const std::string& text, const rules::Tables& tables,
                             const rules::Stock& stock) {
  const std::string remedy = "See \"spile flow --help\" for what it holds.";
  try {
    return read(json::parse(text), tables, stock);
  } catch (const NotUnderstood& fault) {
    return fail(ErrorCode::BadInput, fmt::format("The run is not understood: {}", fault.what()), remedy);
  } catch (const json::exception& fault) {
    return fail(ErrorCode::BadInput, "The file is not a run written as JSON.", remedy, fault.what());
  }
}

}  // namespace spile::app
