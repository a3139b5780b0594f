// Undo and redo. Each edit is stored as changesets of the session extension of SQLite: the exact rows before
// and after, so that playing them backwards is undo and forwards is redo, also after a restart.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/history.hpp"

struct sqlite3_session;

namespace spile::db {

// Records the changes of the undoable tables of `db` while it lives.
class Recorder {
 public:
  explicit Recorder(SQLite::Database& db);
  ~Recorder();
  Recorder(const Recorder&) = delete;
  Recorder& operator=(const Recorder&) = delete;
  [[nodiscard]] std::string changeset() const;  // empty: nothing changed

 private:
  SQLite::Database& db_;
  sqlite3_session* session_ = nullptr;
};

// All inside the caller's transaction. `steps`: one changeset per record saved, in order.
void append_to_journal(SQLite::Database& db, const std::string& name, const std::vector<std::string>& steps);
[[nodiscard]] std::optional<std::string> undo_name(const SQLite::Database& db);
[[nodiscard]] std::optional<std::string> redo_name(const SQLite::Database& db);
[[nodiscard]] std::vector<model::PastEdit> history(const SQLite::Database& db);  // oldest first
void undo_last(SQLite::Database& db);  // throws a Fault NotFound when there is nothing to undo
void redo_next(SQLite::Database& db);
// The tables that undo covers, what is referred to before what refers to it.
[[nodiscard]] std::span<const char* const> undoable_tables();
// Every edit ever recorded, oldest first, and whether it is done, or undone by now.
struct RecordedChange {
  std::int64_t id = 0;
  std::string name, made_at;
  bool done = false;
  std::vector<std::string> steps;
};
[[nodiscard]] std::vector<RecordedChange> recorded_changes(const SQLite::Database& db);
// Takes back the newest of them that is done, without recording that.
void play_back(SQLite::Database& db, const RecordedChange& change);
// Every record that undo covers, as text; equal exactly when the records are equal.
[[nodiscard]] std::string undoable_state(const SQLite::Database& db);

}  // namespace spile::db
