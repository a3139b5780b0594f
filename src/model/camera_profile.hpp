// A lens as photos of a printed board calibrated it: one camera at one focal length and one picture size.
// Pixels are of the picture as the camera stores it (EXIF orientation not applied), origin at the centre of
// the top-left pixel. Radial model: x_seen = x (1 + k1 r^2 + k2 r^4) about the principal point, in units of
// the focal length. All u are standard uncertainties.
#pragma once

#include <optional>
#include <string>

#include "model/ids.hpp"

namespace spile::model {

struct CameraProfile {
  CameraProfileId id;
  std::string camera;                // make and model from EXIF, never empty
  std::optional<double> focal_mm;    // from EXIF; at least one of the two is known
  std::optional<double> focal_35mm;  // 35 mm equivalent, from EXIF
  double digital_zoom = 1;           // from EXIF; 1: none
  int width_px = 0, height_px = 0;

  double focal_px = 0, u_log_focal = 0;
  double k1 = 0, u_k1 = 0;
  double k2 = 0, u_k2 = 0;
  double k_correlation = 0;  // between k1 and k2, -1..1
  double centre_x_px = 0, centre_y_px = 0, u_centre_px = 0;

  int photos = 0;     // used
  double rms_px = 0;  // of the board's corners about the model
  double reach = 0;   // how far out corners were seen: share of the way to the picture's corner, 0..1
  std::string date;   // of the calibration, civil, ISO 8601
  std::string note;   // which photos were left out and why
};

}  // namespace spile::model
