#include "rules/facts.hpp"

#include <fmt/format.h>

#include <cassert>
#include <cmath>

#include "rules/standing_value.hpp"
#include "rules/wording.hpp"
#include "units/text.hpp"

namespace spile::rules {

namespace {

using model::HullConstruction;
using model::Measurement;

bool same_look(const Measurement& a, const Measurement& b) {
  return a.survey == b.survey && a.photo == b.photo;
}

}  // namespace

Zone zone_of(std::span<const Verdict> earlier) {
  for (const auto& verdict : earlier) {
    if (verdict.rule != "zone") continue;
    if (verdict.answer == "below-waterline") return Zone::Below;
    if (verdict.answer == "wetted-when-heeled") return Zone::Heeled;
    if (verdict.answer == "above") return Zone::Above;
    if (verdict.answer == "too-close-to-tell") return Zone::TooClose;
  }
  return Zone::Unknown;
}

bool counts_as_below(Zone zone) {
  return zone == Zone::Below || zone == Zone::Heeled || zone == Zone::TooClose;
}

std::string zone_in_words(Zone zone) {
  switch (zone) {
    case Zone::Below:
      return "below the waterline";
    case Zone::Heeled:
      return "under water when heeled";
    case Zone::Above:
      return "above the waterline";
    case Zone::TooClose:
      return "too close to the waterline to tell";
    case Zone::Unknown:
      break;
  }
  return "not known yet";
}

std::optional<Best> best(const Case& facts, model::Quantity quantity) {
  const auto* value = standing_value(facts.measurements, quantity, facts.newest_first);
  if (!value) return std::nullopt;
  const auto two = disagreement(facts.measurements, quantity, facts.newest_first);
  if (!two) return Best{*value, {}};
  return Best{*value,
              fmt::format("Two values disagree beyond their intervals, {} and {}: the cautious one, {}, "
                          "is used until that is settled.",
                          measured(*two->first), measured(*two->second), measured(*value))};
}

std::optional<Layers> layers_seen(const Case& facts) {
  const Measurement* latest = nullptr;
  for (const auto& m : facts.measurements) {
    if (m.quantity != model::Quantity::LayerThickness) continue;
    if (!latest || !newer(latest->survey, m.survey, facts.newest_first)) latest = &m;
  }
  if (!latest) return std::nullopt;
  Layers seen;
  for (const auto& m : facts.measurements) {
    if (m.quantity != model::Quantity::LayerThickness || !same_look(m, *latest)) continue;
    seen.layers.push_back(m);
    seen.core = seen.core || m.label == "core";
    seen.total_mm += m.value;
    seen.u95 = std::hypot(seen.u95, m.u95);
  }
  return seen;
}

Construction construction_of(const Case& facts) {
  const auto layers = layers_seen(facts);
  const auto recorded = facts.opening.construction != HullConstruction::Unknown ? facts.opening.construction
                                                                                : facts.vessel.construction;
  const bool laminate_hull =
      recorded == HullConstruction::Unknown || recorded == HullConstruction::SingleSkin;
  if (layers && layers->core && laminate_hull) {
    return {HullConstruction::Sandwich, recorded == HullConstruction::Unknown
                                            ? "core seen at the edge"
                                            : "core seen at the edge, although the record says single skin"};
  }
  if (facts.opening.construction != HullConstruction::Unknown) {
    return {facts.opening.construction, "recorded for this opening"};
  }
  if (facts.vessel.construction != HullConstruction::Unknown) {
    return {facts.vessel.construction, "as the vessel"};
  }
  if (layers) return {HullConstruction::SingleSkin, "no core among the layers seen at the edge"};
  return {HullConstruction::Unknown, {}};
}

std::string material_of(const Case& facts) {
  if (facts.observation && !facts.observation->fitting_material.empty()) {
    return facts.observation->fitting_material;
  }
  return facts.fitting ? facts.fitting->material : std::string();
}

const Service& service_of(const Case& facts, const Tables& tables) {
  const auto* recorded = tables.service(facts.opening.service);
  if (!recorded) recorded = tables.service("unknown");
  assert(recorded && "services.csv must keep its row for a service nobody knows");
  return *recorded;
}

const NominalSize* nominal_size(const Tables& tables, std::string_view typed) {
  const auto read = units::parse_length(typed);
  if (!read) return nullptr;
  // Metric names of inch sizes are rounded: 19 or 20 for 3/4 in, 25 for 1 in, 50 for 2 in.
  constexpr double kRounded = 1.0;
  for (const auto& size : tables.nominal_sizes()) {
    const auto inches = units::parse_length(size.size_in + " in");
    if (inches && std::abs((inches->length - read->length).value()) <= kRounded) return &size;
  }
  return nullptr;
}

std::optional<Flange> flange_of(const Case& facts, const Tables& tables) {
  // What is to be carried is the fitting that goes in next, where one has been chosen.
  if (facts.fitting && facts.fitting->next.planned()) {
    const auto& next = facts.fitting->next;
    if (next.flange_mm) return Flange{*next.flange_mm, "of the fitting to go in next"};
    if (const auto* size = nominal_size(tables, next.nominal_size))
      return Flange{size->flange.to_mm, fmt::format("the largest usual for {} in", size->size_in)};
  }
  if (const auto flange = best(facts, model::Quantity::FlangeDiameter)) {
    return Flange{flange->measurement.value, "as measured"};
  }
  if (!facts.fitting) return std::nullopt;
  if (const auto* size = nominal_size(tables, facts.fitting->nominal_size)) {
    return Flange{size->flange.to_mm, fmt::format("the largest usual for {} in", size->size_in)};
  }
  return std::nullopt;
}

}  // namespace spile::rules
