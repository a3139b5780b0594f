#include "gui/views/bench.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/keys.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/photo_canvas.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"

namespace spile::gui {

namespace {

constexpr float kGrabRadius = 12;
constexpr std::size_t kRimHandles = 6;

Colour colour_of(const Palette& p, const OverlayShape& shape) {
  if (shape.by_hand) return p.by_hand;
  return shape.kind == OverlayShape::Kind::Reference ? p.reference : p.found;
}

double distance(ImVec2 a, ImVec2 b) {
  return std::hypot(static_cast<double>(a.x - b.x), static_cast<double>(a.y - b.y));
}

void tool_button(const Ui& ui, const char* id, const char* label, bool roomy) {
  const Action& a = action(id);
  const bool lit = a.ticked && a.ticked(ui.desk);
  const bool enabled = a.enabled(ui.desk);
  const std::string name = std::string("bench.") + id;
  const std::string keys = roomy ? keys_of(id) : std::string();
  const bool pressed =
      lit ? main_button(ui, name, label, enabled, keys) : button(ui, name, label, enabled, keys);
  hint(fmt::format("{} ({})", a.label, keys_of(id)));
  if (pressed) ui.ask(a.intent(ui.desk));
}

}  // namespace

void BenchView::zoom(Zoom zoom) {
  zoom_camera(camera_, zoom);
}

void BenchView::draw(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  if (shown_ != bench.use) {
    shown_ = bench.use;
    camera_ = {};
    held_.reset();
    pen_.reset();
    pen_holds_.reset();
  }
  if (last_tool_ != bench.tool) {
    last_tool_ = bench.tool;
    pen_holds_.reset();
    if (bench.tool != Tool::Look) wants_focus_ = true;  // the next key belongs to the picture
  }
  draw_tools(ui);
  const float answer = ui.fonts.heading->FontSize + ui.fonts.small->FontSize + ui.px(8);
  const float below = ImGui::GetFrameHeightWithSpacing() + std::max(answer, ImGui::GetTextLineHeight() * 2) +
                      ImGui::GetStyle().ItemSpacing.y * 2;
  const float height = std::max(ui.px(80), ImGui::GetContentRegionAvail().y - below);
  const float strip = ui.desk.photos().size() > 0 ? ui.px(92) : 0;
  if (strip > 0) {
    draw_thumbs(ui, {strip, height});
    ImGui::SameLine(0, ui.px(6));
  }
  draw_canvas(ui, {ImGui::GetContentRegionAvail().x, height});
  draw_result(ui);
}

void BenchView::draw_tools(const Ui& ui) {
  // The keys stand on the buttons where there is room, else only in the hints and the menu.
  const bool roomy = ImGui::GetContentRegionAvail().x >= ui.px(664);
  const float gap = ui.px(roomy ? 4 : 3);
  tool_button(ui, "measure.auto", "Measure", roomy);
  ImGui::SameLine(0, gap);
  draw_how(ui);
  constexpr std::array<std::pair<const char*, const char*>, 7> kTools = {{{"measure.rim", "Rim"},
                                                                          {"measure.edge", "Edge"},
                                                                          {"measure.scale", "Scale"},
                                                                          {"view.loupe", "Loupe"},
                                                                          {"view.fit", "Whole"},
                                                                          {"view.one_to_one", "1:1"},
                                                                          {"view.large", "Large"}}};
  for (const auto& [id, label] : kTools) {
    ImGui::SameLine(0, gap);
    tool_button(ui, id, label, roomy);
  }
}

// --- thumbnails

void BenchView::draw_thumbs(const Ui& ui, ImVec2 size) {
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(4), ui.px(4)});
  ImGui::BeginChild("thumbs", size, true);
  ImGui::PopStyleVar();
  for (const app::PhotoView& photo : ui.desk.photos())
    draw_thumb(ui, photo, ImGui::GetContentRegionAvail().x);
  ImGui::EndChild();
}

