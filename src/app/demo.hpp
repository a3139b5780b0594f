// The demo logbook: an invented vessel, built through the same use cases as anyone's own work, with her
// pictures measured while it is built.
#pragma once

#include <filesystem>

#include "app/jobs.hpp"
#include "outcome/outcome.hpp"

namespace spile::app {

// Makes the logbook in `folder` (".spile" is added when missing). `progress` may be null. Nothing is left
// behind when it fails or is cancelled. Errors: AlreadyExists, StorageReadOnly, StorageFull, Cancelled.
[[nodiscard]] Result<void> make_demo(const std::filesystem::path& folder, Progress* progress);

}  // namespace spile::app
