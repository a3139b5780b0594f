#include "gui/views/merge.hpp"

#include <fmt/format.h>

#include <array>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/page.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

constexpr std::size_t kNothingLit = 99;

std::string shown(const std::string& value) {
  return value.empty() ? "nothing recorded" : value;
}

void draw_value(const Ui& ui, const char* whose, const std::string& value) {
  field_label(ui, whose);
  ImGui::AlignTextToFramePadding();
  wrapped(shown(value));
}

// One question with its answer, if it has one by now.
void draw_question(const Ui& ui, const db::MergeConflict& conflict, std::size_t lit) {
  static constexpr std::array<Option, 3> sides{
      {{"mine", "Take mine"}, {"theirs", "Take theirs"}, {"both", "Keep both"}}};
  section(ui, conflict.key);
  if (!conflict.before.empty()) draw_value(ui, "Before", conflict.before);
  draw_value(ui, "Mine", conflict.mine);
  draw_value(ui, "Theirs", conflict.theirs);
  field_label(ui, "");
  const std::span<const Option> offered(sides.data(), conflict.both_possible ? 3 : 2);
  ImGui::PushID(conflict.key.c_str());
  if (const auto picked = segments(ui, "merge." + conflict.key, offered, lit))
    ui.ask(ChooseMergeSide{conflict.key, static_cast<db::MergeSide>(*picked)});
  ImGui::PopID();
}

void draw_open(const Ui& ui, const MergeState& merge) {
  if (merge.plan.open.empty()) return;
  caution_box(
      ui,
      fmt::format("You both changed {} thing{} differently. Choose for each; nothing is written before.",
                  merge.plan.open.size(), merge.plan.open.size() == 1 ? "" : "s"),
      ui.colours.watch, MarkShape::Disc);
  hooks::note("merge.open");
  if (merge.plan.open.size() > 1) {
    if (button(ui, "merge.all_mine", "Take all mine")) ui.ask(ChooseMergeSide{{}, db::MergeSide::Mine});
    ImGui::SameLine();
    if (button(ui, "merge.all_theirs", "Take all theirs")) ui.ask(ChooseMergeSide{{}, db::MergeSide::Theirs});
  }
  for (const auto& conflict : merge.plan.open) draw_question(ui, conflict, kNothingLit);
}

void draw_decided(const Ui& ui, const MergeState& merge) {
  if (merge.plan.decided.empty()) return;
  ImGui::Dummy({0, ui.px(4)});
  strong_text(ui, "Chosen");
  for (const auto& conflict : merge.plan.decided)
    draw_question(ui, conflict, static_cast<std::size_t>(merge.choices.at(conflict.key)));
}

void draw_plan(const Ui& ui, const MergeState& merge) {
  field_label(ui, "Their copy");
  ImGui::AlignTextToFramePadding();
  wrapped(from_home(merge.theirs));
  if (merge.plan.open.empty()) {
    field_label(ui, "Brings in");
    ImGui::AlignTextToFramePadding();
    wrapped(app::merge_words(merge.plan));
  }
  draw_open(ui, merge);
  draw_decided(ui, merge);
  ImGui::Dummy({0, ui.px(4)});
  const bool something = !merge.plan.counts.empty() || merge.plan.photos > 0;
  if (main_button(ui, "merge.carry_out", merge.running ? "Bringing it in…" : "Bring it in",
                  ui.editable && !merge.running && merge.plan.open.empty() && something))
    ui.ask(CarryOutMerge{});
  hint("One change; undo takes it back. Photos stay.");
}

}  // namespace

void draw_merge(const Ui& ui) {
  const MergeState& merge = ui.desk.state().merge;
  begin_page(ui, "merge");
  heading(ui, "Two of you");
  soft_wrapped(
      ui,
      "Give somebody a copy of this logbook, record on both, and bring the two together here. What only "
      "one of you changed is taken over, and photos come along. What you both changed is asked.");
  ImGui::Dummy({0, ui.px(4)});
  if (button(ui, "merge.choose", merge.theirs.empty() ? "Choose their copy…" : "Choose another copy…",
             ui.editable && !merge.running))
    ui.ask(AskForFile{ChooserFor::MergeLogbook});
  if (!merge.theirs.empty()) draw_plan(ui, merge);
  ImGui::Dummy({0, ui.px(4)});
  if (button(ui, "merge.done", "Back to the openings", true, keys_of("logbook.merge")))
    ui.ask(ShowPage{Page::Desk});
  ImGui::EndChild();
}

}  // namespace spile::gui
