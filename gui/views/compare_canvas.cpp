// The two photos themselves: linked zoom and pan, one over the other, outlines and traces.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gui/desk.hpp"
#include "gui/keys.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/compare.hpp"
#include "gui/widgets/change_mark.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"

namespace spile::gui {

namespace {

using vision::Season;

constexpr float kGrabRadius = 12;
constexpr ImGuiWindowFlags kCanvas =
    ImGuiWindowFlags_NoNavInputs | ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoScrollbar;

std::size_t index_of(Season season) {
  return static_cast<std::size_t>(season);
}

struct Extent {
  int width = 0, height = 0;
};

// As it is drawn: aligned, both have the later photo's pixels.
Extent extent_of(const CompareState& state, Season season) {
  if (const auto& shown = state.shown[index_of(season)])
    return {shown->info().width_px, shown->info().height_px};
  const model::Photo& photo = state.photo(season).view.photo;
  return {photo.width_px, photo.height_px};
}

double distance(ImVec2 a, ImVec2 b) {
  return std::hypot(static_cast<double>(a.x - b.x), static_cast<double>(a.y - b.y));
}

}  // namespace

Camera CompareView::camera_on(const CompareState& state, Season season, ImVec2 min, ImVec2 size) const {
  Camera camera = camera_;
  const auto set_canvas = [&](Camera& of) {
    of.set_canvas(at(min), static_cast<double>(size.x), static_cast<double>(size.y));
  };
  set_canvas(camera);
  if (season == Season::Later || state.aligned()) return camera;
  // Not aligned: the same share of either photo is in sight, as large.
  const Extent own = extent_of(state, season), later = extent_of(state, Season::Later);
  Camera other;
  other.set_picture(own.width, own.height);
  set_canvas(other);
  if (camera.fitted() || later.width <= 0 || later.height <= 0) return other;
  Camera whole = camera;
  whole.fit();
  const model::PixelPoint middle = camera.image_from_screen(camera.middle_of_canvas());
  other.look_at({middle.x * own.width / later.width, middle.y * own.height / later.height},
                camera.zoom() * other.zoom() / whole.zoom());
  return other;
}

CompareView::Canvas CompareView::canvas(const Ui& ui, const char* name, Season season) {
  const CompareState& state = ui.desk.comparing().state();
  Canvas out{season, ImGui::GetCursorScreenPos(), {}, {}, false};
  const ImVec2 room = ImGui::GetContentRegionAvail();
  out.max = {out.min.x + room.x, out.min.y + room.y};
  const Extent later = extent_of(state, Season::Later);
  camera_.set_picture(later.width, later.height);
  camera_.set_canvas(at(out.min), static_cast<double>(room.x), static_cast<double>(room.y));
  out.camera = camera_on(state, season, out.min, room);
  ImGui::InvisibleButton(name, room,
                         ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight |
                             ImGuiButtonFlags_MouseButtonMiddle);
  hooks::note(name);
  out.hovered = ImGui::IsItemHovered();
  use_mouse(ui, out);
  out.camera = camera_on(state, season, out.min, room);
  if (ImGui::IsWindowFocused()) use_keyboard(ui);
  return out;
}

void CompareView::draw_canvases(const Ui& ui, ImVec2 size) {
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ui.colours.photo_ground.vec());
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  const CompareState& state = ui.desk.comparing().state();
  const bool takes_focus = std::exchange(focused_for_, state.showing) != state.showing;
  if (state.showing == Showing::SideBySide) {
    const float gap = ui.px(6);
    for (const Season season : {Season::Earlier, Season::Later}) {
      const bool earlier = season == Season::Earlier;
      if (!earlier) ImGui::SameLine(0, gap);
      const ImVec2 half = {(size.x - gap) / 2, size.y};
      if (takes_focus && !earlier) ImGui::SetNextWindowFocus();
      ImGui::BeginChild(earlier ? "canvas.earlier" : "canvas.later", half, true, kCanvas);
      const Canvas on = canvas(ui, earlier ? "compare.earlier" : "compare.later", season);
      draw_photo(ui, on, season);
      if (state.outlines) draw_changes(ui, on, false);
      draw_kept_trace(ui, on);
      draw_traces(ui, on);
      draw_caption(ui, on, season);
      ImGui::EndChild();
    }
  } else {
    if (takes_focus) ImGui::SetNextWindowFocus();
    ImGui::BeginChild("canvas.over", size, true, kCanvas);
    draw_over_each_other(ui);
    ImGui::EndChild();
  }
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
}

