// The photo itself: its pixels at any zoom, lines over it with a halo so that they show on any hull, and the
// loupe. Knows nothing of what is measured.
#pragma once

#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

#include "gui/bench.hpp"
#include "gui/camera.hpp"
#include "gui/ui.hpp"

namespace spile::gui {

[[nodiscard]] inline ImVec2 at(ScreenPoint p) {
  return {static_cast<float>(p.x), static_cast<float>(p.y)};
}
[[nodiscard]] inline ScreenPoint at(ImVec2 p) {
  return {static_cast<double>(p.x), static_cast<double>(p.y)};
}

// The cursor stands in the middle of the pixel it is on.
[[nodiscard]] inline ScreenPoint of_mouse(ImVec2 p) {
  return {static_cast<double>(p.x) + 0.5, static_cast<double>(p.y) + 0.5};
}

void zoom_camera(Camera& camera, Zoom zoom);  // in steps of a quarter, about the middle

// A picture as textures: the whole of it under `view`, and full-resolution tiles under `tile`.
struct ShownPicture {
  TextureKey::Kind view = TextureKey::Kind::View, tile = TextureKey::Kind::Tile;
  std::int64_t id = 0;
  int width_px = 0, height_px = 0;
  std::function<void(int column, int row)> need_tile;
};
// The view texture, and over it full-resolution tiles where the zoom passes it; asks for those missing.
void draw_pixels(const Ui& ui, const ShownPicture& shown, const Camera& camera, ImVec2 min, ImVec2 max);
void draw_pixels(const Ui& ui, const BenchState& bench, const Camera& camera, ImVec2 min, ImVec2 max);

void draw_line_over(const Ui& ui, const Camera& camera, const std::vector<model::PixelPoint>& points,
                    bool closed, Colour colour, float width = 1.6F);
void draw_cross_over(const Ui& ui, const Camera& camera, model::PixelPoint point, Colour colour);
void draw_label_over(const Ui& ui, ImVec2 middle, std::string_view text, Colour colour);
// A handle: `filled` when it counts.
void draw_handle_over(const Ui& ui, ImVec2 middle, Colour colour, bool filled, bool held);

// Pixels around `focus`, magnified, with a cross-hair and the given outlines; kept in the corner of the
// canvas away from the cursor.
struct Loupe {
  model::PixelPoint focus;
  std::vector<std::pair<std::vector<model::PixelPoint>, Colour>> outlines;
};
void draw_loupe(const Ui& ui, const BenchState& bench, const Loupe& loupe, ImVec2 canvas_min,
                ImVec2 canvas_max, ImVec2 cursor);

}  // namespace spile::gui
