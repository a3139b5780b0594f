// A lens as pictures: how far it moves points from the middle to the corner, and where the board's corners
// were seen in a calibration, with what is left between seen and computed.
#pragma once

#include <vector>

#include "gui/ui.hpp"
#include "model/camera_profile.hpp"
#include "vision/calibrate.hpp"

namespace spile::gui {

// Displacement in px over the share of the way to the corner, with its 95 % band; beyond the reach it is
// dashed.
void distortion_plot(const Ui& ui, const model::CameraProfile& profile, ImVec2 size);

// The picture's frame with a dot for each corner and what is left as a line from it, drawn larger.
void residual_plot(const Ui& ui, const model::CameraProfile& profile,
                   const std::vector<vision::CalibrationPhoto>& photos, ImVec2 size);

}  // namespace spile::gui