void CompareView::draw_over_each_other(const Ui& ui) {
  const CompareState& state = ui.desk.comparing().state();
  const Canvas on = canvas(ui, "compare.over", Season::Later);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  if (state.showing == Showing::Blink) {
    const Season shown = blink_shows_earlier(state) ? Season::Earlier : Season::Later;
    draw_photo(ui, on, shown);
    if (state.outlines) draw_changes(ui, on, false);
    draw_caption(ui, on, shown);
  } else if (state.showing == Showing::Wipe) {
    draw_photo(ui, on, Season::Later);
    const float x = on.min.x + static_cast<float>(state.wipe) * (on.max.x - on.min.x);
    list.PushClipRect(on.min, {x, on.max.y}, true);
    list.AddRectFilled(on.min, {x, on.max.y}, ui.colours.photo_ground.u32());
    draw_photo(ui, on, Season::Earlier);
    list.PopClipRect();
    if (state.outlines) draw_changes(ui, on, false);
    draw_wipe(ui, on);
  } else {
    draw_photo(ui, on, Season::Later);
    list.AddRectFilled(on.min, on.max, ui.colours.halo.u32(0.35F));
    draw_changes(ui, on, true);
    draw_caption(ui, on, Season::Later);
    draw_bar(ui, on);
  }
}

// How long 20 mm are on the hull round the opening.
void CompareView::draw_bar(const Ui& ui, const Canvas& on) const {
  constexpr double kBarMm = 20;
  const double mm_per_px = ui.desk.comparing().state().comparison->later_mm_per_px;
  if (mm_per_px <= 0) return;
  const auto length = static_cast<float>(kBarMm / mm_per_px * on.camera.zoom());
  const ImVec2 left = {on.min.x + ui.px(16), on.max.y - ui.px(18)};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  for (const auto& [ink, width] :
       {std::pair{ui.colours.halo.u32(0.7F), ui.px(5)}, std::pair{ui.colours.reference.u32(), ui.px(2)}})
    list.AddLine(left, {left.x + length, left.y}, ink, width);
  draw_label_over(ui, {left.x + length / 2, left.y - ui.px(16)}, show_length(kBarMm, ui.lengths, Size::Small),
                  ui.colours.reference);
}

void CompareView::draw_photo(const Ui& ui, const Canvas& on, Season of) const {
  const Comparing& comparing = ui.desk.comparing();
  const Extent extent = extent_of(comparing.state(), of);
  const ShownPicture shown{TextureKey::Kind::Season,
                           TextureKey::Kind::SeasonTile,
                           comparing.texture_of(of),
                           extent.width,
                           extent.height,
                           [&ui, of](int column, int row) {
                             ui.ask(NeedSeasonTile{of, column, row});
                           }};
  if (ui.textures.contains({TextureKey::Kind::Season, shown.id, 0, 0}))
    return draw_pixels(ui, shown, on.camera, on.min, on.max);
  draw_label_over(ui, at(on.camera.middle_of_canvas()), "Loading the photo…", ui.colours.found);
}

namespace {

struct Box {
  ImVec2 low = {FLT_MAX, FLT_MAX}, high = {-FLT_MAX, -FLT_MAX};

  void take_in(ImVec2 p) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  [[nodiscard]] bool meets(const Box& other) const {
    return low.x < other.high.x && other.low.x < high.x && low.y < other.high.y && other.low.y < high.y;
  }
};

Box box_of(const Camera& camera, const std::vector<model::PixelPoint>& outline) {
  Box box;
  for (const auto& p : outline) box.take_in(at(camera.screen_from_image(p)));
  return box;
}

// Below what it names, above it, or beside it: where it hides nothing else, and inside the canvas.
Box place_for(const Box& named, ImVec2 size, float gap, const std::vector<Box>& taken, ImVec2 min,
              ImVec2 max) {
  const float x = (named.low.x + named.high.x - size.x) / 2, y = (named.low.y + named.high.y - size.y) / 2;
  Box first;
  for (const ImVec2 corner :
       {ImVec2(x, named.high.y + gap), ImVec2(x, named.low.y - gap - size.y), ImVec2(named.high.x + gap, y),
        ImVec2(named.low.x - gap - size.x, y), ImVec2(x, named.high.y + 3 * gap + size.y)}) {
    const ImVec2 low = {std::clamp(corner.x, min.x, std::max(min.x, max.x - size.x)),
                        std::clamp(corner.y, min.y, std::max(min.y, max.y - size.y))};
    const Box box{low, {low.x + size.x, low.y + size.y}};
    if (first.high.x < first.low.x) first = box;
    if (std::none_of(taken.begin(), taken.end(), [&](const Box& other) { return box.meets(other); }))
      return box;
  }
  return first;
}

}  // namespace

