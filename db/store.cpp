#include "db/store.hpp"

#include <fmt/format.h>
#include <sqlite3.h>

#include "db/disk.hpp"
#include "db/edit.hpp"
#include "db/fault.hpp"
#include "db/journal.hpp"
#include "db/log_file.hpp"
#include "db/merge_start.hpp"
#include "db/merge_write.hpp"
#include "db/records.hpp"
#include "db/run_rows.hpp"
#include "db/sha256.hpp"
#include "db/sql.hpp"
#include "db/text.hpp"
#include "db/vault.hpp"
#include "db/verify.hpp"

namespace spile::db {

namespace fs = std::filesystem;

struct Store::Impl {
  fs::path folder;
  Access access = Access::ReadOnly;
  LogFile log;
  std::vector<std::string> notes;
  bool in_edit = false;

  Impl() = default;
  ~Impl();
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;
  [[nodiscard]] SQLite::Database& db() const { return *log.db; }
  [[nodiscard]] sqlite3* handle() const { return log.db->getHandle(); }
  void expect_writable(const std::string& not_done) const;
};

namespace {

constexpr const char* kNotRead = "The logbook could not be read.";

// The folder as given, made absolute so that it still holds after a change of directory.
fs::path whole_path(const fs::path& folder) {
  auto path = fs::absolute(folder).lexically_normal();
  return path.has_filename() ? path : path.parent_path();
}

// Cleared when the edit ends, however it ends.
class Flag {
 public:
  explicit Flag(bool& flag) : flag_(flag) { flag_ = true; }
  ~Flag() { flag_ = false; }
  Flag(const Flag&) = delete;
  Flag& operator=(const Flag&) = delete;

