// Writes a finished document beside its place and renames it there, so that a reader never meets half a file
// and a failed write leaves what was there before.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>

#include "outcome/outcome.hpp"

namespace spile::report {

// Errors: StorageFull, StorageReadOnly, FileUnreadable (the folder cannot be written to), each naming `file`.
[[nodiscard]] Result<void> write_whole(const std::filesystem::path& file,
                                       std::span<const std::uint8_t> bytes);

}  // namespace spile::report
