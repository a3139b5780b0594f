#include "rules/missing.hpp"

#include "rules/facts.hpp"

namespace spile::rules {

namespace {

class List {
 public:
  void ask(bool wanting, const char* phrase) {
    if (wanting) phrases_.emplace_back(phrase);
  }
  [[nodiscard]] std::vector<std::string> take() { return std::move(phrases_); }

 private:
  std::vector<std::string> phrases_;
};

bool measured_once(const Case& facts, model::Quantity quantity) {
  return best(facts, quantity).has_value();
}

void ask_place(List& list, const Case& facts, const Tables& tables) {
  const auto& o = facts.opening;
  list.ask(!tables.service(o.service) || o.service == "unknown", "what it is for");
  list.ask(!o.from_bow_mm, "distance from the bow");
  list.ask(!o.height_mm, "height above the waterline");
  list.ask(!o.half_breadth_mm && o.side != model::Side::Centreline, "distance from the centreline");
  list.ask(o.reach == model::Reach::Unknown, "how it is reached");
}

void ask_hull(List& list, const Case& facts) {
  const auto construction = construction_of(facts).value;
  const bool laminate = construction == model::HullConstruction::SingleSkin ||
                        construction == model::HullConstruction::Sandwich ||
                        construction == model::HullConstruction::Unknown;
  list.ask(construction == model::HullConstruction::Unknown, "solid, sandwich, timber or metal hull");
  list.ask(!measured_once(facts, model::Quantity::HoleDiameter), "hole diameter");
  list.ask(laminate && !measured_once(facts, model::Quantity::LaminateThickness) && !layers_seen(facts),
           "laminate thickness");
}

void ask_fitting(List& list, const Case& facts, const Tables& tables) {
  const bool bare = facts.fitting && facts.fitting->kind == "no-fitting";
  list.ask(!facts.fitting || facts.fitting->kind.empty(), "kind of fitting");
  if (bare) return;
  list.ask(material_of(facts).empty(), "fitting material");
  list.ask(!facts.fitting || facts.fitting->nominal_size.empty(), "fitting size");
  const auto* kind = facts.fitting ? tables.fitting_kind(facts.fitting->kind) : nullptr;
  const auto& service = service_of(facts, tables);
  const bool valve = (!kind || kind->takes_valve) && service.shut_off == ShutOff::Valve;
  const auto state = facts.observation ? facts.observation->valve : model::ValveState::Unknown;
  list.ask(valve && state == model::ValveState::Unknown, "whether the valve works");
  list.ask(valve && !(facts.observation && facts.observation->clips), "hose clips");
  list.ask(valve && state != model::ValveState::Unknown && state != model::ValveState::None &&
               facts.observation->valve_kind.empty(),
           "kind of valve");
}

void ask_condition(List& list, const Case& facts) {
  const auto& o = facts.observation;
  const bool looked = o && o->seen == model::Seen::Looked;
  list.ask(!looked, "a look at it in this survey");
  list.ask(!o || o->condition == model::Condition::Unknown, "condition");
}

void ask_backing(List& list, const Case& facts) {
  const auto backing = facts.observation ? facts.observation->backing : model::Backing::Unknown;
  list.ask(backing == model::Backing::Unknown, "whether there is a backing block");
  if (backing != model::Backing::Present) return;
  list.ask(
      facts.observation->backing_material.empty() || facts.observation->backing_material == "backing-unknown",
      "backing block material");
  list.ask(
      !facts.observation->backing_thickness_mm && !measured_once(facts, model::Quantity::BackingThickness),
      "backing block thickness");
}

}  // namespace

std::vector<std::string> missing(const Case& facts, const Tables& tables) {
  List list;
  ask_condition(list, facts);
  ask_place(list, facts, tables);
  ask_fitting(list, facts, tables);
  ask_hull(list, facts);
  ask_backing(list, facts);
  return list.take();
}

}  // namespace spile::rules