void BenchView::draw_thumb(const Ui& ui, const app::PhotoView& photo, float side) {
  ImGui::PushID(static_cast<int>(photo.use.id.value));
  const float height = side * 0.75F;
  const ImVec2 min = ImGui::GetCursorScreenPos();
  const ImVec2 max = {min.x + side, min.y + height};
  if (ImGui::InvisibleButton("thumb", {side, height})) ui.ask(OpenPhoto{photo.use.id});
  hooks::note(fmt::format("bench.thumb.{}", photo.use.id.value));
  const bool lit = ui.desk.bench().use == photo.use.id;
  const bool focused = ImGui::IsItemFocused();
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(min, max, ui.colours.photo_ground.u32(), ui.px(2));
  const auto texture = ui.textures.find({TextureKey::Kind::Thumb, photo.photo.id.value, 0, 0});
  if (texture) {
    // The whole picture inside the frame, whichever way it was held.
    const float fit =
        std::min(side / static_cast<float>(texture->width), height / static_cast<float>(texture->height));
    const ImVec2 half = {static_cast<float>(texture->width) * fit / 2,
                         static_cast<float>(texture->height) * fit / 2};
    const ImVec2 c = {(min.x + max.x) / 2, (min.y + max.y) / 2};
    list.AddImage(texture->id, {c.x - half.x, c.y - half.y}, {c.x + half.x, c.y + half.y});
  } else if (ImGui::IsItemVisible()) {
    ui.ask(NeedThumb{photo.photo.id});
  }
  if (lit || focused) list.AddRect(min, max, ui.colours.accent.u32(), ui.px(2), 0, ui.px(lit ? 3 : 1.5F));
  hint(photo.photo.original_name + (photo.use.finding.empty() ? "" : "\n" + photo.use.finding) +
       (photo.photo.taken_at.empty() ? "" : "\ntaken " + photo.photo.taken_at));
  const bool measured = photo.use.finding.rfind("not measured", 0) != 0 && !photo.use.finding.empty();
  const float r = ui.px(7);
  const ImVec2 badge = {max.x - r - ui.px(3), min.y + r + ui.px(3)};
  if (!photo.use.finding.empty()) {
    list.AddCircleFilled(badge, r + ui.px(1), ui.colours.halo.u32(0.85F));
    const Colour ink = measured ? ui.colours.found : ui.colours.by_hand;
    if (measured) {
      list.AddCircle(badge, r * 0.6F, ink.u32(), 0, ui.px(2));
    } else {
      list.AddLine({badge.x - r * 0.5F, badge.y}, {badge.x + r * 0.5F, badge.y}, ink.u32(), ui.px(2.5F));
    }
  }
  ImGui::PopID();
}

// --- the picture

void BenchView::draw_canvas(const Ui& ui, ImVec2 size) {
  const BenchState& bench = ui.desk.bench();
  ImGui::PushStyleColor(ImGuiCol_ChildBg,
                        bench.use ? ui.colours.photo_ground.vec() : ui.colours.raised.vec());
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  if (wants_focus_) ImGui::SetNextWindowFocus();
  wants_focus_ = false;
  // Arrow keys belong to the picture here, not to walking between widgets.
  ImGui::BeginChild(
      "canvas", size, true,
      ImGuiWindowFlags_NoNavInputs | ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoScrollbar);
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
  canvas_min_ = ImGui::GetCursorScreenPos();
  canvas_max_ = {canvas_min_.x + ImGui::GetContentRegionAvail().x,
                 canvas_min_.y + ImGui::GetContentRegionAvail().y};
  if (!bench.use || bench.load == BenchState::Load::Failed) {
    draw_empty(ui);
  } else {
    camera_.set_picture(bench.width_px, bench.height_px);
    camera_.set_canvas(at(canvas_min_), static_cast<double>(canvas_max_.x - canvas_min_.x),
                       static_cast<double>(canvas_max_.y - canvas_min_.y));
    ImGui::InvisibleButton("picture", {canvas_max_.x - canvas_min_.x, canvas_max_.y - canvas_min_.y},
                           ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight |
                               ImGuiButtonFlags_MouseButtonMiddle);
    hooks::note("bench.canvas");
    hovered_ = ImGui::IsItemHovered();
    use_mouse(ui);
    if (ImGui::IsWindowFocused()) use_keyboard(ui);
    draw_pixels(ui, bench, camera_, canvas_min_, canvas_max_);
    draw_overlay(ui);
    draw_points(ui);
    draw_zoom(ui);
    if (bench.load == BenchState::Load::Loading)
      draw_label_over(ui, at(camera_.middle_of_canvas()), "Loading the photo…", ui.colours.found);
  }
  if (ImGui::IsWindowFocused())
    ImGui::GetWindowDrawList()->AddRect(ImGui::GetWindowPos(),
                                        {ImGui::GetWindowPos().x + size.x, ImGui::GetWindowPos().y + size.y},
                                        ui.colours.accent.u32(), ui.px(3), 0, ui.px(2));
  ImGui::EndChild();
}

