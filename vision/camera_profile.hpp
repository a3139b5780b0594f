// Which calibrated profile a picture may be measured with, and what the profile then says of its lens.
#pragma once

#include <string>
#include <vector>

#include "model/camera_profile.hpp"
#include "vision/picture.hpp"

namespace spile::vision {

struct CameraPrior;

struct StoredSize {
  int width_px = 0, height_px = 0;  // EXIF orientation not applied
};
[[nodiscard]] StoredSize stored_size(const PictureInfo& info);
// By EXIF: the same camera, focal length and digital zoom.
[[nodiscard]] bool same_optics(const PictureInfo& a, const PictureInfo& b);

// Same camera, focal length and digital zoom by EXIF, and the very same number of pixels, upright or on its
// side: a copy of another size cannot be told from a cut-out, and a cut-out has its axis elsewhere.
[[nodiscard]] bool fits(const model::CameraProfile& profile, const PictureInfo& info);
// The newest that fits; null when none does.
[[nodiscard]] const model::CameraProfile* fitting_profile(const std::vector<model::CameraProfile>& profiles,
                                                          const PictureInfo& info);

// For a picture the profile fits. Wider than the profile by what changes between two photos of one camera.
[[nodiscard]] CameraPrior calibrated_prior(const model::CameraProfile& profile, const PictureInfo& info);

// "assumed" or "calibrated 2026-04-12".
[[nodiscard]] std::string lens_words(const PictureInfo& info);

// How far the lens moves a point out (> 0) or in, px, at a share of the way from the principal point to the
// picture's corner; and the standard uncertainty of that.
struct Displacement {
  double px = 0, u_px = 0;
};
[[nodiscard]] Displacement displacement_at(const model::CameraProfile& profile, double share);

}  // namespace spile::vision
