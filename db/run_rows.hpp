// Runs with their parts, and the bilge, as rows. Throws as records.hpp and edit.cpp do; inside the caller's
// transaction.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <optional>
#include <vector>

#include "model/bilge.hpp"
#include "model/run.hpp"

namespace spile::db {

[[nodiscard]] std::vector<model::Run> read_runs(const SQLite::Database& db);  // in the order they were added
std::int64_t write_run(SQLite::Database& db, const model::Run& run);
// Refused while other runs join it.
void remove_run(SQLite::Database& db, model::RunId run);
// Runs of other openings that joined one of these no longer do.
void remove_runs_of(SQLite::Database& db, model::OpeningId opening);

[[nodiscard]] model::Bilge read_bilge(const SQLite::Database& db);
void write_bilge(SQLite::Database& db, const model::Bilge& bilge);

}  // namespace spile::db
