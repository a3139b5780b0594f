#include "gui/widgets/photo_canvas.hpp"

#include <algorithm>
#include <cmath>

#include "gui/test_hooks.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

// More would push each other out of the graphics card's share while still in sight.
constexpr int kMostTilesInSight = 12;

struct Span {
  int first, last;
};

// The tiles between two picture coordinates.
Span tiles_between(double low, double high, int size_px) {
  const int last = (size_px - 1) / Bench::kTileSide;
  const auto tile = [last](double v) {
    return std::clamp(static_cast<int>(std::floor(v / Bench::kTileSide)), 0, last);
  };
  return {tile(low), tile(high)};
}

void draw_tiles(const Ui& ui, const ShownPicture& shown, const Camera& camera, ImVec2 min, ImVec2 max) {
  const auto low = camera.image_from_screen(at(min));
  const auto high = camera.image_from_screen(at(max));
  const Span columns = tiles_between(low.x, high.x, shown.width_px);
  const Span rows = tiles_between(low.y, high.y, shown.height_px);
  if ((columns.last - columns.first + 1) * (rows.last - rows.first + 1) > kMostTilesInSight) return;
  for (int row = rows.first; row <= rows.last; ++row)
    for (int column = columns.first; column <= columns.last; ++column) {
      const auto tile = ui.textures.find({shown.tile, shown.id, column, row});
      if (!tile) {
        shown.need_tile(column, row);
        continue;
      }
      const double x = column * Bench::kTileSide - 0.5;
      const double y = row * Bench::kTileSide - 0.5;
      ImGui::GetWindowDrawList()->AddImage(tile->id, at(camera.screen_from_image({x, y})),
                                           at(camera.screen_from_image({x + tile->width, y + tile->height})));
    }
}

std::vector<ImVec2> on_screen(const Camera& camera, const std::vector<model::PixelPoint>& points) {
  std::vector<ImVec2> out;
  out.reserve(points.size());
  for (const auto& p : points) out.push_back(at(camera.screen_from_image(p)));
  return out;
}

}  // namespace

void zoom_camera(Camera& camera, Zoom zoom) {
  switch (zoom) {
    case Zoom::In:
      return camera.zoom_middle(1.25);
    case Zoom::Out:
      return camera.zoom_middle(0.8);
    case Zoom::Fit:
      return camera.fit();
    case Zoom::OneToOne:
      return camera.one_to_one();
  }
}

void draw_pixels(const Ui& ui, const ShownPicture& shown, const Camera& camera, ImVec2 min, ImVec2 max) {
  const auto view = ui.textures.find({shown.view, shown.id, 0, 0});
  if (!view) return;
  const ImVec2 low = at(camera.screen_from_image({-0.5, -0.5}));
  const ImVec2 high = at(camera.screen_from_image({shown.width_px - 0.5, shown.height_px - 0.5}));
  ImGui::GetWindowDrawList()->AddImage(view->id, low, high);
  const double view_zoom = static_cast<double>(view->width) / std::max(1, shown.width_px);
  if (camera.zoom() > view_zoom * 1.1 && view->width < shown.width_px)
    draw_tiles(ui, shown, camera, min, max);
}

void draw_pixels(const Ui& ui, const BenchState& bench, const Camera& camera, ImVec2 min, ImVec2 max) {
  const ShownPicture shown{
      TextureKey::Kind::View, TextureKey::Kind::Tile,
      bench.photo.value,      bench.width_px,
      bench.height_px,        [&ui](int column, int row) { ui.ask(NeedTile{column, row}); }};
  draw_pixels(ui, shown, camera, min, max);
}

void draw_line_over(const Ui& ui, const Camera& camera, const std::vector<model::PixelPoint>& points,
                    bool closed, Colour colour, float width) {
  if (points.size() < 2) return;
  const auto line = on_screen(camera, points);
  const int count = static_cast<int>(line.size());
  const ImDrawFlags flags = closed ? ImDrawFlags_Closed : ImDrawFlags_None;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddPolyline(line.data(), count, ui.colours.halo.u32(0.6F), flags, ui.px(width + 2));
  list.AddPolyline(line.data(), count, colour.u32(), flags, ui.px(width));
}

void draw_cross_over(const Ui& ui, const Camera& camera, model::PixelPoint point, Colour colour) {
  const ImVec2 c = at(camera.screen_from_image(point));
  const float r = ui.px(7);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  for (const auto& [ink, width] :
       {std::pair{ui.colours.halo.u32(0.6F), ui.px(3.5F)}, std::pair{colour.u32(), ui.px(1.5F)}}) {
    list.AddLine({c.x - r, c.y}, {c.x + r, c.y}, ink, width);
    list.AddLine({c.x, c.y - r}, {c.x, c.y + r}, ink, width);
  }
}

