#include "rules/bedding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "rules/facts.hpp"
#include "rules/stem.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

class BeddingJudge {
 public:
  BeddingJudge(const Case& facts, const Tables& tables, Zone zone, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        zone_(zone),
        recorded_(facts.fitting ? tables.bedding(facts.fitting->bedding) : nullptr),
        now_(tables.material(material_of(facts))),
        next_(now_),
        v_(std::move(verdict)) {
    if (facts.fitting && !facts.fitting->next.material.empty())
      next_ = tables.material(facts.fitting->next.material);
  }

  [[nodiscard]] Verdict find();

 private:
  // By zone alone; where the zone is not known it is judged as under water.
  [[nodiscard]] Suitability by_zone(const Bedding& bedding) const {
    return zone_ == Zone::Above ? bedding.above : bedding.below_waterline;
  }
  [[nodiscard]] static bool attacks(const Bedding& bedding, const Material* material) {
    return material && std::find(bedding.never_on.begin(), bedding.never_on.end(), material->choice.key) !=
                           bedding.never_on.end();
  }
  [[nodiscard]] bool may_be_attacked(const Bedding& bedding, const Material* material) const {
    return material && material->choice.key == "plastic-unknown" && !bedding.never_on.empty();
  }
  void judge_recorded();
  void what_to_use();
  void set(std::string_view key, Standing standing, std::string headline) {
    v_.answer = key;
    v_.standing = standing;
    v_.headline = std::move(headline);
  }

  const Case& facts_;
  const Tables& tables_;
  Zone zone_;
  const Bedding* recorded_;
  const Material *now_, *next_;
  Verdict v_;
};

void BeddingJudge::judge_recorded() {
  add_source(v_, recorded_->choice.source);
  const auto& label = recorded_->choice.label;
  if (!recorded_->choice.note.empty())
    v_.reasons.push_back(fmt::format("{}: {}", label, recorded_->choice.note));
  if (attacks(*recorded_, now_)) {
    set("unsuitable", Standing::Act,
        fmt::format("{} attacks {} or does not hold on it: bed it anew.", label,
                    lower_first(now_->choice.label)));
    return;
  }
  const std::string where = zone_ == Zone::Unknown ? "where it may be under water" : zone_in_words(zone_);
  switch (by_zone(*recorded_)) {
    case Suitability::Accept:
      return set("suits", Standing::Good, fmt::format("{} serves {}.", label, where));
    case Suitability::Conditional:
      return set("suits-if", Standing::Watch, fmt::format("{} will do {} on a condition.", label, where));
    case Suitability::Reject:
      return set("unsuitable", counts_as_below(zone_) ? Standing::Act : Standing::Watch,
                 fmt::format("{} is not for a fitting {}: bed it anew when it is out.", label, where));
  }
}

void BeddingJudge::what_to_use() {
  std::string use, never;
  double cure = 0;
  for (const auto& bedding : tables_.beddings()) {
    const bool bad =
        by_zone(bedding) == Suitability::Reject || attacks(bedding, next_) || may_be_attacked(bedding, next_);
    if (bedding.choice.key == "no-bedding") continue;
    if (bad) {
      never += (never.empty() ? "" : ", ") + lower_first(bedding.choice.label);
    } else if (by_zone(bedding) == Suitability::Accept) {
      use +=
          fmt::format("{}{} ({})", use.empty() ? "" : "; ", lower_first(bedding.choice.label),
                      bedding.cure_days ? fmt::format("cures {:.0f} days", *bedding.cure_days) : "no cure");
      cure = std::max(cure, bedding.cure_days.value_or(0));
      add_source(v_, bedding.choice.source);
    }
  }
  const std::string on = next_ ? " on " + lower_first(next_->choice.label) : std::string();
  if (!use.empty()) v_.actions.push_back(fmt::format("Bed it{} in {}.", on, use));
  if (!never.empty()) v_.reasons.push_back(fmt::format("Never here{}: {}.", on, never));
  v_.actions.emplace_back(
      "Under the flange and on the first threads; snug until it squeezes out all round, then a last quarter "
      "turn of "
      "the nut once it has set. Never squeeze it dry.");
  if (counts_as_below(zone_) || zone_ == Zone::Unknown)
    v_.actions.push_back(
        fmt::format("Let it cure as long as its maker says, {:.0f} days at most by these rows, twice that "
                    "below 10 °C, before launch.",
                    cure));
}

Verdict BeddingJudge::find() {
  v_.planning = true;
  v_.caution = zone_ == Zone::Above ? std::string() : std::string(kSinkingCaution);
  const std::string unknown(kNotRecorded);
  v_.inputs = {{"Bedding", recorded_ ? lower_first(recorded_->choice.label) : unknown},
               {"Zone", zone_in_words(zone_)},
               {"Fitting", now_ ? lower_first(now_->choice.label) : unknown}};
  if (next_ != now_ && next_)
    v_.inputs.push_back({"Fitting to go in next", lower_first(next_->choice.label)});
  add_source(v_, "common practice");
  if (recorded_) {
    judge_recorded();
  } else if (facts_.fitting && facts_.fitting->kind == "no-fitting") {
    set("not-applicable", Standing::NotApplicable,
        "There is no fitting in it; what to bed the next one in stands here.");
  } else {
    set("not-known-yet", Standing::NotKnownYet, "Nobody has recorded what it is bedded in.");
    v_.would_change.emplace_back(
        "The bead at the edge of the flange: rubbery and tough, or it peels, or it is hard and cracked.");
  }
  what_to_use();
  if (v_.standing == Standing::Act && v_.caution.empty()) v_.caution = kSinkingCaution;
  return std::move(v_);
}

}  // namespace

std::span<const std::string_view> BeddingRule::goes_by() const {
  static constexpr std::array<std::string_view, 2> kRows{"beddings.csv", "materials.csv"};
  return kRows;
}

Verdict BeddingRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier) const {
  return BeddingJudge(facts, tables, zone_of(earlier), start_verdict(key(), title())).find();
}

}  // namespace spile::rules