void CompareView::draw_changes(const Ui& ui, const Canvas& on, bool with_sizes) const {
  const CompareState& state = ui.desk.comparing().state();
  if (!state.aligned()) return;
  const auto& changes = state.comparison->changes;
  std::vector<Box> taken;
  for (const vision::Change& change : changes) taken.push_back(box_of(on.camera, change.outline_px));
  for (std::size_t i = 0; i < changes.size(); ++i) {
    const vision::Change& change = changes[i];
    const Colour ink = colour_of_change(ui.colours, change.kind);
    draw_line_over(ui, on.camera, change.outline_px, !change.length_mm, ink, state.change == i ? 3.0F : 1.8F);
    hooks::note_place(fmt::format("compare.change_at.{}", i), taken[i].low, taken[i].high);
    const std::string text =
        with_sizes ? fmt::format("{}  {}", i + 1, app::sentence(change)) : fmt::format("{}", i + 1);
    ImGui::PushFont(ui.fonts.strong);
    const ImVec2 letters = size_of(text);
    ImGui::PopFont();
    const float mark = ui.px(20), pad = ui.px(8);
    const ImVec2 room = {mark + letters.x + 2 * pad, std::max(mark, letters.y + pad)};
    const Box place = place_for(taken[i], room, ui.px(5), taken, on.min, on.max);
    taken.push_back(place);
    const float middle = (place.low.y + place.high.y) / 2;
    draw_label_over(ui, {place.low.x + mark + pad + letters.x / 2, middle}, text, ink);
    draw_change_mark(ui, *ImGui::GetWindowDrawList(), {place.low.x + mark / 2, middle}, mark, change.kind);
  }
}

// What stands in the logbook, where nothing new has been traced.
void CompareView::draw_kept_trace(const Ui& ui, const Canvas& on) const {
  const CompareState& state = ui.desk.comparing().state();
  if (!state.draft.points[index_of(on.season)].empty()) return;
  const app::OpeningView* opening = ui.desk.logbook()->find(state.opening);
  if (!opening) return;
  for (const model::Measurement& m : opening->measurements) {
    if (m.quantity != model::Quantity::CrackLength || m.photo != state.photo(on.season).view.photo.id ||
        !m.trace)
      continue;
    std::vector<model::PixelPoint> line;
    for (const auto& p : m.trace->by_hand)
      if (const auto drawn = state.drawn_at(on.season, p)) line.push_back(*drawn);
    if (line.size() < 2) continue;
    draw_line_over(ui, on.camera, line, false, ui.colours.by_hand, 2);
    const ImVec2 end = at(on.camera.screen_from_image(line.back()));
    draw_label_over(ui, {end.x, end.y - ui.px(18)},
                    "kept: " + show_interval(m.value, m.u95, m.quantity, ui.lengths), ui.colours.by_hand);
    hooks::note_place(on.season == Season::Earlier ? "compare.kept.earlier" : "compare.kept.later", end, end);
  }
}

