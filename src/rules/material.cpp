#include "rules/material.hpp"

#include <fmt/format.h>

#include <array>

#include "model/names.hpp"
#include "rules/facts.hpp"
#include "rules/galvanic.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using model::HullConstruction;

class MaterialJudge {
 public:
  MaterialJudge(const Case& facts, const Tables& tables, Zone zone, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        zone_(zone),
        material_(tables.material(material_of(facts))),
        hull_(construction_of(facts).value),
        v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find();

 private:
  [[nodiscard]] std::optional<Suitability> suitability(const Material& material) const;
  void judge_by_zone(Suitability suits);
  void beside_hull();
  void beside_block();
  void judge_part(const char* name, const std::string& key);
  void judge_findings();
  void judge_bonding();
  void what_to_fit_instead();
  void worsen(std::string_view key, Standing standing, std::string headline);
  [[nodiscard]] std::string name() const { return lower_first(material_->choice.label); }

  const Case& facts_;
  const Tables& tables_;
  Zone zone_;
  const Material* material_;
  HullConstruction hull_;
  Verdict v_;
};

int severity(Standing standing) {
  return standing == Standing::Act           ? 3
         : standing == Standing::NotKnownYet ? 2
         : standing == Standing::Watch       ? 1
                                             : 0;
}

void MaterialJudge::worsen(std::string_view key, Standing standing, std::string headline) {
  if (!v_.answer.empty() && severity(standing) <= severity(v_.standing)) return;
  v_.answer = key;
  v_.standing = standing;
  v_.headline = std::move(headline);
}

// Where the zone is not known, only what holds in every zone is said.
std::optional<Suitability> MaterialJudge::suitability(const Material& material) const {
  if (zone_ == Zone::Above) return material.above;
  if (zone_ == Zone::Heeled) return material.heeled;
  if (zone_ != Zone::Unknown || material.below_waterline == Suitability::Accept) {
    return material.below_waterline;
  }
  const bool same = material.below_waterline == material.heeled && material.heeled == material.above;
  return same ? std::optional(material.above) : std::nullopt;
}

Verdict MaterialJudge::find() {
  v_.inputs = {{"Fitting", material_ ? name() : std::string(kNotRecorded)},
               {"Zone", zone_in_words(zone_)},
               {"Hull here", hull_ == HullConstruction::Unknown ? std::string(kNotRecorded)
                                                                : lower_first(model::label(hull_))}};
  if (!material_) {
    worsen("not-known-yet", Standing::NotKnownYet, "Nobody has recorded what the fitting is made of.");
    v_.would_change.emplace_back(
        "The material of body, valve and tail: scratch each to bright metal and look at the colour.");
    add_source(v_, "common practice");
    if (zone_ != Zone::Above) v_.caution = kSinkingCaution;
    return std::move(v_);
  }
  add_source(v_, material_->choice.source);
  if (!material_->choice.note.empty()) v_.reasons.push_back(material_->choice.note);
  if (const auto suits = suitability(*material_)) {
    judge_by_zone(*suits);
  } else {
    worsen("not-known-yet", Standing::NotKnownYet,
           fmt::format("Whether {} will do hangs on the zone.", name()));
    v_.would_change.emplace_back("The zone: record the height above the waterline.");
  }
  beside_hull();
  beside_block();
  if (facts_.fitting) {
    judge_part("valve", facts_.fitting->valve_material);
    judge_part("tail", facts_.fitting->tail_material);
  }
  judge_findings();
  judge_bonding();
  if (v_.answer == "unsuitable") what_to_fit_instead();
  if (zone_ != Zone::Above || v_.standing == Standing::Act) v_.caution = kSinkingCaution;
  return std::move(v_);
}

void MaterialJudge::judge_by_zone(Suitability suits) {
  const std::string where = zone_ == Zone::Unknown ? "in any zone" : zone_in_words(zone_);
  const bool guess = material_->choice.key == "yellow-metal" || material_->choice.key == "plastic-unknown";
  if (guess) {
    worsen("not-known-yet", Standing::NotKnownYet,
           fmt::format("{}: that must be known first.", material_->choice.label));
    v_.would_change.emplace_back(
        material_->family == "copper"
            ? "Scratch it to bright metal: bronze stays golden brown, brass shines yellow, pink "
              "means its zinc is gone. A mark of CR or DZR settles it."
            : "A marking on nut or flange that names the plastic and its listing.");
    return;
  }
  switch (suits) {
    case Suitability::Accept:
      return worsen("suits", Standing::Good, fmt::format("{} lasts {}.", material_->choice.label, where));
    case Suitability::Conditional:
      return worsen("suits-if", Standing::Watch,
                    fmt::format("{} will do {} on a condition.", material_->choice.label, where));
    case Suitability::Reject:
      return worsen("unsuitable", Standing::Act,
                    fmt::format("{} does not last {}: replace it {}.", material_->choice.label, where,
                                zone_ == Zone::Above ? "at the next haul-out" : "before the next launch"));
  }
}

void MaterialJudge::beside_hull() {
  const bool copper = material_->family == "copper";
  if (hull_ == HullConstruction::Metal && copper) {
    worsen("suits-if", Standing::Watch,
           "Bronze or brass in a metal hull eats the hull unless it is fully isolated.");
    v_.reasons.emplace_back(
        "On an aluminium hull use plastic or a welded aluminium spool, never bronze, and no copper paint "
        "near it; on steel only with sleeve, pad and washers that isolate it.");
    add_source(v_, "ISO 9093:2020, 4.2");
  }
  if (material_->family == "aluminium" && hull_ != HullConstruction::Metal &&
      hull_ != HullConstruction::Unknown) {
    worsen("unsuitable", Standing::Act, "Aluminium belongs in an aluminium hull only: replace it.");
  }
  if (hull_ == HullConstruction::Timber && copper) {
    v_.reasons.emplace_back(
        "Bonding bronze hard to anodes on a timber hull destroys the wood around it: look for white "
        "fluff and soft wood.");
    add_source(v_, "common practice");
  }
}

void MaterialJudge::beside_block() {
  if (!facts_.observation || facts_.observation->backing != model::Backing::Present) return;
  const auto* block = tables_.backing_material(facts_.observation->backing_material);
  const auto* metal = block ? tables_.material(block->metal) : nullptr;
  if (!metal) return;
  const auto gap = potential_gap(*material_, *metal);
  if (!gap) return;
  const auto couple = judge_couple(*gap, tables_);
  if (couple == Couple::Compatible) return;
  v_.reasons.push_back(
      fmt::format("{} beside {} lies {:.2f} V apart in sea water; more than {} V and one of them corrodes.",
                  material_->choice.label, lower_first(block->choice.label), *gap,
                  plain_number(tables_.threshold("galvanic.caution").value)));
  add_source(v_, tables_.threshold("galvanic.caution").source);
  if (couple == Couple::Reject) {
    worsen("unsuitable", Standing::Act,
           "Fitting and backing plate are metals that destroy each other in sea water.");
  } else {
    worsen("suits-if", Standing::Watch, "Fitting and backing plate must be isolated from each other.");
  }
}

// A tail of another metal than its valve is the commonest find of all.
void MaterialJudge::judge_part(const char* name, const std::string& key) {
  const auto* part = tables_.material(key);
  if (!part) return;
  v_.inputs.push_back(
      {name == std::string_view("valve") ? "Valve" : "Tail", lower_first(part->choice.label)});
  add_source(v_, part->choice.source);
  const auto suits = suitability(*part);
  const bool guess = part->choice.key == "yellow-metal" || part->choice.key == "plastic-unknown";
  if (guess) {
    worsen("not-known-yet", Standing::NotKnownYet,
           fmt::format("Its {} is {}: that must be known first.", name, lower_first(part->choice.label)));
    v_.would_change.push_back(
        fmt::format("The {}: scratch it to bright metal. Golden brown is bronze, yellow is brass, pink means "
                    "its zinc is gone.",
                    name));
  } else if (suits == Suitability::Reject) {
    worsen("unsuitable", Standing::Act,
           fmt::format("Its {} ({}) does not last {}: replace it {}.", name, lower_first(part->choice.label),
                       zone_ == Zone::Unknown ? "in any zone" : zone_in_words(zone_),
                       zone_ == Zone::Above ? "at the next haul-out" : "before the next launch"));
  }
  if (const auto gap = potential_gap(*material_, *part)) {
    const auto couple = judge_couple(*gap, tables_);
    if (couple == Couple::Compatible) return;
    v_.reasons.push_back(fmt::format(
        "Fitting and {} lie {:.2f} V apart in sea water; more than {} V and one of them corrodes.", name,
        *gap, plain_number(tables_.threshold("galvanic.caution").value)));
    add_source(v_, tables_.threshold("galvanic.caution").source);
    if (couple == Couple::Reject) {
      worsen("unsuitable", Standing::Act,
             fmt::format("Fitting and {} are metals that destroy each other in sea water.", name));
    } else {
      worsen("suits-if", Standing::Watch,
             fmt::format("Fitting and {} are metals that wear each other down.", name));
    }
  }
}

// Pink where it was scratched: no chart overrules what the eye sees.
void MaterialJudge::judge_findings() {
  if (!facts_.observation || material_->family == "plastic") return;
  for (const auto& key : facts_.observation->findings) {
    if (key != "pink-metal" && key != "crumbling-metal") continue;
    const auto* finding = tables_.finding(key);
    v_.inputs.push_back({"Found", lower_first(finding->choice.label)});
    v_.reasons.push_back(finding->why);
    add_source(v_, finding->choice.source);
    worsen("unsuitable", Standing::Act,
           zone_ == Zone::Above ? "Its metal has lost its zinc: renew it this season."
                                : "Its metal has lost its zinc: renew it before the next launch.");
  }
}

void MaterialJudge::judge_bonding() {
  if (!facts_.observation || !facts_.observation->bonding_ohm) return;
  const double ohm = *facts_.observation->bonding_ohm;
  const auto& most = tables_.threshold("bonding.most");
  v_.inputs.push_back({"Bonding", fmt::format("{} ohm", plain_number(ohm))});
  add_source(v_, most.source);
  if (hull_ == HullConstruction::Timber) {
    v_.reasons.emplace_back("On a timber hull let a surveyor say whether bronze is bonded at all.");
    return;
  }
  if (ohm <= most.value) return;
  v_.reasons.push_back(fmt::format("Bonding of {} ohm is more than {} ohm: the anode does not reach it.",
                                   plain_number(ohm), plain_number(most.value)));
  v_.actions.emplace_back(
      "Where she is bonded: clean the clamp to bright metal and renew the wire, then measure again.");
  worsen("suits-if", Standing::Watch,
         fmt::format("{} will do, but its bonding does not reach the anode.", material_->choice.label));
}

void MaterialJudge::what_to_fit_instead() {
  v_.actions.emplace_back(
      "Replace body, valve and tail with one material throughout: bronze, or glass-reinforced nylon "
      "listed for below the waterline. Tails count: a brass tail on a bronze valve is a common find.");
  v_.actions.emplace_back(
      "Measure the new fitting's stem before drilling: plastic stems are often larger than bronze.");
  v_.actions.emplace_back(
      "Bed bronze in polysulfide (comes apart again) or polyurethane (stays); nylon takes both; ABS, "
      "acrylic and polycarbonate take neither. Let it cure, seven days unless its maker says less, "
      "before launch.");
  v_.would_change.emplace_back(
      "A mark of CR or DZR, or a listing for below the waterline, on the part itself.");
  add_source(v_, "common practice");
}

}  // namespace

std::span<const std::string_view> MaterialRule::goes_by() const {
  static constexpr std::array<std::string_view, 3> kRows{"galvanic.", "bonding.", "materials.csv"};
  return kRows;
}

Verdict MaterialRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier) const {
  return MaterialJudge(facts, tables, zone_of(earlier), start_verdict(key(), title())).find();
}

}  // namespace spile::rules
