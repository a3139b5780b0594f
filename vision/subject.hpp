// What is measured in the plane of a reference; for this folder only.
//
// To add a subject: a header and a source of its own with a function that takes a Scene and answers
// Expected<...>, and one line in measure.cpp (measure_subject).
#pragma once

#include <vector>

#include "vision/measure.hpp"
#include "vision/picture_pixels.hpp"
#include "vision/reference.hpp"

namespace spile::vision {

struct Scene {
  const Picture::Pixels& pixels;
  const Request& request;
  const FoundReference& reference;
  const StopAsked& stop;

  [[nodiscard]] bool stopped() const { return stop && stop(); }
};

// Pixel points as the public header has them, and as the arithmetic wants them.
[[nodiscard]] inline Point2 point(const PixelPoint& p) {
  return {p.x, p.y};
}
[[nodiscard]] inline PixelPoint pixel(const Point2& p) {
  return {p.x(), p.y()};
}

}  // namespace spile::vision
