// Two photos of one opening from two surveys: which ones, beside or over each other, what has changed, and a
// crack traced by hand.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "gui/camera.hpp"
#include "gui/comparing.hpp"
#include "gui/ui.hpp"
#include "gui/widgets/photo_canvas.hpp"

namespace spile::gui {

class CompareView {
 public:
  void draw(const Ui& ui);
  void zoom(Zoom zoom);
  // When the blink turns the next time; none where nothing blinks.
  [[nodiscard]] std::optional<double> seconds_to_blink() const { return to_blink_; }

 private:
  struct Canvas {
    vision::Season season;
    ImVec2 min, max;
    Camera camera;
    bool hovered = false;
  };
  void draw_head(const Ui& ui);
  void draw_photo_list(const Ui& ui, vision::Season season, float width);
  void draw_ways(const Ui& ui);
  void draw_canvases(const Ui& ui, ImVec2 size);
  void draw_over_each_other(const Ui& ui);
  [[nodiscard]] Canvas canvas(const Ui& ui, const char* name, vision::Season season);
  [[nodiscard]] Camera camera_on(const CompareState& state, vision::Season season, ImVec2 min,
                                 ImVec2 size) const;
  void draw_photo(const Ui& ui, const Canvas& on, vision::Season of) const;
  void draw_changes(const Ui& ui, const Canvas& on, bool with_sizes) const;
  void draw_traces(const Ui& ui, const Canvas& on) const;
  void draw_kept_trace(const Ui& ui, const Canvas& on) const;
  void draw_caption(const Ui& ui, const Canvas& on, vision::Season of) const;
  void draw_wipe(const Ui& ui, const Canvas& on);
  void draw_bar(const Ui& ui, const Canvas& on) const;
  void use_mouse(const Ui& ui, const Canvas& on);
  void press(const Ui& ui, const Canvas& on, ImVec2 mouse);
  void use_keyboard(const Ui& ui);
  [[nodiscard]] std::optional<std::size_t> trace_point_near(const Ui& ui, const Canvas& on,
                                                            ImVec2 mouse) const;
  // How well a hand places a point at this zoom, pixels of the photo itself.
  [[nodiscard]] double placing_px(const CompareState& state, const Canvas& on, model::PixelPoint drawn) const;
  [[nodiscard]] bool blink_shows_earlier(const CompareState& state);

  void draw_panel(const Ui& ui);
  void draw_working(const Ui& ui);
  void draw_found(const Ui& ui);
  void draw_change_row(const Ui& ui, std::size_t index);
  void draw_tracing(const Ui& ui);
  void look_at_change(const Ui& ui, std::size_t index);

  Camera camera_;  // over the later photo; the other follows it
  std::int64_t shown_ = -1;
  std::optional<std::pair<vision::Season, std::size_t>> held_;
  std::optional<vision::Season> panning_;
  bool wiping_ = false;
  vision::Season hand_ = vision::Season::Later;  // on which Backspace takes a point back
  std::optional<double> to_blink_;
  std::optional<Showing> focused_for_;  // the keyboard went to the photos when they came to be shown so
};

}  // namespace spile::gui
