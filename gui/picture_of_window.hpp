// A picture of the window as it looks with a logbook open, made without a display.
#pragma once

#include <string>

#include "outcome/outcome.hpp"

namespace spile::gui {

struct PictureOptions {
  std::string file;  // PNG
  std::string size = "1280x800";
  float scale = 1;
  std::string theme = "light";
  std::string tag;  // of the opening to select; empty: the first
  std::string view = "desk";
  std::string logbook;
  std::string theirs;  // for the view "merge": somebody's copy
};

// Errors: BadInput, and what opening the logbook or writing the file may meet.
[[nodiscard]] Result<void> write_picture(const PictureOptions& options);

}  // namespace spile::gui
