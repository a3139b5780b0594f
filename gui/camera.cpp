#include "gui/camera.hpp"

#include <algorithm>

namespace spile::gui {

void Camera::set_canvas(ScreenPoint top_left, double width, double height) {
  top_left_ = top_left;
  canvas_width_ = std::max(1.0, width);
  canvas_height_ = std::max(1.0, height);
  if (fitted_) fit();
}

void Camera::set_picture(int width_px, int height_px) {
  if (width_px == width_px_ && height_px == height_px_) return;
  width_px_ = width_px;
  height_px_ = height_px;
  fit();
}

double Camera::fit_zoom() const {
  if (width_px_ <= 0 || height_px_ <= 0) return 1;
  return std::min(canvas_width_ / width_px_, canvas_height_ / height_px_);
}

void Camera::fit() {
  fitted_ = true;
  zoom_ = fit_zoom();
  middle_ = {(width_px_ - 1) / 2.0, (height_px_ - 1) / 2.0};
}

void Camera::one_to_one() {
  zoom_middle(1.0 / zoom_);
}

void Camera::zoom_middle(double factor) {
  zoom_around(middle_of_canvas(), factor);
}

void Camera::zoom_around(ScreenPoint fixed, double factor) {
  const model::PixelPoint under = image_from_screen(fixed);
  const double smallest = std::min(fit_zoom(), 1.0);
  zoom_ = std::clamp(zoom_ * factor, smallest, kMaxZoom);
  fitted_ = false;
  const ScreenPoint middle = middle_of_canvas();
  middle_ = {under.x + (middle.x - fixed.x) / zoom_, under.y + (middle.y - fixed.y) / zoom_};
  keep_in_view();
}

void Camera::pan(double dx, double dy) {
  fitted_ = false;
  middle_ = {middle_.x - dx / zoom_, middle_.y - dy / zoom_};
  keep_in_view();
}

void Camera::look_at(model::PixelPoint middle, double zoom) {
  fitted_ = false;
  zoom_ = std::clamp(zoom, std::min(fit_zoom(), 1.0), kMaxZoom);
  middle_ = middle;
  keep_in_view();
}

// The middle of the canvas always shows a point of the picture, so that it cannot be lost.
void Camera::keep_in_view() {
  middle_.x = std::clamp(middle_.x, 0.0, std::max(0.0, width_px_ - 1.0));
  middle_.y = std::clamp(middle_.y, 0.0, std::max(0.0, height_px_ - 1.0));
}

ScreenPoint Camera::middle_of_canvas() const {
  return {top_left_.x + canvas_width_ / 2, top_left_.y + canvas_height_ / 2};
}

ScreenPoint Camera::screen_from_image(model::PixelPoint p) const {
  const ScreenPoint middle = middle_of_canvas();
  return {middle.x + (p.x - middle_.x) * zoom_, middle.y + (p.y - middle_.y) * zoom_};
}

model::PixelPoint Camera::image_from_screen(ScreenPoint p) const {
  const ScreenPoint middle = middle_of_canvas();
  return {middle_.x + (p.x - middle.x) / zoom_, middle_.y + (p.y - middle.y) / zoom_};
}

}  // namespace spile::gui
