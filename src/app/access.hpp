// The open logbook behind a Session: the store, the tables, and the snapshot that follows every edit.
// For this folder only.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "app/session.hpp"
#include "db/store.hpp"
#include "rules/stock.hpp"
#include "rules/tables.hpp"

namespace spile::app {

struct Session::Access : std::enable_shared_from_this<Session::Access> {
  Access(db::Store opened, rules::Tables loaded, rules::Stock stocked, Clock now)
      : store(std::move(opened)),
        tables(std::move(loaded)),
        stock(std::move(stocked)),
        clock(std::move(now)) {}

  db::Store store;
  rules::Tables tables;                // with the yard's rows laid over them
  std::vector<model::YardTable> yard;  // those rows
  std::string yard_fault;
  rules::Stock stock;
  Clock clock;
  std::optional<model::SurveyId> chosen;
  Snapshot snapshot;

  // One edit, then the snapshot read again. Errors: StorageReadOnly beside those of db::Store::edit.
  [[nodiscard]] Result<void> edit(const std::string& name, const std::function<void(db::Edit&)>& change);
  [[nodiscard]] Result<void> refresh();

  // Tables as the logbook's own rows make them; the shipped ones where those rows no longer fit.
  [[nodiscard]] Result<void> read_tables();
  // Kept in one edit; of the same camera, focal length and picture size there is one at a time.
  [[nodiscard]] Result<model::CameraProfileId> keep_camera_profile(const model::CameraProfile& profile,
                                                                   bool& replaced);

  // The current survey; begun inside `edit`, dated today, where the logbook has none. Once per edit.
  model::SurveyId survey_within(db::Edit& edit) const;
  // Errors: NotFound where the opening is not in the logbook (any more).
  [[nodiscard]] Result<const OpeningView*> opening(model::OpeningId id) const;
};

struct Session::Impl {
  std::shared_ptr<Access> access;
};

}  // namespace spile::app
