#include "rules/reinforcement.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "metrology/decision.hpp"
#include "metrology/uncertainty.hpp"
#include "model/names.hpp"
#include "rules/block.hpp"
#include "rules/facts.hpp"
#include "rules/load_reasons.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using metrology::Conformity;
using model::HullConstruction;

class Reinforcement {
 public:
  Reinforcement(const Case& facts, const Tables& tables, Zone zone, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        zone_(zone),
        construction_(construction_of(facts)),
        laminate_(best(facts, model::Quantity::LaminateThickness)),
        layers_(layers_seen(facts)),
        min_(tables.threshold("reinforce.single-skin.min")),
        v_(std::move(verdict)) {
    if (laminate_) hull_mm_ = laminate_->measurement.value;
    if (!hull_mm_ && layers_) hull_mm_ = layers_->total_mm;
    block_ = judge_block(facts, tables, hull_mm_);
  }

  [[nodiscard]] Verdict find();

 private:
  void add_inputs();
  void single_skin();
  void sandwich();
  void timber();
  void metal();
  void construction_unknown();

  void thick_enough();
  void too_thin();
  void too_close();
  void not_measured();
  void block_carries();

  void explain_comparison(Conformity judged);
  void weigh_load(double thickness_mm, double u95, std::string_view skin = "of solid laminate carries");
  void take_over_block();
  void ask_for_block();
  void set(std::string_view key, Standing standing, std::string headline);
  [[nodiscard]] Standing act_by_zone() const {
    return zone_ == Zone::Above ? Standing::Watch : Standing::Act;
  }
  [[nodiscard]] bool block_serves() const { return block_.serves == Conformity::Met; }

  const Case& facts_;
  const Tables& tables_;
  Zone zone_;
  Construction construction_;
  std::optional<Best> laminate_;
  std::optional<Layers> layers_;
  std::optional<double> hull_mm_;
  BlockFound block_;
  const Threshold& min_;
  bool load_asks_for_block_ = false;
  Verdict v_;
};

Verdict Reinforcement::find() {
  add_inputs();
  v_.caution = kLaminateCaution;
  switch (construction_.value) {
    case HullConstruction::SingleSkin:
      single_skin();
      break;
    case HullConstruction::Sandwich:
      sandwich();
      break;
    case HullConstruction::Timber:
      timber();
      break;
    case HullConstruction::Metal:
      metal();
      break;
    case HullConstruction::Unknown:
      construction_unknown();
      break;
  }
  explain_crush(v_, facts_, tables_, hull_mm_);
  if (construction_.value != HullConstruction::Metal) explain_seat(v_, facts_, tables_, hull_mm_);
  return std::move(v_);
}

void Reinforcement::add_inputs() {
  const std::string unknown(kNotRecorded);
  const bool known = construction_.value != HullConstruction::Unknown;
  v_.inputs = {
      {"Hull here",
       known ? fmt::format("{}, {}", lower_first(model::label(construction_.value)), construction_.how)
             : unknown},
      {"Laminate thickness", laminate_ ? measured(laminate_->measurement) : unknown},
      {"Zone", zone_in_words(zone_)},
      block_.input,
  };
  if (laminate_ && !laminate_->disagreement.empty()) v_.reasons.push_back(laminate_->disagreement);
  if (!layers_) return;
  std::string list;
  for (const auto& layer : layers_->layers) {
    list +=
        fmt::format("{}{} {}", list.empty() ? "" : ", ", layer.label, with_interval(layer.value, layer.u95));
  }
  v_.inputs.push_back({"Layers at the edge", list});
}

void Reinforcement::set(std::string_view key, Standing standing, std::string headline) {
  v_.answer = key;
  v_.standing = standing;
  v_.headline = std::move(headline);
}

void Reinforcement::explain_comparison(Conformity judged) {
  const auto& m = laminate_->measurement;
  const double low = m.value - m.u95, high = m.value + m.u95;
  std::string text = fmt::format("{} means between {:.1f} and {}; ", measured(m), low, mm(high, 1));
  if (judged == Conformity::Met) {
    text += fmt::format("even the low end reaches {}.", limit(min_));
  } else if (judged == Conformity::NotMet) {
    text += fmt::format("even the high end stays short of {}.", limit(min_));
  } else {
    text += fmt::format("the limit of {} lies inside.", limit(min_));
  }
  v_.reasons.push_back(text);
  v_.margin = fmt::format("{} against {}", with_interval(m.value - min_.value, m.u95), limit(min_));
  const double p = metrology::conformance_probability(m.value, m.u95 / metrology::normal_quantile(0.975),
                                                      min_.value, std::nullopt);
  if (judged == Conformity::TooCloseToTell) {
    v_.reasons.push_back(fmt::format("The chance that it really reaches the limit is {}.", percent(p)));
  }
  add_source(v_, min_.source);
  add_source(v_, "ILAC-G8:09/2019, guard band of the 95 % interval");
}

void Reinforcement::weigh_load(double thickness_mm, double u95, std::string_view skin) {
  const auto load = explain_load(v_, facts_, tables_, {block_, hull_mm_, thickness_mm, u95, skin});
  const bool custom_met =
      laminate_ && metrology::at_least(laminate_->measurement.value, laminate_->measurement.u95,
                                       min_.value) == Conformity::Met;
  if (load.carries && !custom_met && construction_.value != HullConstruction::Sandwich)
    v_.reasons.emplace_back("The custom of the trade is stricter than the load check here, and stands.");
  load_asks_for_block_ = load.fails;
}

void Reinforcement::take_over_block() {
  v_.reasons.insert(v_.reasons.end(), block_.reasons.begin(), block_.reasons.end());
  v_.would_change.insert(v_.would_change.end(), block_.would_change.begin(), block_.would_change.end());
  for (const auto& source : block_.sources) add_source(v_, source);
}

void Reinforcement::ask_for_block() {
  for (auto& action : block_actions(block_to_fit(facts_, tables_, hull_mm_), tables_)) {
    v_.actions.push_back(std::move(action));
  }
  add_source(v_, "common practice");
}

void Reinforcement::single_skin() {
  if (!laminate_) return not_measured();
  const auto& m = laminate_->measurement;
  const auto judged = metrology::at_least(m.value, m.u95, min_.value);
  explain_comparison(judged);
  if (judged == Conformity::Met) return thick_enough();
  if (block_serves()) return block_carries();
  if (judged == Conformity::NotMet) return too_thin();
  too_close();
}

void Reinforcement::thick_enough() {
  const auto& m = laminate_->measurement;
  const auto& comfortable = tables_.threshold("reinforce.single-skin.comfortable");
  const bool plenty = metrology::at_least(m.value, m.u95, comfortable.value) == Conformity::Met;
  const bool look_again = !plenty && !block_.present && counts_as_below(zone_);
  weigh_load(m.value, m.u95);
  set("met", look_again ? Standing::Watch : Standing::Good,
      "The solid laminate is thick enough without a backing block.");
  if (load_asks_for_block_ && !block_.present) {
    set("met", Standing::Watch,
        "Thick enough by custom, but the load check asks for a backing block all the same.");
    ask_for_block();
  }
  if (!plenty) {
    v_.reasons.push_back(
        fmt::format("Some in the trade fit a block below {} all the same.", limit(comfortable)));
    add_source(v_, comfortable.source);
  }
  v_.reasons.push_back(
      fmt::format("A seat that is not flat within {} needs a shaped block whatever the thickness.",
                  plain_mm(tables_.threshold("reinforce.block.flat").value)));
  add_source(v_, "common practice");
}

void Reinforcement::block_carries() {
  take_over_block();
  weigh_load(laminate_->measurement.value, laminate_->measurement.u95);
  set("met", block_.conditional ? Standing::Watch : Standing::Good,
      "The laminate alone is not enough to go by; the backing block makes up for it.");
  if (block_.conditional) {
    v_.actions.emplace_back("Look at the block each season: soft, stained or crushed means renew it.");
  }
}

void Reinforcement::too_thin() {
  take_over_block();
  weigh_load(laminate_->measurement.value, laminate_->measurement.u95);
  if (block_.present && !block_.serves) {
    return set("not-known-yet", Standing::NotKnownYet,
               "Too thin on its own; whether the backing block makes up for it is not known yet.");
  }
  if (block_.serves == Conformity::TooCloseToTell) {
    return set("too-close-to-tell", Standing::TooCloseToTell,
               "Too thin on its own, and too close to tell whether the backing block makes up for it.");
  }
  set("reinforce", act_by_zone(),
      zone_ == Zone::Above
          ? "Too thin for a valve or a side load without a backing block; it stays above the water."
          : "Too thin to carry the fitting without a backing block.");
  v_.would_change.push_back(fmt::format(
      "A block that serves, or laminate built up by half of what is there and tapered out, to {} or more.",
      limit(min_)));
  ask_for_block();
  add_source(v_, "class rules for special service craft, part 4, chapter 3, 2.1.9");
}

void Reinforcement::too_close() {
  take_over_block();
  const auto* caliper = tables_.instrument(model::key(model::Method::Caliper));
  const double u95 = caliper ? caliper->u95 : 0.1;
  set("too-close-to-tell", Standing::TooCloseToTell,
      counts_as_below(zone_)
          ? "Too close to tell whether it is thick enough: until settled it counts as too thin."
          : "Too close to tell whether it is thick enough.");
  v_.would_change.insert(v_.would_change.begin(),
                         fmt::format("A caliper on the edge of the cut-out, the mean of four places (± {}): "
                                     "{} or more is enough, {} or less "
                                     "is too thin.",
                                     mm(u95, 1), mm(min_.value + u95, 2), mm(min_.value - u95, 2)));
  v_.actions.emplace_back(
      "Measure the edge of the cut-out with a caliper; no cut-out left, measure at the hole's rim.");
  v_.actions.emplace_back(zone_ == Zone::Above ? "Not settled: a backing block settles it too."
                                               : "Not settled before launch: fit the backing block.");
  weigh_load(laminate_->measurement.value, laminate_->measurement.u95);
  ask_for_block();
}

void Reinforcement::not_measured() {
  take_over_block();
  v_.would_change.insert(
      v_.would_change.begin(),
      "The laminate's thickness: from the cut-out's edge, or through the hole, or by ultrasonic gauge.");
  add_source(v_, min_.source);
  if (block_serves()) {
    return set("met", Standing::Watch,
               "A backing block is fitted; how thick the laminate is, nobody has recorded.");
  }
  if (zone_ == Zone::Above) {
    set("not-known-yet", Standing::NotApplicable,
        "Nobody has recorded how thick the laminate is; above the water that matters for a valve or a heavy "
        "hose only.");
  } else {
    set("not-known-yet", Standing::NotKnownYet, "Nobody has recorded how thick the laminate is.");
  }
  v_.reasons.push_back(fmt::format("Solid laminate needs no block from {}.", limit(min_)));
}

void Reinforcement::sandwich() {
  const bool core_seen = layers_ && layers_->core;
  take_over_block();
  const double closeout =
      std::ceil(std::max(tables_.threshold("reinforce.core.closeout.min").value,
                         tables_.threshold("reinforce.core.closeout.share").value * hull_mm_.value_or(0)));
  v_.reasons.emplace_back("Core crushes under a nut and drinks water at a bare edge; it carries no fitting.");
  add_source(v_, "common practice");
  if (block_serves() && !core_seen) {
    set("not-known-yet", Standing::NotKnownYet,
        "A backing block is fitted; whether the core is closed out cannot be told.");
  } else {
    set("reinforce", core_seen ? Standing::Act : act_by_zone(),
        core_seen ? "Core shows at the edge of the hole: close it out all round, then fit a block."
                  : "Sandwich hull: the core must be closed out around the opening, and a block fitted.");
  }
  const auto block = block_to_fit(facts_, tables_, hull_mm_);
  v_.actions.push_back(fmt::format(
      "Take the inner skin and the core out {} beyond the block all round{}, and bevel the core's edge.",
      mm(closeout),
      block.width_mm ? fmt::format(", {} across", mm(*block.width_mm + 2 * closeout)) : std::string()));
  v_.actions.emplace_back(
      "Fill to the inner skin with solid laminate or thickened epoxy, and laminate over the joint.");
  if (hull_mm_)
    weigh_load(*hull_mm_, layers_ ? layers_->u95 : 1, "filled solid in place of the core carries");
  ask_for_block();
  if (!core_seen) {
    v_.would_change.emplace_back(
        "The edge of the hole or the cut-out: solid all through means the core is closed out; "
        "record the hull here as single skin then.");
  }
}

void Reinforcement::timber() {
  const bool below = counts_as_below(zone_);
  take_over_block();
  set("not-applicable", block_serves() || !below ? Standing::NotApplicable : Standing::Watch,
      "The thickness rule is for laminate; on a timber hull planking and frames decide.");
  v_.reasons.emplace_back(
      "On planking a hardwood block is customary: rectangular, along the planks, between frames.");
  v_.actions.emplace_back(
      "Sound wood around the hole: a spike should not go in, and no white fluff around bronze.");
  v_.actions.emplace_back("Ask a boatbuilder used to timber before changing the size of the hole.");
  v_.caution = kSinkingCaution;
  add_source(v_, "common practice");
}

void Reinforcement::metal() {
  set("not-applicable", Standing::NotApplicable,
      "The thickness rule is for laminate; a metal hull takes a welded spool or a heavy pad.");
  v_.reasons.emplace_back("Studs stand in the pad and do not pierce the plating.");
  v_.actions.emplace_back(
      "Have the plating around it gauged for thickness, and welding done by a coded welder.");
  v_.caution = kSinkingCaution;
  add_source(v_, "class rules for special service craft, part 15, chapter 2, section 14");
}

void Reinforcement::construction_unknown() {
  v_.would_change.emplace_back("Solid or sandwich: look at the edge of the hole or of the cut-out.");
  if (laminate_) {
    const auto& m = laminate_->measurement;
    const auto judged = metrology::at_least(m.value, m.u95, min_.value);
    explain_comparison(judged);
    if (m.method == model::Method::UltrasonicGauge) {
      v_.reasons.emplace_back("An ultrasonic gauge on a sandwich may have seen the outer skin only.");
    }
    if (judged == Conformity::NotMet && !block_.present) {
      too_thin();
      v_.reasons.emplace_back(
          "Solid or sandwich, it needs a block; a sandwich needs its core closed out besides.");
      return;
    }
  }
  take_over_block();
  set("not-known-yet", Standing::NotKnownYet,
      "Nobody has recorded whether the hull is solid or sandwich here.");
  add_source(v_, "common practice");
}

}  // namespace

std::span<const std::string_view> ReinforcementRule::goes_by() const {
  static constexpr std::array<std::string_view, 4> kRows{"reinforce.", "load.", "laminate.",
                                                         "backing_materials.csv"};
  return kRows;
}

Verdict ReinforcementRule::judge(const Case& facts, const Tables& tables,
                                 std::span<const Verdict> earlier) const {
  return Reinforcement(facts, tables, zone_of(earlier), start_verdict(key(), title())).find();
}

}  // namespace spile::rules
