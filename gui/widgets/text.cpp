#include "gui/widgets/text.hpp"

#include <imgui_internal.h>

#include <cmath>
#include <string>

#include "gui/test_hooks.hpp"

namespace spile::gui {

namespace {

void put(std::string_view text) {
  hooks::say(text);
  ImGui::TextUnformatted(text.data(), text.data() + text.size());
}

}  // namespace

void wrapped(std::string_view text) {
  ImGui::PushTextWrapPos(0);
  put(text);
  ImGui::PopTextWrapPos();
}

void soft_text(const Ui& ui, std::string_view text) {
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  put(text);
  ImGui::PopStyleColor();
}

void soft_wrapped(const Ui& ui, std::string_view text) {
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  wrapped(text);
  ImGui::PopStyleColor();
}

void strong_text(const Ui& ui, std::string_view text) {
  ImGui::PushFont(ui.fonts.strong);
  put(text);
  ImGui::PopFont();
}

void numbered(const Ui& ui, int number, std::string_view text) {
  const float left = ImGui::GetCursorPosX();
  soft_text(ui, std::to_string(number) + ".");
  ImGui::SameLine();
  ImGui::SetCursorPosX(left + ui.px(22));
  wrapped(text);
}

void heading(const Ui& ui, std::string_view text) {
  ImGui::PushFont(ui.fonts.heading);
  put(text);
  ImGui::PopFont();
}

void beside_heading(const Ui& ui, float right) {
  right > 0 ? ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - right) : ImGui::SameLine(0, ui.px(8));
  // Three quarters of a face's height stand above its base line.
  const float lower = (ui.fonts.heading->FontSize - ui.fonts.body->FontSize) * 0.75F;
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + std::round(lower));
}

void section(const Ui& ui, std::string_view text) {
  ImGui::Dummy({0, ui.px(4)});
  const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
  ImGui::PushFont(ui.fonts.strong);
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.accent.vec());
  ImGui::TextUnformatted(text.data(), text.data() + text.size());
  ImGui::PopStyleColor();
  ImGui::PopFont();
  const ImVec2 low = ImGui::GetItemRectMin();
  const ImVec2 high = ImGui::GetItemRectMax();
  const float y = (low.y + high.y) / 2;
  if (high.x + ui.px(10) < right)
    ImGui::GetWindowDrawList()->AddLine({high.x + ui.px(10), y}, {right, y}, ui.colours.line.u32());
}

void caution_box(const Ui& ui, std::string_view text, Tone tone, MarkShape shape) {
  const float pad = ui.px(8);
  const float mark = ui.px(22);
  const float width = ImGui::GetContentRegionAvail().x;
  const char* end = text.data() + text.size();
  hooks::say(text);
  const ImVec2 inner = ImGui::CalcTextSize(text.data(), end, false, width - mark - 2 * pad);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float height = inner.y + 2 * pad;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(at, {at.x + width, at.y + height}, tone.tint.u32(), ui.px(3));
  list.AddRectFilled(at, {at.x + ui.px(3), at.y + height}, tone.ink.u32());
  const float r = ui.px(6);
  const ImVec2 sign = {at.x + pad + r, at.y + pad + ImGui::GetTextLineHeight() / 2};
  if (shape == MarkShape::Triangle)
    list.AddTriangleFilled({sign.x, sign.y - r}, {sign.x + r, sign.y + r}, {sign.x - r, sign.y + r},
                           tone.ink.u32());
  else
    list.AddCircleFilled(sign, r * 0.8F, tone.ink.u32());
  list.AddText(ImGui::GetFont(), ImGui::GetFontSize(), {at.x + mark + pad, at.y + pad}, ui.colours.ink.u32(),
               text.data(), end, width - mark - 2 * pad);
  ImGui::Dummy({width, height});
}

ImVec2 size_of(std::string_view text) {
  return ImGui::CalcTextSize(text.data(), text.data() + text.size());
}

namespace {

// One letter less, and never half of one of several bytes.
void shorten(std::string& text) {
  while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) text.pop_back();
  if (!text.empty()) text.pop_back();
  while (!text.empty() && text.back() == ' ') text.pop_back();
}

}  // namespace

void cut_text(std::string_view text, float width) {
  std::string shown(text);
  if (size_of(shown).x <= width) {
    ImGui::TextUnformatted(shown.c_str());
    return;
  }
  while (!shown.empty() && size_of(shown + "…").x > width) shorten(shown);
  ImGui::TextUnformatted((shown + "…").c_str());
  hint(text);
}

