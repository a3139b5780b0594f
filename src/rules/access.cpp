#include "rules/access.hpp"

#include <fmt/format.h>

#include <array>

#include "model/names.hpp"
#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using model::Reach;

bool has_valve(const Case& facts) {
  const auto state = facts.observation ? facts.observation->valve : model::ValveState::Unknown;
  return state != model::ValveState::None;
}

void set(Verdict& v, std::string_view key, Standing standing, std::string headline) {
  v.answer = key;
  v.standing = standing;
  v.headline = std::move(headline);
}

void judge_reach(Verdict& v, const Case& facts, bool below, bool valve) {
  switch (facts.opening.reach) {
    case Reach::Unknown:
      set(v, "not-known-yet", below ? Standing::NotKnownYet : Standing::NotApplicable,
          "Nobody has recorded how it is reached.");
      v.would_change.emplace_back(
          "Go to it as if water came in: with bare hands, with tools, or not at all?");
      return;
    case Reach::Readily:
      return set(v, "readily", Standing::Good, "It can be reached at once, without tools.");
    case Reach::WithTools:
      set(v, "accessible", below && valve ? Standing::Act : Standing::Watch,
          below && valve ? "It takes tools to reach: its valve must be to hand without any."
                         : "It takes tools to reach.");
      v.actions.emplace_back(
          "Make a hatch or a loose board over it that opens without tools, and say aboard where it is.");
      return;
    case Reach::ByDismantling:
      set(v, "not-accessible", below ? Standing::Act : Standing::Watch,
          "Structure has to be taken apart to reach it: in an emergency it cannot be shut or plugged.");
      v.actions.emplace_back(
          "Cut a hatch to it, or move the opening to where it can be reached and close this one.");
      return;
  }
}

}  // namespace

std::span<const std::string_view> AccessRule::goes_by() const {
  static constexpr std::array<std::string_view, 1> kRows{"access."};
  return kRows;
}

Verdict AccessRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier) const {
  Verdict v = start_verdict(key(), title());
  const auto zone = zone_of(earlier);
  const bool below = zone != Zone::Above;
  const auto& quick = tables.threshold("access.quick");
  v.inputs = {
      {"Reached", facts.opening.reach == Reach::Unknown ? std::string(kNotRecorded)
                                                        : lower_first(model::label(facts.opening.reach))},
      {"Time to reach it",
       facts.opening.reach_s ? fmt::format("{:.0f} s", *facts.opening.reach_s) : std::string(kNotRecorded)},
      {"Zone", zone_in_words(zone)}};
  judge_reach(v, facts, below, has_valve(facts));
  add_source(v, "EN ISO 9093:2021, clause 3");
  if (below) add_source(v, "EU Recreational Craft Directive, annex I A");
  if (below && v.answer != "not-known-yet")
    v.reasons.emplace_back(
        "What shuts an opening below the waterline must be readily accessible: quickly, safely, no tools.");
  if (const auto& seconds = facts.opening.reach_s) {
    v.reasons.push_back(fmt::format("It takes {:.0f} s to reach and shut; within {} {} counts as quick here.",
                                    *seconds, plain_number(quick.value), quick.unit));
    add_source(v, quick.source);
    if (*seconds > quick.value && v.standing == Standing::Good) {
      set(v, "slow", below ? Standing::Watch : Standing::Good,
          "It can be reached without tools, though not quickly.");
      v.actions.emplace_back("Clear the way to it, and let everybody aboard shut it once.");
    }
  }
  if (v.standing == Standing::Act || below) v.caution = kSinkingCaution;
  return v;
}

}  // namespace spile::rules
