#include "rules/standing_value.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace spile::rules {

namespace {

using model::Measurement;
using model::Quantity;

bool thin_is_cautious(Quantity quantity) {
  return quantity == Quantity::LaminateThickness || quantity == Quantity::LayerThickness ||
         quantity == Quantity::BackingThickness || quantity == Quantity::BackingWidth;
}

// A sound rim has no damage and a round hole no ovality; nothing else measured is of size zero.
bool may_be_zero(Quantity quantity) {
  return quantity == Quantity::HoleOvality || quantity == Quantity::EdgeDamage ||
         quantity == Quantity::MoistureReading;
}

bool usable(const Measurement& m) {
  return std::isfinite(m.value) && (m.value > 0 || (m.value == 0 && may_be_zero(m.quantity))) && m.u95 > 0;
}

bool disagree(const Measurement& a, const Measurement& b) {
  return std::abs(a.value - b.value) > std::hypot(a.u95, b.u95);
}

std::vector<const Measurement*> of_newest_survey(std::span<const Measurement> measurements, Quantity quantity,
                                                 std::span<const model::SurveyId> newest_first) {
  std::vector<const Measurement*> found;
  for (const auto& m : measurements) {
    if (m.quantity != quantity || !usable(m)) continue;
    if (!found.empty() && newer(found.front()->survey, m.survey, newest_first)) continue;
    if (!found.empty() && newer(m.survey, found.front()->survey, newest_first)) found.clear();
    found.push_back(&m);
  }
  return found;
}

std::optional<Disagreement> disagreement_in(const std::vector<const Measurement*>& values) {
  for (const auto* a : values)
    for (const auto* b : values)
      if (disagree(*a, *b)) return Disagreement{a, b};
  return std::nullopt;
}

}  // namespace

bool newer(model::SurveyId a, model::SurveyId b, std::span<const model::SurveyId> newest_first) {
  return std::find(newest_first.begin(), newest_first.end(), a) <
         std::find(newest_first.begin(), newest_first.end(), b);
}

const Measurement* standing_value(std::span<const Measurement> measurements, Quantity quantity,
                                  std::span<const model::SurveyId> newest_first) {
  const auto values = of_newest_survey(measurements, quantity, newest_first);
  if (values.empty()) return nullptr;
  const bool settled = !disagreement_in(values);
  const bool thin = thin_is_cautious(quantity);
  return *std::min_element(values.begin(), values.end(), [&](const Measurement* a, const Measurement* b) {
    if (settled) return a->u95 < b->u95;
    return thin ? a->value < b->value : a->value > b->value;
  });
}

std::optional<Disagreement> disagreement(std::span<const Measurement> measurements, Quantity quantity,
                                         std::span<const model::SurveyId> newest_first) {
  return disagreement_in(of_newest_survey(measurements, quantity, newest_first));
}

}  // namespace spile::rules
