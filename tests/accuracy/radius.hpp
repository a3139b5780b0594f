// The radius of a flat disc in its true plane, by the engine and by fits that do without what the engine
// knows: errors in pixels.
#pragma once

#include <string>
#include <vector>

#include "flat_disc.hpp"

namespace spile::accuracy {

struct RadiusErrors {  // px, measured minus true
  double ours = 0;
  double tone_ignored = 0;  // the engine's own edge and circle, on coded values
  double fit_ellipse =
      0;  // cv::fitEllipse on the contour halfway between dark and light, laid into the plane
};

struct RadiusTrial {
  FlatDisc disc;
  RadiusErrors error;
};

[[nodiscard]] RadiusErrors radius_errors(const FlatDisc& disc);

// Radii of 60, 120, 200 and 400 px, tilts of 0 to 45 degrees, blurs of 0.8, 1.1 and 1.5 px, noise of 2 to 8
// coded values, JPEG of quality 85 to 95, `repeats` of each with other noise and another place.
[[nodiscard]] std::vector<RadiusTrial> radius_trials(int repeats);

struct RadiusSummary {
  double rms_px = 0, bias_px = 0;
  // Largest difference between the mean relative errors at two blurs, at any one radius, %.
  double bias_over_blur_pct = 0;
};
[[nodiscard]] RadiusSummary summary(const std::vector<RadiusTrial>& trials, double RadiusErrors::*method);

[[nodiscard]] std::string markdown(const std::vector<RadiusTrial>& trials);

}  // namespace spile::accuracy
