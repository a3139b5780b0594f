// Desk: another person's copy of the logbook brought in.
#include "gui/desk.hpp"

namespace spile::gui {

void Desk::on(const PlanMerge& asked) {
  if (!can_edit() || state_.merge.running) return;
  state_.merge = {};
  state_.merge.theirs = asked.theirs;
  state_.page = Page::Merge;
  plan_merge_again();
}

// Each choice may settle the next question, or bring one up.
void Desk::plan_merge_again() {
  auto plan = app::plan_merge(*session_, state_.merge.theirs, state_.merge.choices);
  if (!plan) {
    complain(plan.error().sentence());
    state_.merge = {};
    return;
  }
  state_.merge.plan = std::move(*plan);
}

void Desk::on(const ChooseMergeSide& asked) {
  MergeState& merge = state_.merge;
  if (!session_ || merge.theirs.empty() || merge.running) return;
  if (asked.key.empty()) {
    for (const auto& conflict : merge.plan.open) merge.choices[conflict.key] = asked.side;
  } else {
    merge.choices[asked.key] = asked.side;
  }
  plan_merge_again();
}

void Desk::on(const CarryOutMerge&) {
  MergeState& merge = state_.merge;
  if (!can_edit() || merge.theirs.empty() || merge.running || !merge.plan.open.empty()) return;
  merge.running = true;
  app::start_merge(*imports_, *session_, merge.theirs, merge.choices,
                   [this](Result<db::MergeOutcome> outcome) { merged(std::move(outcome)); });
}

void Desk::merged(Result<db::MergeOutcome> outcome) {
  state_.merge.running = false;
  if (!outcome) return complain(outcome.error().sentence());
  // The records changed under the plan: what is to be chosen now is shown.
  if (!outcome->open.empty()) return void(state_.merge.plan = std::move(*outcome));
  say("Merged: " + app::merge_words(*outcome) + ". Give the other person this logbook to go on with.");
  state_.merge = {};
  state_.page = Page::Desk;
  records_changed();
}

}  // namespace spile::gui