void CompareView::draw_traces(const Ui& ui, const Canvas& on) const {
  const CompareState& state = ui.desk.comparing().state();
  std::vector<model::PixelPoint> line;
  for (const auto& p : state.draft.points[index_of(on.season)])
    if (const auto drawn = state.drawn_at(on.season, p)) line.push_back(*drawn);
  draw_line_over(ui, on.camera, line, false, ui.colours.by_hand, 1.8F);
  for (std::size_t i = 0; i < line.size(); ++i) {
    const ImVec2 c = at(on.camera.screen_from_image(line[i]));
    draw_handle_over(ui, c, ui.colours.by_hand, state.tracing, held_ == std::pair{on.season, i});
    const float r = ui.px(5);
    hooks::note_place(
        fmt::format("compare.trace.{}.{}", on.season == Season::Earlier ? "earlier" : "later", i),
        {c.x - r, c.y - r}, {c.x + r, c.y + r});
  }
  if (const auto& traced = state.traced[index_of(on.season)]; traced && !line.empty()) {
    const ImVec2 end = at(on.camera.screen_from_image(line.back()));
    draw_label_over(
        ui, {end.x, end.y - ui.px(20)},
        show_interval(traced->length_mm, traced->u95_mm, model::Quantity::CrackLength, ui.lengths),
        ui.colours.by_hand);
  }
}

void CompareView::draw_caption(const Ui& ui, const Canvas& on, Season of) const {
  const std::string text = fmt::format("{} {}", of == Season::Earlier ? "Earlier" : "Later",
                                       ui.desk.comparing().state().photo(of).survey.date);
  draw_label_over(ui, {on.min.x + size_of(text).x / 2 + ui.px(14), on.min.y + ui.px(16)}, text,
                  ui.colours.reference);
}

void CompareView::draw_wipe(const Ui& ui, const Canvas& on) {
  const CompareState& state = ui.desk.comparing().state();
  const float x = on.min.x + static_cast<float>(state.wipe) * (on.max.x - on.min.x);
  const float y = (on.min.y + on.max.y) / 2, r = ui.px(13);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddLine({x, on.min.y}, {x, on.max.y}, ui.colours.halo.u32(0.7F), ui.px(4));
  list.AddLine({x, on.min.y}, {x, on.max.y}, ui.colours.reference.u32(), ui.px(2));
  list.AddCircleFilled({x, y}, r, ui.colours.halo.u32(0.9F));
  list.AddCircle({x, y}, r, ui.colours.reference.u32(), 0, ui.px(2));
  for (const float side : {-1.0F, 1.0F})
    list.AddTriangleFilled({x + side * r * 0.7F, y}, {x + side * r * 0.2F, y - r * 0.4F},
                           {x + side * r * 0.2F, y + r * 0.4F}, ui.colours.reference.u32());
  hooks::note_place("compare.wipe_handle", {x - r, y - r}, {x + r, y + r});
  // Either name on the side where its photo is.
  for (const Season of : {Season::Earlier, Season::Later}) {
    const std::string text =
        fmt::format("{} {}", of == Season::Earlier ? "Earlier" : "Later", state.photo(of).survey.date);
    const float half = size_of(text).x / 2 + ui.px(14);
    const float middle = of == Season::Earlier ? x - half : x + half;
    if (middle - half < on.min.x || middle + half > on.max.x) continue;
    draw_label_over(ui, {middle, on.min.y + ui.px(16)}, text, ui.colours.reference);
  }
}

bool CompareView::blink_shows_earlier(const CompareState& state) {
  if (state.blink_held) return state.blink_earlier;
  const double turn = ImGui::GetTime() * state.blinks_a_second, whole = std::floor(turn);
  to_blink_ = (whole + 1 - turn) / state.blinks_a_second;
  return std::fmod(whole, 2) < 1;
}

// --- mouse and keyboard

std::optional<std::size_t> CompareView::trace_point_near(const Ui& ui, const Canvas& on, ImVec2 mouse) const {
  const CompareState& state = ui.desk.comparing().state();
  const auto& points = state.draft.points[index_of(on.season)];
  std::optional<std::size_t> best;
  double least = static_cast<double>(ui.px(kGrabRadius));
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto drawn = state.drawn_at(on.season, points[i]);
    if (!drawn) continue;
    const double d = distance(at(on.camera.screen_from_image(*drawn)), mouse);
    if (d > least) continue;
    best = i;
    least = d;
  }
  return best;
}

// A hand finds a line on the screen to about a point and a half; where the earlier photo is drawn into the
// later one's pixels, its own are larger or smaller.
double CompareView::placing_px(const CompareState& state, const Canvas& on, model::PixelPoint drawn) const {
  constexpr double kOnScreen = 1.5, kFinest = 0.7;
  double scale = 1;
  const auto here = state.of_photo(on.season, drawn),
             beside = state.of_photo(on.season, {drawn.x + 1, drawn.y});
  if (here && beside) scale = std::hypot(beside->x - here->x, beside->y - here->y);
  return std::max(kFinest, scale * kOnScreen / on.camera.zoom());
}

