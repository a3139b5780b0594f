#include "rules/material.hpp"

#include <fmt/format.h>

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
  [[nodiscard]] std::optional<Suitability> suitability() const;
  void judge_by_zone(Suitability suits);
  void beside_hull();
  void beside_block();
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
std::optional<Suitability> MaterialJudge::suitability() const {
  if (zone_ == Zone::Above) return material_->above;
  if (zone_ == Zone::Heeled) return material_->heeled;
  if (zone_ != Zone::Unknown || material_->below_waterline == Suitability::Accept) {
    return material_->below_waterline;
  }
  const bool same = material_->below_waterline == material_->heeled && material_->heeled == material_->above;
  return same ? std::optional(material_->above) : std::nullopt;
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
  if (const auto suits = suitability()) {
    judge_by_zone(*suits);
  } else {
    worsen("not-known-yet", Standing::NotKnownYet,
           fmt::format("Whether {} will do hangs on the zone.", name()));
    v_.would_change.emplace_back("The zone: record the height above the waterline.");
  }
  beside_hull();
  beside_block();
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

Verdict MaterialRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier) const {
  return MaterialJudge(facts, tables, zone_of(earlier), start_verdict(key(), title())).find();
}

}  // namespace spile::rules
