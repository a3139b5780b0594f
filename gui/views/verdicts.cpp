#include "gui/views/verdicts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"
#include "rules/urgency.hpp"

namespace spile::gui {

namespace {

void list_of(const Ui& ui, const char* title, const std::vector<std::string>& lines, bool counted) {
  if (lines.empty()) return;
  soft_text(ui, title);
  int n = 0;
  for (const std::string& line : lines) {
    const float left = ImGui::GetCursorPosX();
    soft_text(ui, counted ? fmt::format("{}.", ++n) : std::string("–"));
    ImGui::SameLine();
    ImGui::SetCursorPosX(left + ui.px(counted ? 22 : 14));
    wrapped(line);
  }
}

void inputs_of(const Ui& ui, const rules::Verdict& verdict) {
  if (verdict.inputs.empty()) return;
  soft_text(ui, "From");
  if (!ImGui::BeginTable("inputs", 2, ImGuiTableFlags_SizingStretchProp)) return;
  ImGui::TableSetupColumn("what", 0, 1.0F);
  ImGui::TableSetupColumn("value", 0, 1.5F);
  for (const rules::Input& input : verdict.inputs) {
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    soft_wrapped(ui, input.label);
    ImGui::TableNextColumn();
    ImGui::PushFont(ui.fonts.strong);
    wrapped(input.text);
    ImGui::PopFont();
  }
  ImGui::EndTable();
}

void details_of(const Ui& ui, const rules::Verdict& verdict) {
  list_of(ui, "Because", verdict.reasons, false);
  inputs_of(ui, verdict);
  if (!verdict.margin.empty()) soft_wrapped(ui, "Margin: " + verdict.margin);
  list_of(ui, rules::settle_by(verdict).empty() ? "What would change it" : "What would settle it, best first",
          verdict.would_change, false);
  ImGui::PushFont(ui.fonts.small);
  for (const std::string& source : verdict.sources) soft_wrapped(ui, "Source: " + source);
  ImGui::PopFont();
}

const app::VerdictChange* change_of(const Ui& ui, const std::string& rule) {
  const app::OpeningView* view = ui.desk.selected();
  for (const auto& change : ui.desk.logbook()->changed)
    if (view && change.opening == view->opening.id && change.rule == rule) return &change;
  return nullptr;
}

void draw_verdict(const Ui& ui, const rules::Verdict& verdict) {
  ImGui::PushID(verdict.rule.c_str());
  ImGui::Dummy({0, ui.px(2)});
  standing_tag(ui, verdict.standing, fmt::format("{} · {}", verdict.title, look_of(verdict.standing).word));
  hooks::note("verdict." + verdict.rule);
  ImGui::PushFont(ui.fonts.strong);
  wrapped(verdict.headline);
  ImGui::PopFont();
  if (const app::VerdictChange* change = change_of(ui, verdict.rule))
    soft_wrapped(ui, fmt::format("Just changed. Before: {}", change->headline_before));
  if (!rules::settle_by(verdict).empty()) soft_wrapped(ui, "Would settle it: " + rules::settle_by(verdict));
  list_of(ui, "To do", verdict.actions, true);
  if (!verdict.caution.empty()) caution_box(ui, verdict.caution, ui.colours.watch, MarkShape::Triangle);
  // Open at first: a verdict without its reasons is an oracle.
  ImGui::SetNextItemOpen(true, ImGuiCond_Once);
  ImGui::PushStyleColor(ImGuiCol_Header, ImVec4(0, 0, 0, 0));
  const bool open =
      ImGui::TreeNodeEx("Why", ImGuiTreeNodeFlags_SpanAvailWidth | ImGuiTreeNodeFlags_NoTreePushOnOpen);
  ImGui::PopStyleColor();
  hooks::note("verdict." + verdict.rule + ".why");
  if (open) details_of(ui, verdict);
  ImGui::Dummy({0, ui.px(2)});
  ImGui::Separator();
  ImGui::PopID();
}

}  // namespace

void draw_verdicts(const Ui& ui) {
  const app::OpeningView* view = ui.desk.selected();
  if (!view) {
    soft_wrapped(ui, "Choose an opening in the list to see what the rules say of it.");
    return;
  }
  heading(ui, "Verdicts");
  beside_heading(ui);
  soft_text(ui, "on " + view->opening.tag);
  if (view->verdicts.empty()) soft_wrapped(ui, "No rule applies to this opening.");
  // The most pressing first; what does not apply last.
  std::vector<const rules::Verdict*> order;
  for (const rules::Verdict& verdict : view->verdicts) order.push_back(&verdict);
  std::stable_sort(order.begin(), order.end(), [](const rules::Verdict* a, const rules::Verdict* b) {
    return rules::urgency_of(a->standing) < rules::urgency_of(b->standing);
  });
  for (const rules::Verdict* verdict : order) draw_verdict(ui, *verdict);
  ImGui::PushFont(ui.fonts.small);
  soft_wrapped(
      ui,
      "A verdict helps a person who knows boats; it does not replace local codes, the builder's word or "
      "a licensed surveyor.");
  ImGui::PopFont();
}

}  // namespace spile::gui