 private:
  bool& flag_;
};

void make_change(SQLite::Database& db, const std::string& name, const std::function<void(Edit&)>& change) {
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
  const Recorder whole(db);
  RecordedEdit edit(db);
  change(edit);
  if (edit.fault()) std::rethrow_exception(edit.fault());
  if (whole.changeset().empty()) return;
  append_to_journal(db, name, edit.steps());
  transaction.commit();
}

// What a camera wrote into a file is not worth refusing the photo for.
std::string time_or_unknown(const SQLite::Database& db, const std::string& taken_at) {
  const auto time = taken_at.substr(0, 19);
  const bool valid = number(db, "SELECT strftime('%Y-%m-%dT%H:%M:%S', ?1, '+0 days') IS ?1", {time}) == 1;
  return valid && time.size() == 19 ? time : std::string();
}

std::string file_name_of(const std::string& name) {
  const auto text = valid_utf8(name.substr(name.rfind('/') + 1));
  return text.empty() ? "photo" : text;
}

Fields fields_of(const SQLite::Database& db, const model::Photo& p) {
  return {{"sha256", p.sha256},
          {"original_name", file_name_of(p.original_name)},
          {"media_type", p.media_type},
          {"size_bytes", p.bytes},
          {"width_px", std::int64_t{p.width_px}},
          {"height_px", std::int64_t{p.height_px}},
          {"exif_orientation", std::int64_t{p.exif_orientation}},
          {"taken_at", known(time_or_unknown(db, p.taken_at))},
          {"camera", known(valid_utf8(p.camera))},
          {"focal_35mm_mm", p.focal_35mm && *p.focal_35mm > 0 ? Value(*p.focal_35mm) : Value()},
          {"imported_at_utc", p.imported_at.empty() ? utc_now() : p.imported_at}};
}

// The row is written first but committed last: a refused record leaves no file, and a committed one has its
// file on the disk. A crash between the two leaves a file without a row, which the next open reports.
model::Photo keep_new(SQLite::Database& db, const fs::path& folder, const model::Photo& record,
                      std::span<const std::uint8_t> bytes) {
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
  const auto target = vault_path(folder, record.sha256, record.media_type);
  if (const auto there = find_photo(db, record.sha256)) return *there;
  const model::PhotoId id{insert_row(db, "photo", fields_of(db, record))};
  auto kept = *find_photo(db, id);
  const bool written = put_original(target, record.sha256, bytes);
  try {
    transaction.commit();
  } catch (...) {
    if (written) remove_quietly(target);
    throw;
  }
  return kept;
}

model::Photo keep(SQLite::Database& db, const fs::path& folder, const NewPhoto& photo) {
  auto record = photo.record;
  record.sha256 = sha256_hex(photo.bytes);
  record.bytes = static_cast<std::int64_t>(photo.bytes.size());
  if (const auto there = find_photo(db, record.sha256)) {
    put_original(vault_path(folder, there->sha256, there->media_type), there->sha256, photo.bytes);
    return *there;
  }
  return keep_new(db, folder, record, photo.bytes);
}

std::vector<std::uint8_t> read_original(const model::Photo& photo, const fs::path& file) {
  if (!fs::exists(file)) {
    raise(ErrorCode::FileMissing,
          fmt::format("The original of {} is missing: {} is not there.", photo.original_name, shown(file)),
          "Import the same photo again, which puts it back.");
  }
  auto bytes = read_at_most(file, static_cast<std::uint64_t>(photo.bytes) + 1);
  if (static_cast<std::int64_t>(bytes.size()) != photo.bytes || sha256_hex(bytes) != photo.sha256) {
    raise(ErrorCode::LogbookDamaged,
          fmt::format("The original of {} is no longer what was imported: {} has changed.",
                      photo.original_name, shown(file)),
          "Import the same photo again, which puts it back.");
  }
  return bytes;
}

// Originals that only theirs holds, each checked against its hash on the way. They stay even if the merge is
// not carried out, as any original does.
std::map<std::int64_t, std::int64_t> bring_photos(SQLite::Database& db, const fs::path& folder,
                                                  const SQLite::Database& theirs,
                                                  const fs::path& their_folder, const MergePhotos& photos) {
  std::map<std::int64_t, std::int64_t> ids;
  for (const auto& photo : read_photos(theirs)) {
    const auto number = photos.number_of_theirs.at(photo.id.value);
    if (number >= 0) continue;
    auto record = photo;
    record.id = {};
    const auto bytes = read_original(photo, vault_path(their_folder, photo.sha256, photo.media_type));
    ids[number] = keep(db, folder, {bytes, record}).id.value;
  }
  return ids;
}

struct MergePlan {
  MergeStates states;
  Merged merged;
  MergeOutcome outcome;
};

MergePlan planned(SQLite::Database& db, SQLite::Database& theirs, const MergeChoices& choices) {
  MergePlan plan;
  MergeQuestions questions(choices);
  const auto start = common_start(db, theirs, questions);
  // What they began with hangs on it, and so does every further question.
  if (questions.open().empty()) {
    plan.states = matched(*start, db, theirs, choices);
    plan.merged = decided(plan.states, questions);
    plan.outcome.counts = counts_of(plan.states, plan.merged);
    plan.outcome.unused = questions.unused();
  }
  plan.outcome.open = questions.open();
  plan.outcome.decided = questions.decided();
  for (const auto& [id, number] : plan.states.photos.number_of_theirs)
    plan.outcome.photos += number < 0 ? 1 : 0;
  return plan;
}

MergeOutcome merge_logbooks(SQLite::Database& db, const fs::path& folder, SQLite::Database& theirs,
                            const fs::path& their_folder, const MergeChoices& choices) {
  auto plan = planned(db, theirs, choices);
  auto& outcome = plan.outcome;
  if (!outcome.open.empty()) return outcome;
  const auto photo_ids = bring_photos(db, folder, theirs, their_folder, plan.states.photos);
  if (outcome.counts.empty()) return outcome;
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
  RecordedEdit edit(db);
  write_merged(db, edit, plan.states, std::move(plan.merged), photo_ids);
  append_to_journal(db, fmt::format("Merge {}", shown(their_folder.filename())), edit.steps());
  transaction.commit();
  outcome.written = true;
  return outcome;
}

}  // namespace

// A reader that is still open would keep SQLite from merging the -wal when the writer closes, and somebody
// who then copies log.sqlite alone would miss the latest changes.
Store::Impl::~Impl() {
  if (access == Access::ReadOnly || log.db == nullptr) return;
  sqlite3_busy_timeout(handle(), 0);
  log.db->tryExec("PRAGMA wal_checkpoint(TRUNCATE)");
}

void Store::Impl::expect_writable(const std::string& not_done) const {
  if (access == Access::ReadOnly) {
    raise(ErrorCode::StorageReadOnly, fmt::format("{} is open to read only. {}", shown(folder), not_done),
          "Close it and open it for writing.");
  }
  if (in_edit) {
    raise(ErrorCode::Internal, fmt::format("{} Another change is still being made.", not_done),
          "Finish that one first.");
  }
}

Store::Store(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

Result<Store> Store::create(const fs::path& folder) {
  const Attempt attempt{folder, "The logbook was not created."};
  return guarded(nullptr, attempt, [&] {
    auto impl = std::make_unique<Impl>();
    impl->folder = whole_path(folder);
    impl->access = Access::ReadWrite;
    impl->log = create_log(impl->folder, migrations());
    return Store(std::move(impl));
  });
}

Result<Store> Store::open(const fs::path& folder, Access access) {
  const Attempt attempt{folder, "The logbook was not opened."};
  return guarded(nullptr, attempt, [&] {
    auto impl = std::make_unique<Impl>();
    impl->folder = whole_path(folder);
    impl->access = access;
    impl->log = open_log(impl->folder, access, migrations());
    if (impl->log.first_writer) impl->notes = tidy_vault(impl->db(), impl->folder);
    return Store(std::move(impl));
  });
}

const fs::path& Store::folder() const {
  return impl_->folder;
}

Access Store::access() const {
  return impl_->access;
}

const std::vector<std::string>& Store::notes() const {
  return impl_->notes;
}

Result<void> Store::edit(const std::string& name, const std::function<void(Edit&)>& change) {
  const Attempt attempt{impl_->folder, fmt::format("“{}” was not saved.", name)};
  return guarded(impl_->handle(), attempt, [&] {
    impl_->expect_writable(attempt.not_done);
    const Flag in_edit(impl_->in_edit);
    make_change(impl_->db(), name, change);
  });
}

Result<MergeOutcome> Store::merge(const Store& theirs, const MergeChoices& choices) {
  const Attempt attempt{impl_->folder, fmt::format("{} was not merged.", shown(theirs.folder()))};
  return guarded(impl_->handle(), attempt, [&] {
    impl_->expect_writable(attempt.not_done);
    const Flag in_edit(impl_->in_edit);
    return merge_logbooks(impl_->db(), impl_->folder, theirs.impl_->db(), theirs.folder(), choices);
  });
}

Result<MergeOutcome> Store::plan_merge(const Store& theirs, const MergeChoices& choices) const {
  const Attempt attempt{impl_->folder, fmt::format("{} was not looked through.", shown(theirs.folder()))};
  return guarded(impl_->handle(), attempt,
                 [&] { return planned(impl_->db(), theirs.impl_->db(), choices).outcome; });
}

std::optional<std::string> Store::undo_name() const {
  const auto name =
      guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return db::undo_name(impl_->db()); });
  return name ? *name : std::nullopt;
}