void CompareView::press(const Ui& ui, const Canvas& on, ImVec2 mouse) {
  const CompareState& state = ui.desk.comparing().state();
  if (state.showing == Showing::Wipe) {
    const float x = on.min.x + static_cast<float>(state.wipe) * (on.max.x - on.min.x);
    if (std::abs(mouse.x - x) <= ui.px(kGrabRadius)) {
      wiping_ = true;
      return;
    }
  }
  if (!state.tracing || !ui.editable) {
    panning_ = on.season;
    return;
  }
  hand_ = on.season;
  if (const auto near = trace_point_near(ui, on, mouse)) {
    ui.ask(GrabTrace{on.season, *near, false});
    held_ = std::pair{on.season, *near};
    return;
  }
  const model::PixelPoint drawn = on.camera.image_from_screen(of_mouse(mouse));
  const auto point = state.of_photo(on.season, drawn);
  if (!point) return;
  const std::size_t placed = state.draft.points[index_of(on.season)].size();
  ui.ask(PlaceTrace{on.season, *point, placing_px(state, on, drawn)});
  ui.ask(GrabTrace{on.season, placed, true});
  held_ = std::pair{on.season, placed};
}

void CompareView::use_mouse(const Ui& ui, const Canvas& on) {
  const ImGuiIO& io = ImGui::GetIO();
  const CompareState& state = ui.desk.comparing().state();
  if (on.hovered && io.MouseWheel != 0)
    camera_.zoom_around(of_mouse(io.MousePos), std::pow(1.2, static_cast<double>(io.MouseWheel)));
  if (ImGui::IsItemActivated()) {
    if (ImGui::IsMouseDown(ImGuiMouseButton_Left))
      press(ui, on, io.MousePos);
    else
      panning_ = on.season;
  }
  const bool moved = io.MouseDelta.x != 0 || io.MouseDelta.y != 0;
  const bool active = ImGui::IsItemActive();
  if (active && moved && wiping_)
    ui.ask(SetWipe{static_cast<double>((io.MousePos.x - on.min.x) / std::max(1.0F, on.max.x - on.min.x))});
  if (active && moved && panning_ == on.season)
    camera_.pan(static_cast<double>(io.MouseDelta.x), static_cast<double>(io.MouseDelta.y));
  if (active && moved && held_ && held_->first == on.season) {
    const model::PixelPoint drawn = on.camera.image_from_screen(of_mouse(io.MousePos));
    if (const auto to = state.of_photo(on.season, drawn))
      ui.ask(MoveTrace{*to, placing_px(state, on, drawn)});
  }
  if (active) return;
  if (held_ && held_->first == on.season) {
    ui.ask(DropTrace{});
    held_.reset();
  }
  if (panning_ == on.season) panning_.reset();
  wiping_ = false;
}

void CompareView::use_keyboard(const Ui& ui) {
  const ImGuiIO& io = ImGui::GetIO();
  const CompareState& state = ui.desk.comparing().state();
  if (io.WantTextInput || io.KeyCtrl) return;
  const double step = static_cast<double>(ui.px(48));
  double dx = 0, dy = 0;
  if (pressed(Key::Left, true)) dx -= 1;
  if (pressed(Key::Right, true)) dx += 1;
  if (pressed(Key::Up, true)) dy -= 1;
  if (pressed(Key::Down, true)) dy += 1;
  if (state.showing == Showing::Wipe && dx != 0) {
    ui.ask(SetWipe{state.wipe + 0.02 * dx});
    dx = 0;
  }
  if (dx != 0 || dy != 0) camera_.pan(-dx * step, -dy * step);
  if (pressed(Key::Backspace)) ui.ask(TakeBackTrace{hand_});
}

void CompareView::look_at_change(const Ui& ui, std::size_t index) {
  const CompareState& state = ui.desk.comparing().state();
  ui.ask(ChooseChange{index});
  const vision::Change& change = state.comparison->changes[index];
  Camera whole = camera_;
  whole.fit();
  camera_.look_at(change.centre_px, std::max(camera_.zoom(), 3 * whole.zoom()));
}

}  // namespace spile::gui
