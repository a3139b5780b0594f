// Any sequence of edits, as random numbers have it.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>
#include <rapidcheck.h>

#include "db/journal.hpp"
#include "fixture.hpp"

namespace spile::db::test {

inline std::string state_of(const Store& store) {
  const SQLite::Database db((store.folder() / "log.sqlite").string(), SQLite::OPEN_READONLY);
  return undoable_state(db);
}

template <class T>
T pick(const std::vector<T>& from) {
  return from.at(*rc::gen::inRange<std::size_t>(0, from.size()));
}

class RandomEdits {
 public:
  // `mark`: written, with a number, into every run and measurement, so that each can be told from any other.
  RandomEdits(Store& store, std::vector<model::Photo> photos, std::string mark = {})
      : store_(store), photos_(std::move(photos)), mark_(std::move(mark)) {}

  // May be refused (a tag that is taken, a survey that is needed): then nothing must have changed.
  void one() {
    const auto before = state_of(store_);
    const auto done = store_.edit("Edit", [&](Edit& edit) {
      const int steps = *rc::gen::inRange(1, 4);
      for (int i = 0; i < steps; ++i) step(edit);
    });
    if (!done) RC_ASSERT(state_of(store_) == before);
    if (!done) RC_ASSERT(done.error().code != ErrorCode::Internal);
  }

 private:
  void step(Edit& edit) {
    switch (*rc::gen::inRange(0, 13)) {
      case 0: {
        model::Vessel v;
        v.name = *rc::gen::element<std::string>("A", "B");
        v.heel_deg = *rc::gen::element<std::optional<double>>(std::nullopt, 20.0);
        return edit.save_vessel(v);
      }
      case 1:
      case 2:
        return save_opening(edit);
      case 3:
        if (!openings().empty()) edit.remove_opening(pick(openings()).id);
        return;
      case 4:
        edit.save_survey(survey(*rc::gen::element<std::string>("2025-04-01", "2026-04-01")));
        return;
      case 5:
        if (!surveys().empty()) edit.remove_survey(pick(surveys()).id);
        return;
      case 6:
        return save_fitting(edit);
      case 7:
        return save_observation(edit);
      case 8:
        return add_measurement(edit);
      case 9:
        if (const auto all = ok(store_.all_measurements()); !all.empty())
          edit.withdraw_measurement(pick(all).id);
        return;
      case 10:
      case 11:
        return save_run(edit);
      default:
        return save_use(edit);
    }
  }

  std::vector<model::Opening> openings() { return ok(store_.openings()); }
  std::vector<model::Survey> surveys() { return ok(store_.surveys()); }

  void save_opening(Edit& edit) {
    auto o = opening(*rc::gen::element<std::string>("P-1", "P-2", "P-3", "S-1"));
    o.height_mm = *rc::gen::element<std::optional<double>>(std::nullopt, -40.0, 1.0 / 3.0);
    if (!openings().empty() && *rc::gen::arbitrary<bool>()) o.id = pick(openings()).id;
    edit.save_opening(o);
  }

  void save_run(Edit& edit) {
    if (openings().empty()) return;
    const auto there = ok(store_.runs());
    if (!there.empty() && *rc::gen::inRange(0, 4) == 0) return edit.remove_run(pick(there).id);
    model::Run run;
    run.opening = pick(openings()).id;
    if (!there.empty() && *rc::gen::arbitrary<bool>()) run.id = pick(there).id;
    if (!there.empty() && *rc::gen::arbitrary<bool>()) run.joins = model::RunJoin{pick(there).id, 1};
    if (!mark_.empty()) run.name = next_mark();
    run.parts.resize(*rc::gen::inRange<std::size_t>(0, 4));
    for (auto& part : run.parts) part.part = *rc::gen::element<std::string>("hose-38", "tail-g-1-25");
    edit.save_run(run);
  }

  void save_fitting(Edit& edit) {
    if (openings().empty()) return;
    model::Fitting f;
    f.opening = pick(openings()).id;
    f.material = *rc::gen::element<std::string>("", "bronze");
    for (const auto& there : ok(store_.fittings()))
      if (there.opening == f.opening) f.id = there.id;
    if (f.id.stored() && *rc::gen::inRange(0, 4) == 0) return edit.remove_fitting(f.id);
    edit.save_fitting(f);
  }

  void save_observation(Edit& edit) {
    if (openings().empty() || surveys().empty()) return;
    model::Observation o;
    o.opening = pick(openings()).id;
    o.survey = pick(surveys()).id;
    o.condition = *rc::gen::element(model::Condition::Sound, model::Condition::Poor);
    for (const auto& there : ok(store_.observations(o.survey)))
      if (there.opening == o.opening) o.id = there.id;
    edit.save_observation(o);
  }

  void add_measurement(Edit& edit) {
    if (openings().empty() || surveys().empty()) return;
    auto m = diameter(pick(openings()).id, pick(surveys()).id, *rc::gen::inRange(10, 90));
    if (!mark_.empty()) m.note = next_mark();
    if (*rc::gen::arbitrary<bool>()) m.photo = pick(photos_).id;
    if (m.photo) m.trace = model::Trace{"card", {{1, 2}}, std::nullopt, "assumed", {}, {}, std::nullopt};
    for (const auto& there : ok(store_.measurements()))
      if (there.opening == m.opening && *rc::gen::arbitrary<bool>()) m.supersedes = there.id;
    edit.add_measurement(m);
  }

  void save_use(Edit& edit) {
    const auto uses = ok(store_.photo_uses());
    if (!uses.empty() && *rc::gen::inRange(0, 3) == 0) return edit.remove_photo_use(pick(uses).id);
    if (surveys().empty()) return;
    model::PhotoUse use{{}, pick(photos_).id, pick(surveys()).id, std::nullopt, "", ""};
    if (!openings().empty() && *rc::gen::arbitrary<bool>()) use.opening = pick(openings()).id;
    if (!uses.empty() && *rc::gen::arbitrary<bool>()) use.id = pick(uses).id;
    edit.save_photo_use(use);
  }

  std::string next_mark() { return mark_ + std::to_string(++marks_); }

  Store& store_;
  std::vector<model::Photo> photos_;
  std::string mark_;
  int marks_ = 0;
};

inline std::vector<model::Photo> two_photos(Store& store) {
  std::vector<model::Photo> photos;
  for (const auto* contents : {"one", "two"}) {
    const auto bytes = bytes_of(contents);
    photos.push_back(ok(store.keep_photo({bytes, photo_record("a.jpg")})));
  }
  return photos;
}

}  // namespace spile::db::test