std::optional<std::string> Store::redo_name() const {
  const auto name =
      guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return db::redo_name(impl_->db()); });
  return name ? *name : std::nullopt;
}

Result<std::vector<model::PastEdit>> Store::history() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return db::history(impl_->db()); });
}

Result<void> Store::undo() {
  const Attempt attempt{impl_->folder, "Nothing was undone."};
  return guarded(impl_->handle(), attempt, [&] {
    impl_->expect_writable(attempt.not_done);
    SQLite::Transaction transaction(impl_->db(), SQLite::TransactionBehavior::IMMEDIATE);
    undo_last(impl_->db());
    transaction.commit();
  });
}

Result<void> Store::redo() {
  const Attempt attempt{impl_->folder, "Nothing was redone."};
  return guarded(impl_->handle(), attempt, [&] {
    impl_->expect_writable(attempt.not_done);
    SQLite::Transaction transaction(impl_->db(), SQLite::TransactionBehavior::IMMEDIATE);
    redo_next(impl_->db());
    transaction.commit();
  });
}

Result<model::Photo> Store::keep_photo(const NewPhoto& photo) {
  const Attempt attempt{impl_->folder,
                        fmt::format("{} was not taken in.", file_name_of(photo.record.original_name))};
  return guarded(impl_->handle(), attempt, [&] {
    impl_->expect_writable(attempt.not_done);
    if (photo.bytes.empty()) {
      raise(ErrorCode::BadInput, fmt::format("{} The file is empty.", attempt.not_done),
            "Choose another file.");
    }
    return keep(impl_->db(), impl_->folder, photo);
  });
}

