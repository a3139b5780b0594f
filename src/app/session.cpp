#include "app/session.hpp"

#include <fmt/format.h>

#include <utility>

#include "app/access.hpp"
#include "app/log.hpp"
#include "app/snapshot.hpp"
#include "app/verdict_changes.hpp"

namespace spile::app {

namespace {

std::filesystem::path with_suffix(std::filesystem::path folder) {
  if (folder.filename().empty()) folder = folder.parent_path();  // "boat/" is "boat"
  if (folder.extension() != ".spile") folder += ".spile";
  return folder;
}

Result<std::shared_ptr<Session::Access>> opened(Result<db::Store> store, Clock clock) {
  if (!store) {
    log_error(store.error());
    return tl::unexpected(std::move(store.error()));
  }
  auto tables = rules::Tables::load_shipped();
  if (!tables) return tl::unexpected(std::move(tables.error()));
  auto stock = rules::Stock::load_shipped();
  if (!stock) return tl::unexpected(std::move(stock.error()));
  auto access = std::make_shared<Session::Access>(std::move(*store), std::move(*tables), std::move(*stock),
                                                  std::move(clock));
  if (auto read = access->refresh(); !read) return tl::unexpected(std::move(read.error()));
  return access;
}

}  // namespace

Result<void> Session::Access::edit(const std::string& name, const std::function<void(db::Edit&)>& change) {
  if (store.access() == db::Access::ReadOnly) {
    return fail(ErrorCode::StorageReadOnly,
                fmt::format("{} was opened for reading only, so nothing in it was changed.",
                            store.folder().filename().string()),
                "Close the window or command that holds it for writing, and open it again.");
  }
  if (auto done = store.edit(name, change); !done) {
    log_error(done.error());
    return done;
  }
  return refresh();
}

Result<void> Session::Access::read_tables() {
  auto laid = store.yard_tables();
  if (!laid) return tl::unexpected(std::move(laid.error()));
  if (*laid == yard) return {};
  yard = std::move(*laid);
  yard_fault.clear();
  auto loaded = rules::Tables::load_with(yard);
  if (!loaded) {
    log_error(loaded.error());
    yard_fault = loaded.error().sentence();
    loaded = rules::Tables::load_shipped();
    if (!loaded) return tl::unexpected(std::move(loaded.error()));
  }
  tables = std::move(*loaded);
  return {};
}

Result<void> Session::Access::refresh() {
  if (auto ready = read_tables(); !ready) {
    log_error(ready.error());
    return ready;
  }
  auto read = read_snapshot(store, tables, stock, chosen);
  if (!read) {
    log_error(read.error());
    return tl::unexpected(std::move(read.error()));
  }
  read->revision = snapshot.revision + 1;
  read->changed = verdict_changes(snapshot, *read);
  read->yard = yard;
  read->yard_fault = yard_fault;
  read->undo_name = store.undo_name();
  read->redo_name = store.redo_name();
  snapshot = std::move(*read);
  return {};
}

model::SurveyId Session::Access::survey_within(db::Edit& edit) const {
  if (snapshot.survey) return *snapshot.survey;
  model::Survey first;
  first.date = clock.today();
  first.title = "First survey";
  return edit.save_survey(first);
}

Result<const OpeningView*> Session::Access::opening(model::OpeningId id) const {
  if (const auto* view = snapshot.find(id)) return view;
  return fail(ErrorCode::NotFound, "That opening is not in this logbook.",
              "It may have been removed or its adding undone; choose another one.");
}

std::filesystem::path logbook_folder(const std::filesystem::path& named) {
  std::error_code unknown;
  const auto whole = with_suffix(named);
  return !std::filesystem::exists(named, unknown) && std::filesystem::exists(whole, unknown) ? whole : named;
}

Session::Session(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Session::Session(Session&&) noexcept = default;
Session& Session::operator=(Session&&) noexcept = default;
Session::~Session() = default;

Result<Session> Session::create(const std::filesystem::path& folder, Clock clock) {
  auto access = opened(db::Store::create(with_suffix(folder)), std::move(clock));
  if (!access) return tl::unexpected(std::move(access.error()));
  return Session(std::make_unique<Impl>(Impl{std::move(*access)}));
}

Result<Session> Session::open(const std::filesystem::path& folder, bool read_only, Clock clock) {
  const auto mode = read_only ? db::Access::ReadOnly : db::Access::ReadWrite;
  auto access = opened(db::Store::open(logbook_folder(folder), mode), std::move(clock));
  if (!access) return tl::unexpected(std::move(access.error()));
  return Session(std::make_unique<Impl>(Impl{std::move(*access)}));
}

const Snapshot& Session::snapshot() const {
  return impl_->access->snapshot;
}
const rules::Tables& Session::tables() const {
  return impl_->access->tables;
}
const rules::Stock& Session::stock() const {
  return impl_->access->stock;
}
Session::Access& Session::access() {
  return *impl_->access;
}
Result<void> Session::refresh() {
  return impl_->access->refresh();
}

Result<void> Session::choose_survey(model::SurveyId survey) {
  Access& access = *impl_->access;
  for (const auto& known : access.snapshot.surveys) {
    if (known.id != survey) continue;
    access.chosen = survey;
    return access.refresh();
  }
  return fail(ErrorCode::NotFound, "That survey is not in this logbook.", "Choose one from the list.");
}

Result<void> Session::undo() {
  if (auto done = impl_->access->store.undo(); !done) return done;
  return impl_->access->refresh();
}

Result<std::vector<model::PastEdit>> Session::history() const {
  return impl_->access->store.history();
}

Result<void> Session::redo() {
  if (auto done = impl_->access->store.redo(); !done) return done;
  return impl_->access->refresh();
}

}  // namespace spile::app