void draw_label_over(const Ui& ui, ImVec2 middle, std::string_view text, Colour colour) {
  if (text.empty()) return;
  ImGui::PushFont(ui.fonts.strong);
  const ImVec2 size = size_of(text);
  const ImVec2 pad = {ui.px(6), ui.px(3)};
  const ImVec2 min = {std::round(middle.x - size.x / 2), std::round(middle.y - size.y / 2)};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled({min.x - pad.x, min.y - pad.y}, {min.x + size.x + pad.x, min.y + size.y + pad.y},
                     ui.colours.halo.u32(0.88F), ui.px(3));
  list.AddText(min, colour.u32(), text.data(), text.data() + text.size());
  ImGui::PopFont();
}

void draw_handle_over(const Ui& ui, ImVec2 middle, Colour colour, bool filled, bool held) {
  const float r = ui.px(held ? 8 : 6);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddCircleFilled(middle, r + ui.px(1.5F), ui.colours.halo.u32(filled ? 0.7F : 0.35F));
  if (filled) {
    list.AddCircleFilled(middle, r, colour.u32(held ? 0.5F : 0.9F));
    list.AddCircleFilled(middle, ui.px(1.2F), ui.colours.halo.u32());
  } else {
    list.AddCircle(middle, r, colour.u32(), 0, ui.px(1.8F));
  }
}

void draw_loupe(const Ui& ui, const BenchState& bench, const Loupe& loupe, ImVec2 canvas_min,
                ImVec2 canvas_max, ImVec2 cursor) {
  constexpr int kPixels = 25;  // across; odd, so that one pixel is in the middle
  if (!bench.picture) return;
  const float side = std::min(ui.px(190), (canvas_max.y - canvas_min.y) * 0.6F);
  const float gap = ui.px(10);
  const bool right = cursor.x < (canvas_min.x + canvas_max.x) / 2;
  const ImVec2 min = {right ? canvas_max.x - side - gap : canvas_min.x + gap, canvas_min.y + gap};
  const ImVec2 max = {min.x + side, min.y + side};
  const int x0 = std::clamp(static_cast<int>(std::lround(loupe.focus.x)) - kPixels / 2, 0,
                            std::max(0, bench.width_px - kPixels));
  const int y0 = std::clamp(static_cast<int>(std::lround(loupe.focus.y)) - kPixels / 2, 0,
                            std::max(0, bench.height_px - kPixels));
  const TextureKey key = {TextureKey::Kind::Loupe, bench.photo.value, x0, y0};
  if (!ui.textures.contains(key)) ui.textures.put(key, bench.picture->tile(x0, y0, kPixels, kPixels));
  const auto pixels = ui.textures.find(key);
  if (!pixels || pixels->width == 0) return;
  // Screen pixels per picture pixel inside the loupe.
  const double zoom = static_cast<double>(side) / kPixels;
  const auto inside = [&](model::PixelPoint p) {
    return ImVec2(min.x + static_cast<float>((p.x + 0.5 - x0) * zoom),
                  min.y + static_cast<float>((p.y + 0.5 - y0) * zoom));
  };
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(min, max, ui.colours.halo.u32());
  list.AddImage(
      pixels->id, min,
      {min.x + static_cast<float>(pixels->width * zoom), min.y + static_cast<float>(pixels->height * zoom)});
  list.PushClipRect(min, max, true);
  for (const auto& [outline, colour] : loupe.outlines) {
    std::vector<ImVec2> line;
    for (const auto& p : outline) line.push_back(inside(p));
    list.AddPolyline(line.data(), static_cast<int>(line.size()), colour.u32(0.9F), ImDrawFlags_Closed,
                     ui.px(1.5F));
  }
  const ImVec2 c = inside(loupe.focus);
  for (const auto& [ink, width] :
       {std::pair{ui.colours.halo.u32(0.5F), 3.0F}, std::pair{ImU32(0xFFFFFFFF), 1.0F}}) {
    list.AddLine({min.x, c.y}, {c.x - ui.px(6), c.y}, ink, width);
    list.AddLine({c.x + ui.px(6), c.y}, {max.x, c.y}, ink, width);
    list.AddLine({c.x, min.y}, {c.x, c.y - ui.px(6)}, ink, width);
    list.AddLine({c.x, c.y + ui.px(6)}, {c.x, max.y}, ink, width);
  }
  list.PopClipRect();
  list.AddRect(min, max, ui.colours.accent.u32(), ui.px(2), 0, ui.px(2));
  hooks::note_place("bench.loupe", min, max);
}

}  // namespace spile::gui
