#include "db/journal.hpp"

#include <fmt/format.h>
#include <sqlite3.h>

#include <algorithm>
#include <array>

#include "db/fault.hpp"
#include "db/sql.hpp"
#include "db/text.hpp"

namespace spile::db {
namespace {

// photo is left out: an original, once acknowledged, stays.
// What is referred to comes before what refers to it.
constexpr std::array kUndoable{"vessel",    "opening",     "fitting",       "survey", "observation",
                               "photo_use", "measurement", "budget_term",   "run",    "run_part",
                               "bilge",     "yard_table",  "camera_profile"};

void expect_ok(SQLite::Database& db, int code) {
  if (code != SQLITE_OK) throw SQLite::Exception(db.getHandle(), code);
}

// Every change since went through the journal, so a row that does not match was changed by something else.
int refuse_conflict(void* /*context*/, int /*kind*/, sqlite3_changeset_iter* /*row*/) {
  return SQLITE_CHANGESET_ABORT;
}

enum class Direction { Back, Forth };

void play(SQLite::Database& db, std::string& changeset, Direction direction) {
  const int flags = direction == Direction::Back ? SQLITE_CHANGESETAPPLY_INVERT : 0;
  const int code =
      sqlite3changeset_apply_v2(db.getHandle(), static_cast<int>(changeset.size()), changeset.data(), nullptr,
                                refuse_conflict, nullptr, nullptr, nullptr, flags);
  if (code == SQLITE_ABORT) {
    raise(ErrorCode::Refused,
          direction == Direction::Back
              ? "This cannot be undone: the records it changed were changed by another program since."
              : "This cannot be redone: the records it changed were changed by another program since.",
          "Correct the entry by hand; nothing was changed now.");
  }
  expect_ok(db, code);
}

std::vector<std::string> steps_of(const SQLite::Database& db, std::int64_t entry) {
  SQLite::Statement row(db, "SELECT changeset FROM journal_step WHERE journal_id = ? ORDER BY step");
  row.bind(1, entry);
  std::vector<std::string> steps;
  while (row.executeStep()) {
    const auto blob = row.getColumn(0);
    steps.emplace_back(static_cast<const char*>(blob.getBlob()), static_cast<std::size_t>(blob.getBytes()));
  }
  return steps;
}

constexpr const char* kLastDone =
    "SELECT id, name FROM journal WHERE state = 'done' ORDER BY id DESC LIMIT 1";
constexpr const char* kNextUndone = "SELECT id, name FROM journal WHERE state = 'undone' ORDER BY id LIMIT 1";

std::optional<std::string> name_of(const SQLite::Database& db, const char* query) {
  SQLite::Statement row(db, query);
  if (!row.executeStep()) return std::nullopt;
  return row.getColumn(1).getString();
}

void set_state(SQLite::Database& db, std::int64_t entry, const char* state) {
  run(db, "UPDATE journal SET state = ? WHERE id = ?", {std::string(state), entry});
}

std::string shown_value(const SQLite::Column& column) {
  if (column.isNull()) return "NULL";
  if (column.isFloat()) return fmt::format("{}", column.getDouble());
  if (column.isInteger()) return fmt::format("{}", column.getInt64());
  const auto text = column.getString();
  return fmt::format("{}:{}", text.size(), text);
}

}  // namespace

Recorder::Recorder(SQLite::Database& db) : db_(db) {
  expect_ok(db, sqlite3session_create(db.getHandle(), "main", &session_));
  for (const auto* table : kUndoable) {
    if (const int code = sqlite3session_attach(session_, table); code != SQLITE_OK) {
      sqlite3session_delete(session_);
      throw SQLite::Exception(db.getHandle(), code);
    }
  }
}

Recorder::~Recorder() {
  sqlite3session_delete(session_);
}

std::string Recorder::changeset() const {
  int size = 0;
  void* bytes = nullptr;
  expect_ok(db_, sqlite3session_changeset(session_, &size, &bytes));
  std::string changeset(static_cast<const char*>(bytes), static_cast<std::size_t>(size));
  sqlite3_free(bytes);
  return changeset;
}

void append_to_journal(SQLite::Database& db, const std::string& name, const std::vector<std::string>& steps) {
  db.exec("UPDATE journal SET state = 'abandoned' WHERE state = 'undone'");
  const auto entry =
      insert_row(db, "journal", {{"name", name}, {"made_at_utc", utc_now()}, {"state", std::string("done")}});
  SQLite::Statement insert(db, "INSERT INTO journal_step (journal_id, step, changeset) VALUES (?, ?, ?)");
  std::int64_t step = 0;
  for (const auto& changeset : steps) {
    insert.bind(1, entry);
    insert.bind(2, step++);
    insert.bind(3, changeset.data(), static_cast<int>(changeset.size()));
    insert.exec();
    insert.reset();
  }
}

std::optional<std::string> undo_name(const SQLite::Database& db) {
  return name_of(db, kLastDone);
}

std::optional<std::string> redo_name(const SQLite::Database& db) {
  return name_of(db, kNextUndone);
}

std::vector<model::PastEdit> history(const SQLite::Database& db) {
  SQLite::Statement row(
      db, "SELECT name, made_at_utc, state FROM journal WHERE state <> 'abandoned' ORDER BY id");
  std::vector<model::PastEdit> edits;
  while (row.executeStep())
    edits.push_back({text_of(row, "name"), text_of(row, "made_at_utc"), text_of(row, "state") == "undone"});
  return edits;
}

void undo_last(SQLite::Database& db) {
  const auto entry = number(db, kLastDone);
  if (entry == 0) raise(ErrorCode::NotFound, "There is nothing to undo.");
  play_back(db, {entry, {}, {}, true, steps_of(db, entry)});
  set_state(db, entry, "undone");
}

void redo_next(SQLite::Database& db) {
  const auto entry = number(db, kNextUndone);
  if (entry == 0) raise(ErrorCode::NotFound, "There is nothing to redo.");
  for (auto& step : steps_of(db, entry)) play(db, step, Direction::Forth);
  set_state(db, entry, "done");
}

std::span<const char* const> undoable_tables() {
  return kUndoable;
}

std::vector<RecordedChange> recorded_changes(const SQLite::Database& db) {
  SQLite::Statement row(db, "SELECT id, name, made_at_utc, state FROM journal ORDER BY id");
  std::vector<RecordedChange> changes;
  while (row.executeStep()) {
    changes.push_back({int_of(row, "id"),
                       text_of(row, "name"),
                       text_of(row, "made_at_utc"),
                       text_of(row, "state") == "done",
                       {}});
  }
  for (auto& change : changes) change.steps = steps_of(db, change.id);
  return changes;
}

void play_back(SQLite::Database& db, const RecordedChange& change) {
  auto steps = change.steps;
  std::reverse(steps.begin(), steps.end());
  for (auto& step : steps) play(db, step, Direction::Back);
}

std::string undoable_state(const SQLite::Database& db) {
  std::string text;
  for (const auto* table : kUndoable) {
    text += fmt::format("{}\n", table);
    SQLite::Statement row(db, fmt::format("SELECT * FROM {} ORDER BY 1, 2", table));
    while (row.executeStep()) {
      for (int i = 0; i < row.getColumnCount(); ++i) {
        text += fmt::format(" {}", shown_value(row.getColumn(i)));
      }
      text += '\n';
    }
  }
  return text;
}

}  // namespace spile::db
