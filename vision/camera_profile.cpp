#include "vision/camera_profile.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "vision/plane.hpp"
#include "vision/turn.hpp"

namespace spile::vision {
namespace {

// Lenses of phones float: the stabiliser moves the axis, and focusing changes the distance of the lens from
// the sensor. Neither is in EXIF, so a profile is trusted no further than this (common practice).
constexpr double kAxisFloat = 0.001;  // of the diagonal
constexpr double kK1Float = 0.003, kK2Float = 0.003;
// A thin lens focused at d has its sensor at f (1 + f / d). Between 200 and 600 mm, where boards and hulls
// are photographed, that is f/300 mm from end to end, evenly likely: 0.001 f/mm as a standard uncertainty.
constexpr double kFocusPerMm = 0.001;
constexpr double kUnknownFocus = 0.006, kLargestFocus = 0.025;

bool same(const std::optional<double>& a, const std::optional<double>& b) {
  if (!a || !b) return a.has_value() == b.has_value();
  return std::abs(*a - *b) <= 0.005 * *a;
}

// Whether the file lies as the camera stores it. One turned upright by a program no longer says which way.
bool lies_as_calibrated(const model::CameraProfile& profile, const PictureInfo& info) {
  const StoredSize size = stored_size(info);
  return size.width_px == profile.width_px && size.height_px == profile.height_px;
}

}  // namespace

StoredSize stored_size(const PictureInfo& info) {
  StoredSize size{info.width_px, info.height_px};
  if (turn_of(info.exif_orientation).transpose) std::swap(size.width_px, size.height_px);
  return size;
}

bool same_optics(const PictureInfo& a, const PictureInfo& b) {
  return a.camera == b.camera && same(a.focal_mm, b.focal_mm) && same(a.focal_35mm, b.focal_35mm) &&
         same(a.digital_zoom, b.digital_zoom);
}

bool fits(const model::CameraProfile& profile, const PictureInfo& info) {
  PictureInfo calibrated;
  calibrated.camera = profile.camera;
  calibrated.focal_mm = profile.focal_mm;
  calibrated.focal_35mm = profile.focal_35mm;
  calibrated.digital_zoom = profile.digital_zoom;
  if (info.camera.empty() || !same_optics(info, calibrated)) return false;
  return std::minmax(info.width_px, info.height_px) == std::minmax(profile.width_px, profile.height_px);
}

const model::CameraProfile* fitting_profile(const std::vector<model::CameraProfile>& profiles,
                                            const PictureInfo& info) {
  const model::CameraProfile* best = nullptr;
  for (const auto& profile : profiles) {
    if (fits(profile, info) && (best == nullptr || profile.date >= best->date)) best = &profile;
  }
  return best;
}

CameraPrior calibrated_prior(const model::CameraProfile& profile, const PictureInfo& info) {
  CameraPrior prior;
  const double diagonal = std::hypot(profile.width_px, profile.height_px);
  const double focus =
      profile.focal_mm ? std::min(kLargestFocus, kFocusPerMm * *profile.focal_mm) : kUnknownFocus;
  prior.focal_px = profile.focal_px;
  prior.u_log_focal = std::hypot(profile.u_log_focal, focus);
  prior.focal_from_exif = true;
  prior.k1 = profile.k1;
  prior.k2 = profile.k2;
  prior.u_k1 = std::hypot(profile.u_k1, kK1Float);
  prior.u_k2 = std::hypot(profile.u_k2, kK2Float);
  prior.k_correlation = profile.k_correlation * profile.u_k1 * profile.u_k2 / (prior.u_k1 * prior.u_k2);
  Point2 offset(profile.centre_x_px - 0.5 * (profile.width_px - 1),
                profile.centre_y_px - 0.5 * (profile.height_px - 1));
  const Point2 middle(0.5 * (info.width_px - 1), 0.5 * (info.height_px - 1));
  prior.u_centre = std::hypot(profile.u_centre_px, kAxisFloat * diagonal);
  if (lies_as_calibrated(profile, info)) {
    turn_upright(turn_of(info.exif_orientation), offset.x(), offset.y());
    prior.centre = middle + offset;
  } else {
    prior.centre = middle;
    prior.u_centre = std::hypot(prior.u_centre, offset.norm() / M_SQRT2);
  }
  prior.lens_term = "lens: calibrated " + profile.date;
  return prior;
}

std::string lens_words(const PictureInfo& info) {
  return info.lens ? "calibrated " + info.lens->date : "assumed";
}

Displacement displacement_at(const model::CameraProfile& profile, double share) {
  const double half = 0.5 * std::hypot(profile.width_px, profile.height_px);
  const double r = share * half / profile.focal_px, r2 = r * r;
  const double a = r2 * profile.u_k1, b = r2 * r2 * profile.u_k2;
  const double variance = a * a + b * b + 2 * profile.k_correlation * a * b;
  return {share * half * r2 * (profile.k1 + r2 * profile.k2),
          share * half * std::sqrt(std::max(0.0, variance))};
}

}  // namespace spile::vision
