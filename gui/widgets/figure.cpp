#include "gui/widgets/figure.hpp"

#include <algorithm>
#include <cfloat>
#include <cmath>
#include <variant>
#include <vector>

#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

using figures::At;
using figures::Role;

class Painter {
 public:
  Painter(const Ui& ui, ImVec2 origin, float scale)
      : ui_(ui), list_(*ImGui::GetWindowDrawList()), origin_(origin), scale_(scale) {}

  void operator()(const figures::Polyline& line) const {
    if (line.points.size() < 2) return;
    std::vector<ImVec2> points;
    for (const At& p : line.points) points.push_back(to_screen(p));
    const auto count = static_cast<int>(points.size());
    if (line.filled) list_.AddConvexPolyFilled(points.data(), count, fill(line.fill));
    const float width = std::max(1.0F, static_cast<float>(line.width) * scale_);
    if (line.dashed) {
      for (std::size_t i = 0; i + 1 < points.size(); ++i)
        dashes(points[i], points[i + 1], ink(line.stroke), width);
    } else {
      list_.AddPolyline(points.data(), count, ink(line.stroke), line.closed ? ImDrawFlags_Closed : 0, width);
    }
  }

  void operator()(const figures::Label& label) const {
    ImFont* font = label.bold ? ui_.fonts.strong : ui_.fonts.small;
    const float size = std::max(font->FontSize * 0.85F, static_cast<float>(label.size) * scale_ * 0.9F);
    const ImVec2 extent = font->CalcTextSizeA(size, FLT_MAX, 0, label.text.c_str());
    ImVec2 at = to_screen(label.at);
    if (label.align == figures::Align::Centre) at.x -= extent.x / 2;
    if (label.align == figures::Align::Right) at.x -= extent.x;
    at.y -= extent.y * 0.78F;  // from the base line to the top
    list_.AddText(font, size, at, ink(label.role), label.text.c_str());
  }

  void operator()(const figures::Mark& mark) const {
    const float size = std::max(ui_.px(8), static_cast<float>(mark.size) * scale_);
    draw_mark(list_, to_screen(mark.at), size, shape_of(mark.shape), ink(mark.role));
  }

 private:
  static MarkShape shape_of(figures::Shape shape) {
    switch (shape) {
      case figures::Shape::Disc:
        return MarkShape::Disc;
      case figures::Shape::Square:
        return MarkShape::Square;
      case figures::Shape::Triangle:
        return MarkShape::Triangle;
      case figures::Shape::Diamond:
        return MarkShape::Diamond;
      case figures::Shape::Ring:
        break;
    }
    return MarkShape::Ring;
  }
  [[nodiscard]] ImVec2 to_screen(const At& p) const {
    return {origin_.x + static_cast<float>(p.x) * scale_, origin_.y + static_cast<float>(p.y) * scale_};
  }
  [[nodiscard]] ImU32 ink(Role role) const { return ImGui::GetColorU32(ink_of(ui_.colours, role).vec()); }
  [[nodiscard]] ImU32 fill(Role role) const {
    ImVec4 colour = ink_of(ui_.colours, role).vec();
    if (role == Role::Water) colour.w *= 0.16F;
    return ImGui::GetColorU32(colour);
  }
  void dashes(ImVec2 from, ImVec2 to, ImU32 colour, float width) const {
    const ImVec2 along{to.x - from.x, to.y - from.y};
    const float length = std::hypot(along.x, along.y), step = ui_.px(7);
    for (float at = 0; at < length; at += step) {
      const float end = std::min(at + step * 0.6F, length);
      list_.AddLine({from.x + along.x * at / length, from.y + along.y * at / length},
                    {from.x + along.x * end / length, from.y + along.y * end / length}, colour, width);
    }
  }

  const Ui& ui_;
  ImDrawList& list_;
  ImVec2 origin_;
  float scale_;
};

}  // namespace

Colour ink_of(const Palette& colours, Role role) {
  switch (role) {
    case Role::Good:
      return colours.good.ink;
    case Role::Watch:
      return colours.watch.ink;
    case Role::Act:
      return colours.act.ink;
    case Role::Unsure:
      return colours.unsure.ink;
    case Role::Unknown:
      return colours.unknown.ink;
    case Role::Faint:
      return colours.soft;
    case Role::Water:
    case Role::Found:
    case Role::Reference:
    case Role::ByHand:
      return colours.accent;
    case Role::Paper:
      return colours.pane;
    case Role::Hull:
      return colours.raised;
    case Role::Ink:
      break;
  }
  return colours.ink;
}

void draw_figure(const Ui& ui, const figures::Figure& figure, float width) {
  if (figure.width <= 0) return;
  const float scale = width / static_cast<float>(figure.width);
  const ImVec2 origin = ImGui::GetCursorScreenPos();
  for (const auto& item : figure.items) std::visit(Painter(ui, origin, scale), item);
  ImGui::Dummy({width, static_cast<float>(figure.height) * scale});
  ImGui::PushFont(ui.fonts.small);
  soft_wrapped(ui, figure.caption);
  ImGui::PopFont();
}

}  // namespace spile::gui
