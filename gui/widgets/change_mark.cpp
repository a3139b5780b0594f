#include "gui/widgets/change_mark.hpp"

#include <array>
#include <cmath>

namespace spile::gui {

Colour colour_of_change(const Palette& palette, std::string_view kind) {
  if (kind == "crack") return palette.crack;
  if (kind == "stain") return palette.stain;
  return kind == "chip" ? palette.chip : palette.other;
}

void draw_change_mark(const Ui& ui, ImDrawList& list, ImVec2 centre, float size, std::string_view kind) {
  const float r = size * 0.36F;
  const float line = std::max(1.5F, size / 9);
  const auto [x, y] = centre;
  const ImU32 ink = colour_of_change(ui.colours, kind).u32();
  list.AddRectFilled({x - size / 2, y - size / 2}, {x + size / 2, y + size / 2}, ui.colours.halo.u32(0.9F),
                     ui.px(3));
  if (kind == "crack") {
    const std::array<ImVec2, 5> zigzag = {{{x - r, y - r * 0.9F},
                                           {x - r * 0.3F, y + r * 0.1F},
                                           {x - r * 0.1F, y - r * 0.6F},
                                           {x + r * 0.5F, y + r * 0.3F},
                                           {x + r, y + r * 0.9F}}};
    list.AddPolyline(zigzag.data(), static_cast<int>(zigzag.size()), ink, ImDrawFlags_None, line);
  } else if (kind == "stain") {
    list.AddCircleFilled({x, y - r * 0.25F}, r * 0.75F, ink);
    list.AddTriangleFilled({x - r * 0.35F, y}, {x + r * 0.35F, y}, {x, y + r * 1.15F}, ink);
  } else if (kind == "chip") {
    list.AddCircleFilled({x, y}, r, ink);
    list.AddTriangleFilled({x, y}, {x + r * 0.35F, y - r * 1.4F}, {x + r * 1.4F, y - r * 0.35F},
                           ui.colours.halo.u32());
  } else {
    list.AddLine({x - r, y}, {x + r, y}, ink, line);
    list.AddLine({x, y - r}, {x, y + r}, ink, line);
  }
}

}  // namespace spile::gui
