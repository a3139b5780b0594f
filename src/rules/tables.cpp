#include "rules/tables.hpp"

#include <algorithm>
#include <cassert>

#include "assets/embedded.hpp"
#include "rules/table_reader.hpp"

namespace spile::rules {

namespace {

template <class Row>
const Row* find(const std::vector<Row>& rows, std::string_view key) {
  const auto hit =
      std::find_if(rows.begin(), rows.end(), [&](const Row& row) { return row.choice.key == key; });
  return hit == rows.end() ? nullptr : &*hit;
}

}  // namespace

Result<Tables> Tables::load_shipped() {
  return load([](std::string_view name) { return assets::text("tables/" + std::string(name)); });
}

Result<Tables> Tables::load(const TextOf& text_of) {
  return TableReader(text_of).read();
}

const Threshold& Tables::threshold(std::string_view key) const {
  const auto hit =
      std::find_if(thresholds_.begin(), thresholds_.end(), [&](const Threshold& t) { return t.key == key; });
  assert(hit != thresholds_.end() && "a threshold the rules use is missing from kNeededThresholds");
  return *hit;
}

const Service* Tables::service(std::string_view key) const {
  return find(service_rows_, key);
}
const Material* Tables::material(std::string_view key) const {
  return find(material_rows_, key);
}
const FittingKind* Tables::fitting_kind(std::string_view key) const {
  return find(fitting_kind_rows_, key);
}
const ValveKind* Tables::valve_kind(std::string_view key) const {
  return find(valve_kind_rows_, key);
}
const BackingMaterial* Tables::backing_material(std::string_view key) const {
  return find(backing_materials_, key);
}
const Instrument* Tables::instrument(std::string_view key) const {
  return find(instruments_, key);
}
const Bedding* Tables::bedding(std::string_view key) const {
  return find(beddings_, key);
}
const Finding* Tables::finding(std::string_view key) const {
  return find(findings_, key);
}
const PipeThread* Tables::thread(std::string_view key) const {
  return find(threads_, key);
}

std::vector<std::string> Tables::sources_of(std::string_view table) const {
  std::vector<std::string> sources;
  for (const auto& [name, source] : sources_)
    if (name == table && std::find(sources.begin(), sources.end(), source) == sources.end())
      sources.push_back(source);
  return sources;
}

std::string_view label_of(const std::vector<Choice>& choices, std::string_view key) {
  const auto hit =
      std::find_if(choices.begin(), choices.end(), [&](const Choice& c) { return c.key == key; });
  return hit == choices.end() ? key : std::string_view(hit->label);
}

}  // namespace spile::rules
