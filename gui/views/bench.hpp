// The photo in hand: tools above, thumbnails beside, the picture with what was found over it, the result
// below.
#pragma once

#include <optional>
#include <string>

#include "gui/bench.hpp"
#include "gui/camera.hpp"
#include "gui/overlay.hpp"
#include "gui/ui.hpp"

namespace spile::gui {

class BenchView {
 public:
  void draw(const Ui& ui);
  void zoom(Zoom zoom);
  void focus() { wants_focus_ = true; }
  [[nodiscard]] const Camera& camera() const { return camera_; }

 private:
  void draw_tools(const Ui& ui);
  void draw_card_sizes(const Ui& ui);
  struct RoundRow {
    const char *label, *field, *use, *example, *why;
    bool flange = false;
  };
  static void draw_round_size(const Ui& ui, const RoundRow& row, std::string& typed);
  void draw_sheet_sizes(const Ui& ui);
  void draw_how(const Ui& ui);
  void draw_thumbs(const Ui& ui, ImVec2 size);
  void draw_thumb(const Ui& ui, const app::PhotoView& photo, float side);
  void draw_canvas(const Ui& ui, ImVec2 size);
  void draw_zoom(const Ui& ui) const;
  void draw_empty(const Ui& ui);
  void draw_overlay(const Ui& ui);
  void draw_label(const Ui& ui, const OverlayShape& shape, Colour colour) const;
  void draw_points(const Ui& ui);
  void draw_result(const Ui& ui);
  void draw_result_line(const Ui& ui);
  void draw_refusal(const Ui& ui);
  void draw_answer(const Ui& ui);
  void draw_discard(const Ui& ui);
  void draw_tool_line(const Ui& ui);
  void draw_filing(const Ui& ui, const app::PhotoView& photo);

  void use_mouse(const Ui& ui);
  void press(const Ui& ui, ImVec2 mouse);
  void use_keyboard(const Ui& ui);
  void press_pen(const Ui& ui);
  void move_pen(const Ui& ui, double dx, double dy);

  [[nodiscard]] std::optional<std::size_t> point_near(const Ui& ui, model::PixelPoint p) const;
  [[nodiscard]] Overlay overlay(const Ui& ui) const;
  // What may be taken hold of though nobody has placed it: points of the rim or the edge that was found.
  [[nodiscard]] std::vector<model::PixelPoint> suggestions(const Ui& ui) const;
  // Takes them over as placed points; returns the index of the one meant.
  [[nodiscard]] double placing_px() const;
  std::size_t take_over(const Ui& ui, const std::vector<model::PixelPoint>& suggested,
                        std::size_t which) const;

  Camera camera_;
  // Sizes of a reference, typed but not asked for yet.
  std::string card_marker_typed_, card_width_typed_, card_height_typed_;
  std::string disc_typed_, flange_typed_;
  std::string sheet_width_typed_, sheet_height_typed_;
  std::optional<model::PhotoUseId> shown_;
  std::optional<std::size_t> held_;  // the point being dragged
  bool panning_ = false;
  bool wants_focus_ = false;
  bool hovered_ = false;
  Tool last_tool_ = Tool::Look;
  // The keyboard's cursor in the picture.
  std::optional<model::PixelPoint> pen_;
  std::optional<std::size_t> pen_holds_;
  ImVec2 canvas_min_, canvas_max_;
};

}  // namespace spile::gui
