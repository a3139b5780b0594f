// The event loop: one window, drawn when something happens.
#pragma once

#include <string>

#include "outcome/outcome.hpp"

namespace spile::gui {

struct WindowOptions {
  std::string logbook;  // empty: the start view
};

// Returns when the window is closed.
[[nodiscard]] Result<void> show_window(const WindowOptions& options);

}  // namespace spile::gui
