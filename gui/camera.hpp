// Where a photo lies on the screen: zoom and pan, and the way from picture to screen and back.
// Picture points are upright full-resolution pixels with the origin at the centre of the top-left pixel;
// screen points are window pixels. Pure arithmetic, no drawing.
#pragma once

#include "model/measurement.hpp"

namespace spile::gui {

struct ScreenPoint {
  double x = 0, y = 0;
};

class Camera {
 public:
  static constexpr double kMaxZoom = 32.0;  // screen pixels per picture pixel

  // The canvas the picture is seen in, and the picture's size. Keeps what lies in the middle in the middle;
  // a fitted picture stays fitted.
  void set_canvas(ScreenPoint top_left, double width, double height);
  void set_picture(int width_px, int height_px);

  void fit();
  void one_to_one();                                   // one picture pixel is one screen pixel
  void zoom_around(ScreenPoint fixed, double factor);  // `fixed` stays over the same picture point
  void zoom_middle(double factor);
  void pan(double dx, double dy);  // in screen pixels
  void look_at(model::PixelPoint middle, double zoom);

  [[nodiscard]] ScreenPoint screen_from_image(model::PixelPoint p) const;
  [[nodiscard]] model::PixelPoint image_from_screen(ScreenPoint p) const;
  [[nodiscard]] double zoom() const { return zoom_; }  // screen pixels per picture pixel
  [[nodiscard]] bool fitted() const { return fitted_; }
  [[nodiscard]] ScreenPoint middle_of_canvas() const;

 private:
  [[nodiscard]] double fit_zoom() const;
  void keep_in_view();

  ScreenPoint top_left_;
  double canvas_width_ = 1, canvas_height_ = 1;
  int width_px_ = 0, height_px_ = 0;
  model::PixelPoint middle_;  // the picture point in the middle of the canvas
  double zoom_ = 1;
  bool fitted_ = true;
};

}  // namespace spile::gui
