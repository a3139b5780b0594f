// Where an edge lies along a normal, to a few hundredths of a pixel: an error-function step fitted in linear
// light, residuals weighed as coded values. All lengths in pixels, t runs along the normal from its foot.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/light.hpp"

namespace spile::vision {

struct Profile {
  double first = 0;  // t of light[0]
  double step = 0.5;
  std::vector<float> light;
  // Coded values per unit of light at each sample, where it is not simply the slope of the tone curve at that
  // light: a mixture of colours has its own. Empty otherwise.
  std::vector<float> weight;
  [[nodiscard]] double t(std::size_t i) const { return first + step * static_cast<double>(i); }
  [[nodiscard]] double last() const { return light.empty() ? first : t(light.size() - 1); }
};

// Light along `normal` (a unit vector) from -half_length to +half_length, averaged over `across` + 1 parallel
// lines one pixel apart. Empty when any of it falls outside the picture.
[[nodiscard]] Profile sample_profile(const LightView& view, cv::Point2d foot, cv::Point2d normal,
                                     double half_length, double step = 0.5, int across = 2);

struct EdgeFit {
  double offset = 0;  // t of the edge
  double blur = 0;    // standard deviation of the step's blur
  double before = 0;  // light on the side of smaller t
  double after = 0;
  double noise = 0;  // root mean square residual, coded values
  double u = 0;      // standard uncertainty of `offset` from that noise alone
  double step = 0;   // coded values, signed: after - before
  [[nodiscard]] double contrast() const { return step; }
};

// Fits the step nearest to `start` using samples within `window` of it. Nothing when there is no step, or it
// runs out of the window, or the contrast is below `min_contrast` coded values.
[[nodiscard]] std::optional<EdgeFit> fit_edge(const Profile& profile, double start, double window = 4,
                                              double min_contrast = 8);

struct EdgePeak {
  double offset = 0;
  double contrast = 0;  // coded values across the step, signed: after - before
};

// Every step of at least `min_contrast` coded values, in order of t; good to half a pixel, to start fit_edge.
[[nodiscard]] std::vector<EdgePeak> edge_peaks(const Profile& profile, double min_contrast);

}  // namespace spile::vision