void cut_wrapped(std::string_view text, float width, int lines) {
  const float most = ImGui::GetTextLineHeight() * static_cast<float>(lines) + 1;
  const auto height = [width](const std::string& t) {
    return ImGui::CalcTextSize(t.data(), t.data() + t.size(), false, width).y;
  };
  std::string shown(text);
  const bool whole = height(shown) <= most;
  while (!whole && !shown.empty() && height(shown + "…") > most) shorten(shown);
  if (!whole) shown += "…";
  ImGui::PushTextWrapPos(ImGui::GetCursorPosX() + width);
  ImGui::TextUnformatted(shown.c_str());
  ImGui::PopTextWrapPos();
  if (!whole) hint(text);
}

void hint(std::string_view text) {
  if (text.empty() || !ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled)) return;
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(ImGui::GetFontSize() * 26);
  ImGui::TextUnformatted(text.data(), text.data() + text.size());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

namespace {

bool any_button(const Ui& ui, std::string_view name, const char* label, bool enabled,
                std::string_view shortcut, Colour soft) {
  const std::string id = std::string("###") + std::string(name);
  const ImVec2 text = size_of(label);
  const ImGuiStyle& style = ImGui::GetStyle();
  ImGui::PushFont(ui.fonts.small);
  const ImVec2 keys = shortcut.empty() ? ImVec2(0, 0) : size_of(shortcut);
  ImGui::PopFont();
  const float gap = shortcut.empty() ? 0 : ui.px(8);
  ImGui::BeginDisabled(!enabled);
  ImGui::PushStyleVar(ImGuiStyleVar_ButtonTextAlign, {0, 0.5F});
  const bool pressed =
      ImGui::Button((label + id).c_str(), {text.x + gap + keys.x + 2 * style.FramePadding.x, 0});
  ImGui::PopStyleVar();
  hooks::note(name);
  if (!shortcut.empty()) {
    const ImVec2 high = ImGui::GetItemRectMax();
    const ImVec2 low = ImGui::GetItemRectMin();
    ImGui::GetWindowDrawList()->AddText(
        ui.fonts.small, ui.fonts.small->FontSize,
        {high.x - style.FramePadding.x - keys.x, (low.y + high.y - keys.y) / 2},
        soft.u32(enabled ? 1.0F : 0.55F), shortcut.data(), shortcut.data() + shortcut.size());
  }
  ImGui::EndDisabled();
  return pressed;
}

}  // namespace

bool button(const Ui& ui, std::string_view name, const char* label, bool enabled, std::string_view shortcut) {
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  const bool pressed = any_button(ui, name, label, enabled, shortcut, ui.colours.soft);
  ImGui::PopStyleColor();
  return pressed;
}

bool main_button(const Ui& ui, std::string_view name, const char* label, bool enabled,
                 std::string_view shortcut) {
  const Palette& p = ui.colours;
  ImGui::PushStyleColor(ImGuiCol_Button, p.accent.vec());
  ImGui::PushStyleColor(ImGuiCol_ButtonHovered, blend(p.accent, p.on_accent, 0.12F).vec());
  ImGui::PushStyleColor(ImGuiCol_ButtonActive, blend(p.accent, p.ink, 0.15F).vec());
  ImGui::PushStyleColor(ImGuiCol_Text, p.on_accent.vec());
  ImGui::PushStyleColor(ImGuiCol_Border, p.accent.vec());
  const bool pressed = any_button(ui, name, label, enabled, shortcut, p.on_accent);
  ImGui::PopStyleColor(5);
  return pressed;
}

bool link(const Ui& ui, std::string_view name, const char* label) {
  const std::string id = std::string("##") + std::string(name);
  // On the base line of what stands beside it, framed or not.
  const float down = ImGui::GetCurrentWindow()->DC.CurrLineTextBaseOffset;
  const ImVec2 at = {ImGui::GetCursorScreenPos().x, ImGui::GetCursorScreenPos().y + down};
  const ImVec2 size = size_of(label);
  const bool pressed = ImGui::InvisibleButton(id.c_str(), {size.x, size.y + 2 * down});
  hooks::note(name);
  const bool keyboard = ImGui::IsItemFocused() && !ImGui::GetCurrentContext()->NavDisableHighlight;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddText(at, ui.colours.accent.u32(), label);
  const float y = at.y + size.y;
  if (ImGui::IsItemHovered() || keyboard)
    list.AddLine({at.x, y}, {at.x + size.x, y}, ui.colours.accent.u32());
  return pressed;
}

}  // namespace spile::gui