// How large the photo is shown, in the corner, small.
void BenchView::draw_zoom(const Ui& ui) const {
  const std::string text = fmt::format("{:.0f} %", camera_.zoom() * 100);
  ImGui::PushFont(ui.fonts.small);
  const ImVec2 size = size_of(text);
  const ImVec2 min = {canvas_min_.x + ui.px(6), canvas_max_.y - size.y - ui.px(5)};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled({min.x - ui.px(3), min.y - ui.px(1)},
                     {min.x + size.x + ui.px(3), min.y + size.y + ui.px(1)}, ui.colours.halo.u32(0.7F),
                     ui.px(2));
  list.AddText(min, ImU32(0xFFFFFFFF), text.c_str());
  ImGui::PopFont();
}

void BenchView::draw_empty(const Ui& ui) {
  const float pad = ui.px(24);
  ImGui::SetCursorPos({pad, pad});
  ImGui::BeginGroup();
  ImGui::PushTextWrapPos(ImGui::GetWindowContentRegionMax().x - pad);
  if (ui.desk.bench().load == BenchState::Load::Failed) {
    ImGui::TextUnformatted(ui.desk.bench().failure.c_str());
  } else {
    const app::OpeningView* opening = ui.desk.selected();
    heading(ui, opening ? fmt::format("No photo of {} in this survey", opening->opening.tag)
                        : std::string("No photo waits to be filed"));
    ImGui::TextUnformatted(
        "Drop photos onto this window. Lay the printed card, a coin or a steel rule flat on the hull beside "
        "the hole, "
        "so that its size can be measured.");
    ImGui::Dummy({0, ui.px(6)});
    if (main_button(ui, "bench.import", "Take photos in…", ui.editable, keys_of("photo.import")))
      ui.ask(AskForFile{ChooserFor::Photos});
  }
  ImGui::PopTextWrapPos();
  ImGui::EndGroup();
}

Overlay BenchView::overlay(const Ui& ui) const {
  const BenchState& bench = ui.desk.bench();
  if (bench.report) return overlay_of(*bench.report, bench.hole, bench.by_hand, ui.lengths);
  const app::OpeningView* opening = ui.desk.selected();
  return opening ? overlay_of(*opening, bench.photo, ui.lengths) : Overlay{};
}

void BenchView::draw_overlay(const Ui& ui) {
  for (const OverlayShape& shape : overlay(ui).shapes) {
    const Colour colour = colour_of(ui.colours, shape);
    if (shape.kind == OverlayShape::Kind::Edge) {
      for (std::size_t i = 0; i + 1 < shape.points.size(); i += 2)
        draw_line_over(ui, camera_, {shape.points[i], shape.points[i + 1]}, false, colour, 2);
    } else {
      draw_line_over(ui, camera_, shape.points, shape.points.size() > 2, colour, shape.chosen ? 2.0F : 1.0F);
    }
    if (shape.centre) draw_cross_over(ui, camera_, *shape.centre, colour);
    if (shape.kind == OverlayShape::Kind::Reference || shape.points.empty() || shape.label.empty()) continue;
    draw_label(ui, shape, colour);
  }
}

