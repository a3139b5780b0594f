// Use cases on cameras: calibrate a lens from photos of the printed board and keep the profile in the
// logbook, where every later measurement of a photo by that camera at that focal length finds it. What was
// measured before stays as it was until it is measured again.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "app/jobs.hpp"
#include "app/session.hpp"
#include "vision/calibrate.hpp"

namespace spile::app {

struct CalibrationOutcome {
  vision::Calibration calibration;  // what each photo gave; `refused` says why there is no profile
  std::optional<model::CameraProfileId> stored;
  bool replaced = false;       // an earlier profile of the same camera, focal length and picture size
  std::optional<Error> error;  // not stored, or stopped
};

// Folders are walked as importing walks them. The photos are only read, not taken in. A photo that cannot be
// decoded is left out and says so. One edit. `progress` may be null. Runs on the caller's thread.
[[nodiscard]] CalibrationOutcome calibrate_camera(Session& session,
                                                  const std::vector<std::filesystem::path>& photos,
                                                  const vision::BoardSize& board,
                                                  Progress* progress = nullptr);

// The same as a job: decoding and fitting on the worker, storing on the main thread.
std::uint64_t start_calibration(Jobs& jobs, Session& session, std::vector<std::filesystem::path> photos,
                                vision::BoardSize board, std::function<void(CalibrationOutcome)> on_finished);

// Errors: BadInput, when it has too few or too many corners to be used.
[[nodiscard]] Result<void> check_board(const vision::BoardSize& board);
// The board to print, as a PDF. Errors: StorageFull, StorageReadOnly, FileUnreadable.
[[nodiscard]] Result<void> write_board(const std::filesystem::path& file, bool letter);

// "4.3 mm (35 mm equivalent), 3264 x 2448 px": which photos a profile is for, beside the camera's name.
[[nodiscard]] std::string optics_words(const model::CameraProfile& profile);
// "-1.2 ± 0.3 px": how far the lens moves a point at the picture's corner, out (+) or in (-), with 95 %.
[[nodiscard]] std::string corner_words(const model::CameraProfile& profile);

}  // namespace spile::app
