// A case to start from: a 10 m sailing monohull of solid laminate, an intake half a metre under water, a
// bronze seacock that works, nothing measured. Each test changes what it is about. Invented.
#pragma once

#include <gmock/gmock.h>

#include "rules/rule.hpp"
#include "shipped.hpp"

namespace spile::rules {

inline model::Measurement reading(model::Quantity quantity, double value, double u95,
                                  model::Method method = model::Method::Caliper, std::string label = {}) {
  model::Measurement m;
  m.quantity = quantity;
  m.value = value;
  m.u95 = u95;
  m.method = method;
  m.label = std::move(label);
  return m;
}

inline Case plain_case() {
  Case c;
  c.vessel.type = model::VesselType::SailMonohull;
  c.vessel.construction = model::HullConstruction::SingleSkin;
  c.vessel.beam_mm = 3200;
  c.opening.tag = "P-01";
  c.opening.service = "engine-raw-water-intake";
  c.opening.height_mm = -500;
  c.opening.half_breadth_mm = 600;
  c.opening.reach = model::Reach::Readily;
  c.fitting = model::Fitting{};
  c.fitting->kind = "flanged-seacock";
  c.fitting->material = "tin-bronze";
  c.observation = model::Observation{};
  c.observation->seen = model::Seen::Looked;
  c.observation->condition = model::Condition::Sound;
  c.observation->valve = model::ValveState::Works;
  c.observation->valve_kind = "flanged-ball";
  c.observation->backing = model::Backing::None;
  c.observation->clips = 2;
  return c;
}

inline Verdict verdict(const Case& facts, std::string_view rule) {
  for (auto& v : judge_all(facts, shipped()))
    if (v.rule == rule) return v;
  ADD_FAILURE() << "no rule " << rule;
  return {};
}

// Everything a person would read of a verdict, in one text.
inline std::string all_text(const Verdict& v) {
  std::string text = v.headline + "\n";
  for (const auto& i : v.inputs) text += i.label + ": " + i.text + "\n";
  for (const auto* list : {&v.reasons, &v.actions, &v.would_change, &v.sources})
    for (const auto& line : *list) text += line + "\n";
  return text + v.caution;
}

}  // namespace spile::rules