// Below the shape or above it, inside the canvas.
void BenchView::draw_label(const Ui& ui, const OverlayShape& shape, Colour colour) const {
  ImVec2 low = {FLT_MAX, FLT_MAX};
  ImVec2 high = {-FLT_MAX, -FLT_MAX};
  for (const auto& p : shape.points) {
    const ImVec2 s = at(camera_.screen_from_image(p));
    low = {std::min(low.x, s.x), std::min(low.y, s.y)};
    high = {std::max(high.x, s.x), std::max(high.y, s.y)};
  }
  const float half = size_of(shape.label).x / 2 + ui.px(12);
  const float y = shape.label_above ? low.y - ui.px(18) : high.y + ui.px(18);
  const ImVec2 middle = {std::clamp((low.x + high.x) / 2, canvas_min_.x + half,
                                    std::max(canvas_min_.x + half, canvas_max_.x - half)),
                         std::clamp(y, canvas_min_.y + ui.px(14), canvas_max_.y - ui.px(14))};
  draw_label_over(ui, middle, shape.label, colour);
}

std::vector<model::PixelPoint> BenchView::suggestions(const Ui& ui) const {
  const BenchState& bench = ui.desk.bench();
  const Overlay over = overlay(ui);
  if (bench.tool == Tool::Rim && bench.draft.rim.empty()) {
    for (const OverlayShape& shape : over.shapes)
      if (shape.kind == OverlayShape::Kind::Hole && shape.chosen)
        return handles_on(shape.points, kRimHandles);
  }
  if (bench.tool == Tool::Edge && bench.draft.edge.empty()) {
    for (const OverlayShape& shape : over.shapes)
      if (shape.kind == OverlayShape::Kind::Edge && shape.points.size() >= 4)
        return {shape.points[0], shape.points[1], shape.points[shape.points.size() - 2], shape.points.back()};
  }
  return {};
}

void BenchView::draw_points(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  const Palette& p = ui.colours;
  for (const Tool tool : {Tool::Scale, Tool::Edge, Tool::Rim}) {
    const auto& points = points_of(bench.draft, tool);
    if (tool == Tool::Scale) draw_line_over(ui, camera_, points, false, p.reference, 1.5F);
    if (tool == Tool::Edge)
      for (std::size_t i = 0; i + 1 < points.size(); i += 2)
        draw_line_over(ui, camera_, {points[i], points[i + 1]}, false, p.by_hand, 1.5F);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const ImVec2 c = at(camera_.screen_from_image(points[i]));
      const bool held = tool == bench.tool && (held_ == i || pen_holds_ == i);
      draw_handle_over(ui, c, tool == Tool::Scale ? p.reference : p.by_hand, tool == bench.tool, held);
      constexpr std::array kNames = {"look", "rim", "scale", "edge"};
      const float r = ui.px(5);
      hooks::note_place(fmt::format("bench.{}.{}", kNames[static_cast<std::size_t>(tool)], i),
                        {c.x - r, c.y - r}, {c.x + r, c.y + r});
    }
  }
  const auto suggested = suggestions(ui);
  for (std::size_t i = 0; i < suggested.size(); ++i) {
    const ImVec2 c = at(camera_.screen_from_image(suggested[i]));
    draw_handle_over(ui, c, p.found, false, false);
    const float r = ui.px(5);
    hooks::note_place(fmt::format("bench.handle.{}", i), {c.x - r, c.y - r}, {c.x + r, c.y + r});
  }
  const bool keyboard = pen_ && ImGui::IsWindowFocused() && bench.tool != Tool::Look;
  if (keyboard) draw_cross_over(ui, camera_, *pen_, p.by_hand);
  const bool by_mouse = hovered_ && (bench.tool != Tool::Look || ui.desk.state().loupe);
  if (!keyboard && !by_mouse && !held_) return;
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  Loupe loupe;
  loupe.focus = keyboard && !held_ ? *pen_ : camera_.image_from_screen(of_mouse(mouse));
  for (const OverlayShape& shape : overlay(ui).shapes)
    if (shape.kind != OverlayShape::Kind::Edge)
      loupe.outlines.emplace_back(shape.points, colour_of(p, shape));
  draw_loupe(ui, bench, loupe, canvas_min_, canvas_max_, at(camera_.screen_from_image(loupe.focus)));
}

