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

// The skin does not grow or wear between visits as a rim or a fitting may, so an old careful look still
// counts.
bool lasts(Quantity quantity) {
  return quantity == Quantity::LaminateThickness;
}

std::vector<const Measurement*> candidates(std::span<const Measurement> measurements, Quantity quantity,
                                           std::span<const model::SurveyId> newest_first) {
  std::vector<const Measurement*> found;
  for (const auto& m : measurements) {
    if (m.quantity != quantity || !usable(m)) continue;
    if (!lasts(quantity)) {
      if (!found.empty() && newer(found.front()->survey, m.survey, newest_first)) continue;
      if (!found.empty() && newer(m.survey, found.front()->survey, newest_first)) found.clear();
    }
    found.push_back(&m);
  }
  return found;
}

bool more_cautious(const Measurement* a, const Measurement* b) {
  return thin_is_cautious(a->quantity) ? a->value < b->value : a->value > b->value;
}

// Of all pairs that disagree, the one that holds the most cautious value; the cautious one comes first.
std::optional<Disagreement> disagreement_in(const std::vector<const Measurement*>& values) {
  std::optional<Disagreement> worst;
  for (const auto* a : values) {
    for (const auto* b : values) {
      if (!disagree(*a, *b) || more_cautious(b, a)) continue;
      if (!worst || more_cautious(a, worst->first)) worst = Disagreement{a, b};
    }
  }
  return worst;
}

}  // namespace

bool newer(model::SurveyId a, model::SurveyId b, std::span<const model::SurveyId> newest_first) {
  return std::find(newest_first.begin(), newest_first.end(), a) <
         std::find(newest_first.begin(), newest_first.end(), b);
}

const Measurement* standing_value(std::span<const Measurement> measurements, Quantity quantity,
                                  std::span<const model::SurveyId> newest_first) {
  const auto values = candidates(measurements, quantity, newest_first);
  if (values.empty()) return nullptr;
  if (const auto two = disagreement_in(values)) return two->first;
  const auto better = [&](const Measurement* a, const Measurement* b) {
    if (a->u95 != b->u95) return a->u95 < b->u95;
    if (newer(a->survey, b->survey, newest_first)) return true;
    if (newer(b->survey, a->survey, newest_first)) return false;
    return more_cautious(a, b);
  };
  return *std::min_element(values.begin(), values.end(), better);
}

std::optional<Disagreement> disagreement(std::span<const Measurement> measurements, Quantity quantity,
                                         std::span<const model::SurveyId> newest_first) {
  return disagreement_in(candidates(measurements, quantity, newest_first));
}

}  // namespace spile::rules
