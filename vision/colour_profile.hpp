// Colours along a normal, in linear light, and the mixture of them in which a given step shows best: a dark
// blue hull and the brown dark behind a bore differ in colour only.
#pragma once

#include <array>

#include "vision/edge_profile.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {

using Colour = std::array<float, 3>;  // red, green, blue light, 0..1

// Bilinear reading of luma and chroma.
class ColourView {
 public:
  explicit ColourView(const Picture::Pixels& pixels) : grey_(pixels.grey), cb_(pixels.cb), cr_(pixels.cr) {}
  [[nodiscard]] bool holds(double x, double y) const {
    return x >= 1 && y >= 1 && x < grey_.cols - 3 && y < grey_.rows - 3;
  }
  // As stored, luma 0..255 and chroma about 0; undefined outside holds().
  [[nodiscard]] float luma_at(float x, float y) const;
  struct Chroma {
    float cb = 0, cr = 0;
  };
  [[nodiscard]] Chroma chroma_at(float x, float y) const;
  // Luma, Cb, Cr.
  [[nodiscard]] std::array<float, 3> ycc_at(double x, double y) const;

 private:
  cv::Mat grey_, cb_, cr_;
};

struct ColourProfile {
  double first = 0, step = 0.5;
  std::vector<Colour> light;
  std::vector<Colour> coded;  // the same in coded values, 0..255
  [[nodiscard]] double t(std::size_t i) const { return first + step * static_cast<double>(i); }
};

// As sample_profile, from `from` to `to` along the normal; chroma, which files keep at half the resolution,
// is read on the middle line. Empty when any of it falls outside the picture.
[[nodiscard]] ColourProfile sample_colours(const ColourView& view, cv::Point2d foot, cv::Point2d normal,
                                           double from, double to, double step = 0.5, int across = 2);

// The mixture of the three colours in which the step from the mean colour just before `at` to that just after
// stands out most from even noise in coded values. Where luma alone shows it well it is luma's mixture,
// because files keep chroma at half the resolution. Means are taken over `reach` pixels either side, leaving
// out `gap`.
[[nodiscard]] Profile best_mixture(const ColourProfile& colours, double at, double reach = 4, double gap = 1);

}  // namespace spile::vision
