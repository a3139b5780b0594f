// The technical side of errors, kept in $XDG_STATE_HOME/spile/spile.log (three files of 1 MB in rotation) for
// whoever has to find out why. Never what is in a photo or a note. Silent until started.
#pragma once

#include <string_view>

#include "outcome/outcome.hpp"

namespace spile::app {

// Once, by the program's main. Does nothing when the environment says SPILE_LOG=off or the folder cannot be
// written.
void start_log(std::string_view program);

void log_error(const Error& error);

}  // namespace spile::app
