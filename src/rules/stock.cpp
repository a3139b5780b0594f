#include "rules/stock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "assets/embedded.hpp"
#include "rules/stock_reader.hpp"
#include "units/text.hpp"

namespace spile::rules {

namespace {

constexpr double kOneSize =
    2;  // mm; hose sizes of the trade lie further apart than twice that, but 25 and 28

template <class Rows, class Key>
auto find(const Rows& rows, const Key& is_it) {
  const auto hit = std::find_if(rows.begin(), rows.end(), is_it);
  return hit == rows.end() ? nullptr : &*hit;
}

bool is_through_hull(const StockPart& part, std::string_view form) {
  if (part.kind != PartKind::ThroughHull) return false;
  if (form == "npsm" || form == "npt") return part.in.form == EndForm::NpsmMale;
  if (form == "g" || form == "r") return part.in.form == EndForm::GMale;
  return part.in.form == EndForm::Tail;
}

}  // namespace

const std::vector<NominalStep>& nominal_steps() {
  static const std::vector<NominalStep> steps = {{"3/8", 10}, {"1/2", 13},   {"5/8", 16},   {"3/4", 19},
                                                 {"1", 25},   {"1-1/8", 28}, {"1-1/4", 32}, {"1-1/2", 38},
                                                 {"2", 50},   {"2-1/2", 63}, {"3", 76},     {"4", 102}};
  return steps;
}

const NominalStep* nominal_step_of_hose(double hose_mm) {
  const NominalStep* nearest = nullptr;
  for (const auto& step : nominal_steps())
    if (nearest == nullptr || std::abs(step.hose_mm - hose_mm) < std::abs(nearest->hose_mm - hose_mm))
      nearest = &step;
  return std::abs(nearest->hose_mm - hose_mm) <= kOneSize ? nearest : nullptr;
}

const NominalStep* nominal_step(std::string_view size) {
  if (const auto* step = find(nominal_steps(), [&](const NominalStep& s) { return s.inches == size; }))
    return step;
  const auto read = units::parse_length(size);
  if (!read) return nullptr;
  if (read->system == units::LengthSystem::Metric) return nominal_step_of_hose(read->length.value());
  return find(nominal_steps(), [&](const NominalStep& s) {
    return std::abs(units::parse_length(std::string(s.inches) + " in")->length.value() -
                    read->length.value()) < 0.1;
  });
}

std::string_view label(PartKind kind) {
  static constexpr std::array<std::string_view, 14> labels = {
      "Fixture", "Pump",      "Hose",         "Tail",     "Elbow",
      "Reducer", "Connector", "Valve",        "Strainer", "Non-return valve",
      "Loop",    "Tee",       "Through-hull", "Other"};
  return labels[static_cast<std::size_t>(kind)];
}

std::string_view label(EndForm form) {
  static constexpr std::array<std::string_view, 12> labels = {"nothing",
                                                              "hose",
                                                              "tail",
                                                              "NPT male thread",
                                                              "NPT female thread",
                                                              "NPSM male thread",
                                                              "NPSM female thread",
                                                              "G male thread",
                                                              "G female thread",
                                                              "R male thread",
                                                              "R female thread",
                                                              "end not known"};
  return labels[static_cast<std::size_t>(form)];
}

std::string end_text(const PartEnd& end) {
  switch (end.form) {
    case EndForm::None:
    case EndForm::Any:
      return std::string(label(end.form));
    case EndForm::Hose:
      return fmt::format("{} hose", end.size);
    case EndForm::Tail:
      return fmt::format("tail for {} hose", end.size);
    default:
      return fmt::format("{} {}", end.size, label(end.form));
  }
}

double Loss::at(double bore_mm) const {
  const auto right =
      std::find_if(k_by_bore.begin(), k_by_bore.end(), [&](const auto& p) { return p.first >= bore_mm; });
  if (right == k_by_bore.begin()) return right->second;
  if (right == k_by_bore.end()) return k_by_bore.back().second;
  const auto left = right - 1;
  return std::lerp(left->second, right->second, (bore_mm - left->first) / (right->first - left->first));
}

Result<Stock> Stock::load_shipped() {
  return load([](std::string_view name) { return assets::text("tables/" + std::string(name)); });
}

Result<Stock> Stock::load(const Tables::TextOf& text_of) {
  return StockReader(text_of).read();
}

const StockPart* Stock::part(std::string_view key) const {
  return find(parts_, [&](const StockPart& p) { return p.choice.key == key; });
}

const Loss& Stock::loss(std::string_view key) const {
  const auto* hit = find(losses_, [&](const Loss& l) { return l.key == key; });
  assert(hit != nullptr && "a part names a loss that the table lacks");
  return *hit;
}

const ServiceRun* Stock::service(std::string_view key) const {
  return find(services_, [&](const ServiceRun& s) { return s.service == key; });
}

std::vector<TemplateStep> Stock::steps(std::string_view service) const {
  std::vector<TemplateStep> found;
  for (const auto& [of, step] : steps_)
    if (of == service) found.push_back(step);
  return found;
}

const StockPart* Stock::through_hull(std::string_view nominal_size, std::string_view thread_form) const {
  const auto* step = nominal_step(nominal_size);
  if (step == nullptr) return nullptr;
  return find(parts_, [&](const StockPart& p) {
    return is_through_hull(p, thread_form) && nominal_step(p.in.size) == step;
  });
}

}  // namespace spile::rules