// --- mouse and keyboard in the picture

std::optional<std::size_t> BenchView::point_near(const Ui& ui, model::PixelPoint p) const {
  const auto& points = points_of(ui.desk.bench().draft, ui.desk.bench().tool);
  if (ui.desk.bench().tool == Tool::Look) return std::nullopt;
  std::optional<std::size_t> best;
  double best_distance = static_cast<double>(ui.px(kGrabRadius));
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double d = distance(at(camera_.screen_from_image(points[i])), at(camera_.screen_from_image(p)));
    if (d > best_distance) continue;
    best = i;
    best_distance = d;
  }
  return best;
}

// A hand finds an outline on the screen to about a point and a half, however far the photo is drawn in.
double BenchView::placing_px() const {
  constexpr double kOnScreen = 1.5, kFinest = 0.7;
  return std::max(kFinest, kOnScreen / camera_.zoom());
}

// All the handles become points of the person's: the one taken hold of is moved, the others stay where they
// were found.
std::size_t BenchView::take_over(const Ui& ui, const std::vector<model::PixelPoint>& suggested,
                                 std::size_t which) const {
  for (const auto& p : suggested) ui.ask(PlacePoint{p});
  return which;
}

void BenchView::press(const Ui& ui, ImVec2 mouse) {
  const BenchState& bench = ui.desk.bench();
  const model::PixelPoint p = camera_.image_from_screen(of_mouse(mouse));
  if (bench.tool == Tool::Look || !ui.editable) {
    if (bench.report)
      for (std::size_t i = 0; i < bench.report->holes.size(); ++i)
        if (encloses(bench.report->holes[i].outline, p)) ui.ask(ChooseHole{i});
    panning_ = true;
    return;
  }
  if (const auto near = point_near(ui, p)) {
    ui.ask(GrabPoint{*near});
    held_ = near;
    return;
  }
  const auto suggested = suggestions(ui);
  for (std::size_t i = 0; i < suggested.size(); ++i)
    if (distance(at(camera_.screen_from_image(suggested[i])), mouse) <=
        static_cast<double>(ui.px(kGrabRadius))) {
      held_ = take_over(ui, suggested, i);
      ui.ask(GrabPoint{*held_, true});
      return;
    }
  const std::size_t placed = points_of(bench.draft, bench.tool).size();
  if (placed >= most_points(bench.tool)) {
    panning_ = true;
    return;
  }
  ui.ask(PlacePoint{p, placing_px()});
  ui.ask(GrabPoint{placed, true});
  held_ = placed;
}

