// A photo of the current survey by what a person calls it: its file name, or the start of its SHA-256.
#pragma once

#include <string>

#include "app/session.hpp"

namespace spile::app::cli {

// Errors: NotFound; BadInput when several fit.
[[nodiscard]] Result<PhotoView> stored_photo(const Session& session, const std::string& name);

}  // namespace spile::app::cli
