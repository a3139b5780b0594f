// Proves a logbook whole, or says sentence by sentence what is not.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>

#include "db/store.hpp"

namespace spile::db {

[[nodiscard]] VerifyReport verify_logbook(SQLite::Database& db, const std::filesystem::path& folder);

// Leftovers of writes that were cut off are removed; one sentence for each thing done or found.
[[nodiscard]] std::vector<std::string> tidy_vault(const SQLite::Database& db,
                                                  const std::filesystem::path& folder);

}  // namespace spile::db
