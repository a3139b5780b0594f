#include "app/verdict_changes.hpp"

#include <algorithm>

namespace spile::app {

namespace {

const rules::Verdict* of_rule(const OpeningView& view, const std::string& rule) {
  const auto hit = std::find_if(view.verdicts.begin(), view.verdicts.end(),
                                [&](const rules::Verdict& v) { return v.rule == rule; });
  return hit == view.verdicts.end() ? nullptr : &*hit;
}

}  // namespace

std::vector<VerdictChange> verdict_changes(const Snapshot& before, const Snapshot& after) {
  std::vector<VerdictChange> changes;
  if (before.survey != after.survey) return changes;
  for (const auto& view : after.openings) {
    const OpeningView* old = before.find(view.opening.id);
    if (!old) continue;
    for (const auto& now : view.verdicts) {
      const auto* then = of_rule(*old, now.rule);
      if (!then || (then->standing == now.standing && then->headline == now.headline)) continue;
      changes.push_back({view.opening.id, now.rule, now.title, then->standing, then->headline});
    }
  }
  return changes;
}

}  // namespace spile::app