Result<std::vector<std::uint8_t>> Store::photo_bytes(model::PhotoId photo) const {
  return guarded(impl_->handle(), {impl_->folder, "The photo could not be read."}, [&] {
    const auto record = find_photo(impl_->db(), photo);
    if (!record) {
      raise(ErrorCode::NotFound, "This photo is not in the logbook.",
            "Go back to the list and choose again.");
    }
    return read_original(*record, photo_path(*record));
  });
}

fs::path Store::photo_path(const model::Photo& photo) const {
  return vault_path(impl_->folder, photo.sha256, photo.media_type);
}

Result<std::optional<model::Vessel>> Store::vessel() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_vessel(impl_->db()); });
}

Result<std::vector<model::Opening>> Store::openings() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_openings(impl_->db()); });
}

Result<std::vector<model::Fitting>> Store::fittings() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_fittings(impl_->db()); });
}

Result<std::vector<model::Run>> Store::runs() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_runs(impl_->db()); });
}

Result<model::Bilge> Store::bilge() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_bilge(impl_->db()); });
}

Result<std::vector<model::Survey>> Store::surveys() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_surveys(impl_->db()); });
}

Result<std::vector<model::Observation>> Store::observations(model::SurveyId survey) const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead},
                 [&] { return read_observations(impl_->db(), survey); });
}

Result<std::vector<model::Observation>> Store::observations() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_observations(impl_->db()); });
}

Result<std::vector<model::Measurement>> Store::measurements() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead},
                 [&] { return read_measurements(impl_->db(), Which::Standing); });
}

Result<std::vector<model::Measurement>> Store::all_measurements() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead},
                 [&] { return read_measurements(impl_->db(), Which::All); });
}

Result<std::vector<model::MeasurementId>> Store::withdrawn() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_withdrawn(impl_->db()); });
}

Result<std::vector<model::Photo>> Store::photos() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_photos(impl_->db()); });
}

Result<std::vector<model::YardTable>> Store::yard_tables() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_yard_tables(impl_->db()); });
}

Result<std::vector<model::PhotoUse>> Store::photo_uses() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] { return read_photo_uses(impl_->db()); });
}

Result<std::vector<model::CameraProfile>> Store::camera_profiles() const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead},
                 [&] { return read_camera_profiles(impl_->db()); });
}

Result<void> Store::in_one_view(const std::function<void()>& look) const {
  return guarded(impl_->handle(), {impl_->folder, kNotRead}, [&] {
    if (sqlite3_get_autocommit(impl_->handle()) == 0) {
      return look();  // inside an edit or another view already
    }
    SQLite::Transaction transaction(impl_->db(), SQLite::TransactionBehavior::DEFERRED);
    look();
    transaction.commit();
  });
}

Result<VerifyReport> Store::verify() const {
  return guarded(impl_->handle(), {impl_->folder, "The check was not finished."},
                 [&] { return verify_logbook(impl_->db(), impl_->folder); });
}

}  // namespace spile::db
