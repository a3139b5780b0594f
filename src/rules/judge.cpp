#include <algorithm>
#include <array>

#include "rules/material.hpp"
#include "rules/reinforcement.hpp"
#include "rules/rule.hpp"
#include "rules/shut_off.hpp"
#include "rules/zone.hpp"

namespace spile::rules {

namespace {

int rank(Standing standing) {
  switch (standing) {
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
  static const std::array<const Rule*, 4> kAll{&kZone, &kReinforcement, &kShutOff, &kMaterial};
  return kAll;
}

std::vector<Verdict> judge_all(const Case& facts, const Tables& tables) {
  std::vector<Verdict> verdicts;
  for (const Rule* rule : all_rules()) verdicts.push_back(rule->judge(facts, tables, verdicts));
  return verdicts;
}

Standing worst(std::span<const Verdict> verdicts) {
  const auto hit = std::max_element(verdicts.begin(), verdicts.end(), [](const Verdict& a, const Verdict& b) {
    return rank(a.standing) < rank(b.standing);
  });
  return hit == verdicts.end() ? Standing::NotKnownYet : hit->standing;
}

}  // namespace spile::rules
