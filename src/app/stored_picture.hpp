// A photo of the logbook decoded from its original. For this folder only.
#pragma once

#include <filesystem>
#include <string>

#include "vision/picture.hpp"

namespace spile::app {

// `name` is what the person calls it. Errors: those of reading and decoding, in words about the logbook.
[[nodiscard]] Result<vision::Picture> decode_stored(const std::filesystem::path& file,
                                                    const std::string& name);

}  // namespace spile::app
