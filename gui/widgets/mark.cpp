#include "gui/widgets/mark.hpp"

#include <imgui_internal.h>

#include <cmath>

namespace spile::gui {

void draw_mark(ImDrawList& list, ImVec2 centre, float size, MarkShape shape, ImU32 colour) {
  const float r = size / 2;
  const float line = std::max(1.5F, size / 7);
  const auto [x, y] = centre;
  switch (shape) {
    case MarkShape::Disc:
      list.AddCircleFilled(centre, r, colour);
      return;
    case MarkShape::Square:
      list.AddRectFilled({x - r * 0.9F, y - r * 0.9F}, {x + r * 0.9F, y + r * 0.9F}, colour);
      return;
    case MarkShape::Triangle:
      list.AddTriangleFilled({x, y - r * 1.1F}, {x + r * 1.15F, y + r * 0.9F}, {x - r * 1.15F, y + r * 0.9F},
                             colour);
      return;
    case MarkShape::Diamond:
      list.AddQuadFilled({x, y - r * 1.2F}, {x + r * 1.2F, y}, {x, y + r * 1.2F}, {x - r * 1.2F, y}, colour);
      return;
    case MarkShape::Ring:
      list.AddCircle(centre, r - line / 2, colour, 0, line);
      return;
    case MarkShape::Dash:
      list.AddLine({x - r * 0.8F, y}, {x + r * 0.8F, y}, colour, line);
      return;
  }
}

void standing_mark(const Ui& ui, rules::Standing standing) {
  const StandingLook look = look_of(standing);
  const Tone tone = tone_of(ui.colours, standing);
  const float height = ImGui::GetTextLineHeight();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float offset = ImGui::GetCurrentWindow()->DC.CurrLineTextBaseOffset;
  draw_mark(*ImGui::GetWindowDrawList(), {at.x + ui.px(6), at.y + offset + height / 2}, ui.px(11), look.shape,
            tone.ink.u32());
  ImGui::Dummy({ui.px(13), height});
  ImGui::SameLine(0, ui.px(5));
  ImGui::PushStyleColor(ImGuiCol_Text, tone.ink.vec());
  ImGui::TextUnformatted(look.word.data(), look.word.data() + look.word.size());
  ImGui::PopStyleColor();
}

void standing_tag(const Ui& ui, rules::Standing standing, std::string_view word) {
  const Tone tone = tone_of(ui.colours, standing);
  const char* end = word.data() + word.size();
  const ImVec2 text = ImGui::CalcTextSize(word.data(), end);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 size = {text.x + ui.px(32), text.y + ui.px(6)};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(at, {at.x + size.x, at.y + size.y}, tone.tint.u32(), ui.px(3));
  draw_mark(list, {at.x + ui.px(13), at.y + size.y / 2}, ui.px(11), look_of(standing).shape, tone.ink.u32());
  list.AddText({at.x + ui.px(24), at.y + ui.px(3)}, tone.ink.u32(), word.data(), end);
  ImGui::Dummy(size);
}

}  // namespace spile::gui