void BenchView::use_mouse(const Ui& ui) {
  const ImGuiIO& io = ImGui::GetIO();
  const BenchState& bench = ui.desk.bench();
  if (bench.load != BenchState::Load::Ready) return;
  if (hovered_ && io.MouseWheel != 0)
    camera_.zoom_around(of_mouse(io.MousePos), std::pow(1.2, static_cast<double>(io.MouseWheel)));
  if (ImGui::IsItemActivated() && ImGui::IsMouseDown(ImGuiMouseButton_Left)) press(ui, io.MousePos);
  if (ImGui::IsItemActivated() && !ImGui::IsMouseDown(ImGuiMouseButton_Left)) panning_ = true;
  const bool moved = io.MouseDelta.x != 0 || io.MouseDelta.y != 0;
  if (ImGui::IsItemActive() && moved && panning_)
    camera_.pan(static_cast<double>(io.MouseDelta.x), static_cast<double>(io.MouseDelta.y));
  if (held_ && moved && ImGui::IsMouseDown(ImGuiMouseButton_Left))
    ui.ask(MovePoint{*held_, camera_.image_from_screen(of_mouse(io.MousePos)), placing_px()});
  if (!ImGui::IsItemActive()) {
    if (held_) {
      ui.ask(DropPoint{});
      const bool scale_placed = bench.tool == Tool::Scale && bench.draft.scale.size() == 2;
      if (scale_placed && !bench.draft.scale_mm) ui.focus = "bench.scale_length";
    }
    held_.reset();
    panning_ = false;
  }
  if (hovered_ && bench.tool != Tool::Look) ImGui::SetMouseCursor(ImGuiMouseCursor_None);
  if (hovered_ && bench.tool != Tool::Look) {
    const ImVec2 m = io.MousePos;
    const float r = ui.px(9);
    ImDrawList& list = *ImGui::GetForegroundDrawList();
    for (const auto& [ink, width] :
         {std::pair{ui.colours.halo.u32(0.7F), 3.0F}, std::pair{ImU32(0xFFFFFFFF), 1.0F}}) {
      list.AddLine({m.x - r, m.y}, {m.x - ui.px(3), m.y}, ink, width);
      list.AddLine({m.x + ui.px(3), m.y}, {m.x + r, m.y}, ink, width);
      list.AddLine({m.x, m.y - r}, {m.x, m.y - ui.px(3)}, ink, width);
      list.AddLine({m.x, m.y + ui.px(3)}, {m.x, m.y + r}, ink, width);
    }
  }
}

void BenchView::use_keyboard(const Ui& ui) {
  const ImGuiIO& io = ImGui::GetIO();
  const BenchState& bench = ui.desk.bench();
  if (io.WantTextInput || io.KeyCtrl || bench.load != BenchState::Load::Ready) return;
  const double step = static_cast<double>(io.KeyShift ? ui.px(1) : ui.px(8));
  double dx = 0;
  double dy = 0;
  if (pressed(Key::Left, true)) dx -= step;
  if (pressed(Key::Right, true)) dx += step;
  if (pressed(Key::Up, true)) dy -= step;
  if (pressed(Key::Down, true)) dy += step;
  if (bench.tool == Tool::Look) {
    if (dx != 0 || dy != 0) camera_.pan(-dx * 6, -dy * 6);
    return;
  }
  if (dx != 0 || dy != 0) move_pen(ui, dx, dy);
  if (pressed(Key::Space)) press_pen(ui);
  if (pressed(Key::Backspace)) ui.ask(TakeBackPoint{});
}

void BenchView::move_pen(const Ui& ui, double dx, double dy) {
  if (!pen_) pen_ = camera_.image_from_screen(camera_.middle_of_canvas());
  pen_ = model::PixelPoint{std::clamp(pen_->x + dx / camera_.zoom(), 0.0, ui.desk.bench().width_px - 1.0),
                           std::clamp(pen_->y + dy / camera_.zoom(), 0.0, ui.desk.bench().height_px - 1.0)};
  if (pen_holds_) ui.ask(MovePoint{*pen_holds_, *pen_, placing_px()});
}

// Space does with the pen what a press does with the mouse: pick up what is near, put down, or place.
void BenchView::press_pen(const Ui& ui) {
  if (!pen_) pen_ = camera_.image_from_screen(camera_.middle_of_canvas());
  if (pen_holds_) {
    ui.ask(DropPoint{});
    pen_holds_.reset();
    return;
  }
  if (const auto near = point_near(ui, *pen_)) {
    pen_ = points_of(ui.desk.bench().draft, ui.desk.bench().tool)[*near];
    ui.ask(GrabPoint{*near});
    pen_holds_ = near;
    return;
  }
  ui.ask(PlacePoint{*pen_, placing_px()});
  const bool last_of_scale = ui.desk.bench().tool == Tool::Scale && ui.desk.bench().draft.scale.size() == 1;
  if (last_of_scale) ui.focus = "bench.scale_length";
}

}  // namespace spile::gui
