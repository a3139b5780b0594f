// The command line `spile`, apart from the process around it.
#pragma once

#include <iosfwd>

namespace spile::app::cli {

// Data goes to `out`, messages for people to `err`. Returns the exit status: 0 done, 1 an error, 2 wrong
// usage, 3 a photo was refused.
[[nodiscard]] int run(int argc, const char* const* argv, std::ostream& out, std::ostream& err);

}  // namespace spile::app::cli
