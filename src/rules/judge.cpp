#include <algorithm>
#include <array>

#include "rules/access.hpp"
#include "rules/bedding.hpp"
#include "rules/condition.hpp"
#include "rules/material.hpp"
#include "rules/reinforcement.hpp"
#include "rules/removal.hpp"
#include "rules/room.hpp"
#include "rules/rule.hpp"
#include "rules/shut_off.hpp"
#include "rules/size.hpp"
#include "rules/zone.hpp"

namespace spile::rules {

namespace {

int rank(const Verdict& verdict) {
  if (verdict.planning && verdict.standing != Standing::Act) return 0;
  switch (verdict.standing) {
    case Standing::Act:
      return 5;
    case Standing::TooCloseToTell:
      return 4;
    case Standing::NotKnownYet:
      return 3;
    case Standing::Watch:
      return 2;
    case Standing::Good:
      return 1;
    case Standing::NotApplicable:
      break;
  }
  return 0;
}

}  // namespace

std::span<const Rule* const> all_rules() {
  static const ZoneRule kZone;
  static const ReinforcementRule kReinforcement;
  static const ShutOffRule kShutOff;
  static const MaterialRule kMaterial;
  static const AccessRule kAccess;
  static const ConditionRule kCondition;
  static const SizeRule kSize;
  static const ThreadLengthRule kThreadLength;
  static const RoomRule kRoom;
  static const BeddingRule kBedding;
  static const RemovalRule kRemoval;
  // Condition weighs what the rules before it say; thread length wants to know of the block.
  static const std::array<const Rule*, 11> kAll{&kZone,   &kReinforcement, &kShutOff, &kMaterial,
                                                &kAccess, &kCondition,     &kSize,    &kThreadLength,
                                                &kRoom,   &kBedding,       &kRemoval};
  return kAll;
}

std::vector<Verdict> judge_all(const Case& facts, const Tables& tables) {
  std::vector<Verdict> verdicts;
  for (const Rule* rule : all_rules()) verdicts.push_back(rule->judge(facts, tables, verdicts));
  return verdicts;
}

Standing worst(std::span<const Verdict> verdicts) {
  const auto hit = std::max_element(verdicts.begin(), verdicts.end(),
                                    [](const Verdict& a, const Verdict& b) { return rank(a) < rank(b); });
  return hit == verdicts.end() ? Standing::NotKnownYet : hit->standing;
}

}  // namespace spile::rules
