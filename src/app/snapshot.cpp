#include "app/snapshot.hpp"

#include <algorithm>
#include <unordered_map>
#include <utility>

#include "rules/missing.hpp"

namespace spile::app {

namespace {

struct Records {
  std::optional<model::Vessel> vessel;
  std::vector<model::Opening> openings;
  std::vector<model::Fitting> fittings;
  std::vector<model::Survey> surveys;
  std::vector<model::Observation> observations;
  std::vector<model::Measurement> measurements;
  std::vector<model::Photo> photos;
  std::vector<model::PhotoUse> uses;
  std::vector<model::CameraProfile> cameras;
  std::vector<model::Run> runs;
  model::Bilge bilge;
  std::optional<model::SurveyId> survey;
};

std::optional<model::SurveyId> current_of(const std::vector<model::Survey>& surveys,
                                          std::optional<model::SurveyId> chosen) {
  const auto is_chosen = [&](const model::Survey& s) { return s.id == chosen; };
  if (chosen && std::any_of(surveys.begin(), surveys.end(), is_chosen)) return chosen;
  if (surveys.empty()) return std::nullopt;
  return surveys.back().id;
}

// One after the other; they fit together only inside Store::in_one_view.
Result<Records> read_lists(const db::Store& store, std::optional<model::SurveyId> chosen) {
  Records records;
  std::optional<Error> error;
  const auto take = [&error](auto from, auto& into) {
    if (error) return;
    if (from) {
      into = std::move(*from);
    } else {
      error = std::move(from.error());
    }
  };
  take(store.vessel(), records.vessel);
  take(store.openings(), records.openings);
  take(store.fittings(), records.fittings);
  take(store.surveys(), records.surveys);
  records.survey = current_of(records.surveys, chosen);
  take(store.observations(), records.observations);
  take(store.measurements(), records.measurements);
  take(store.photos(), records.photos);
  take(store.photo_uses(), records.uses);
  take(store.camera_profiles(), records.cameras);
  take(store.runs(), records.runs);
  take(store.bilge(), records.bilge);
  if (error) return tl::unexpected(*std::move(error));
  return records;
}

Result<Records> read_records(const db::Store& store, std::optional<model::SurveyId> chosen) {
  Result<Records> records;
  auto looked = store.in_one_view([&] { records = read_lists(store, chosen); });
  if (!looked) return tl::unexpected(std::move(looked.error()));
  return records;
}

template <class Record>
std::optional<Record> of_opening(const std::vector<Record>& records, model::OpeningId opening) {
  const auto it =
      std::find_if(records.begin(), records.end(), [&](const Record& r) { return r.opening == opening; });
  if (it == records.end()) return std::nullopt;
  return *it;
}

std::string date_of(const Snapshot& snapshot) {
  for (const auto& s : snapshot.surveys)
    if (s.id == snapshot.survey) return s.date;
  return {};
}

// Without a vessel the rules judge on a nameless one: its unknowns stay unknown and its defaults are the
// tables'.
void judge(OpeningView& view, const Snapshot& snapshot, const rules::Tables& tables) {
  const rules::Case facts{snapshot.vessel.value_or(model::Vessel{}),
                          view.opening,
                          view.fitting,
                          view.observation,
                          view.measurements,
                          snapshot.newest_first(),
                          date_of(snapshot)};
  view.verdicts = rules::judge_all(facts, tables);
  view.standing = rules::worst(view.verdicts);
  view.missing = rules::missing(facts, tables);
}

void spread_photos(const Records& records, Snapshot& snapshot) {
  std::unordered_map<model::PhotoId, const model::Photo*> photos;
  for (const auto& photo : records.photos) photos[photo.id] = &photo;
  for (const auto& use : records.uses) {
    const auto photo = photos.find(use.photo);
    if (photo == photos.end()) continue;
    PhotoView view{use, *photo->second};
    const auto belongs = [&](const OpeningView& o) { return o.opening.id == use.opening; };
    const auto it = std::find_if(snapshot.openings.begin(), snapshot.openings.end(), belongs);
    const bool now = use.survey == records.survey;
    if (it != snapshot.openings.end()) {
      (now ? it->photos : it->other_photos).push_back(std::move(view));
    } else if (now) {
      snapshot.unfiled.push_back(std::move(view));
    }
  }
}

}  // namespace

Result<Snapshot> read_snapshot(const db::Store& store, const rules::Tables& tables, const rules::Stock& stock,
                               std::optional<model::SurveyId> chosen) {
  auto read = read_records(store, chosen);
  if (!read) return tl::unexpected(std::move(read.error()));
  Records& records = *read;
  Snapshot snapshot;
  snapshot.folder = store.folder();
  snapshot.read_only = store.access() == db::Access::ReadOnly;
  snapshot.vessel = records.vessel;
  snapshot.surveys = records.surveys;
  snapshot.survey = records.survey;
  snapshot.cameras = records.cameras;
  const auto so_far = snapshot.newest_first();
  const auto later = [&](model::SurveyId s) {
    return std::find(so_far.begin(), so_far.end(), s) == so_far.end();
  };
  for (auto& opening : records.openings) {
    OpeningView view;
    view.fitting = of_opening(records.fittings, opening.id);
    for (const auto& o : records.observations) {
      if (o.opening != opening.id) continue;
      if (o.survey == records.survey) view.observation = o;
      view.seasons.push_back(o);
    }
    for (const auto& m : records.measurements)
      if (m.opening == opening.id && !later(m.survey)) view.measurements.push_back(m);
    view.opening = std::move(opening);
    judge(view, snapshot, tables);
    snapshot.openings.push_back(std::move(view));
  }
  spread_photos(records, snapshot);
  snapshot.bilge = records.bilge;
  snapshot.water = water_of({snapshot.vessel.value_or(model::Vessel{}), snapshot.openings, so_far,
                             records.runs, records.bilge, tables, stock});
  return snapshot;
}

std::vector<model::SurveyId> Snapshot::newest_first() const {
  std::vector<model::SurveyId> so_far;
  for (const auto& s : surveys) {
    so_far.insert(so_far.begin(), s.id);
    if (s.id == survey) break;
  }
  return so_far;
}

const OpeningView* Snapshot::find(model::OpeningId opening) const {
  for (const auto& view : openings)
    if (view.opening.id == opening) return &view;
  return nullptr;
}

const OpeningView* Snapshot::find(std::string_view tag) const {
  for (const auto& view : openings)
    if (view.opening.tag == tag) return &view;
  return nullptr;
}

}  // namespace spile::app
