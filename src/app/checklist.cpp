#include "app/checklist.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "app/wording.hpp"
#include "model/names.hpp"

namespace spile::app {

namespace {

std::string date_of(const Snapshot& snapshot, model::SurveyId id) {
  for (const auto& survey : snapshot.surveys)
    if (survey.id == id) return survey.date;
  return {};
}

// The newest before the current survey that was looked at.
const model::Observation* last_look(const Snapshot& snapshot, const OpeningView& view) {
  const std::string now = snapshot.survey ? date_of(snapshot, *snapshot.survey) : std::string();
  for (auto seen = view.seasons.rbegin(); seen != view.seasons.rend(); ++seen)
    if (seen->seen == model::Seen::Looked && seen->survey != snapshot.survey &&
        date_of(snapshot, seen->survey) <= now)
      return &*seen;
  return nullptr;
}

std::string last_words(const Snapshot& snapshot, const OpeningView& view, const rules::Tables& tables) {
  const auto* seen = last_look(snapshot, view);
  if (!seen) return {};
  std::string text =
      fmt::format("{} on {}",
                  seen->condition == model::Condition::Unknown ? std::string("looked at")
                                                               : std::string(model::key(seen->condition)),
                  date_of(snapshot, seen->survey));
  std::string found;
  for (const auto& key : seen->findings)
    found += (found.empty() ? "" : ", ") + lower(rules::label_of(rules::choices_of(tables.findings()), key));
  return found.empty() ? text : text + ": " + found;
}

std::string place_words(const model::Opening& o) {
  std::string text = lower(model::label(o.side));
  if (o.from_bow_mm) text += fmt::format(", {:.2f} m from the bow", *o.from_bow_mm / 1000);
  return text;
}

int leg_of(model::Side side) {
  return side == model::Side::Starboard ? 0 : side == model::Side::Centreline ? 1 : 2;
}

bool walked_before(const OpeningView* a, const OpeningView* b) {
  const int leg = leg_of(a->opening.side), other = leg_of(b->opening.side);
  if (leg != other) return leg < other;
  const auto& x = a->opening.from_bow_mm;
  const auto& y = b->opening.from_bow_mm;
  if (x.has_value() != y.has_value()) return x.has_value();
  if (!x || *x == *y) return false;
  return leg == 1 ? *x > *y : *x < *y;
}

}  // namespace

std::vector<model::Observation> carried_over(const Snapshot& snapshot) {
  std::vector<model::Observation> carried;
  for (const auto& view : snapshot.openings) {
    for (auto seen = view.seasons.rbegin(); seen != view.seasons.rend(); ++seen) {
      if (seen->seen == model::Seen::NotLookedAt) continue;
      model::Observation next = *seen;
      next.id = {};
      next.survey = {};
      next.seen = model::Seen::ToBeConfirmed;
      carried.push_back(std::move(next));
      break;
    }
  }
  return carried;
}

Checklist checklist_of(const Snapshot& snapshot, const rules::Tables& tables) {
  std::vector<const OpeningView*> walk;
  for (const auto& view : snapshot.openings) walk.push_back(&view);
  std::stable_sort(walk.begin(), walk.end(), walked_before);
  Checklist list;
  for (const auto* view : walk) {
    const auto seen = view->observation ? view->observation->seen : model::Seen::NotLookedAt;
    list.items.push_back({view->opening.id, view->opening.tag,
                          std::string(rules::label_of(tables.services(), view->opening.service)),
                          place_words(view->opening), seen, last_words(snapshot, *view, tables)});
    list.looked += seen == model::Seen::Looked;
    list.to_confirm += seen == model::Seen::ToBeConfirmed;
    list.not_looked += seen == model::Seen::NotLookedAt;
  }
  return list;
}

std::string progress_words(const Checklist& list) {
  std::string text = fmt::format("{} of {} looked at", list.looked, list.items.size());
  if (list.to_confirm > 0) text += fmt::format(", {} to be confirmed", list.to_confirm);
  if (list.not_looked > 0) text += fmt::format(", {} not looked at", list.not_looked);
  return text;
}

std::string tags_of(const Checklist& list, model::Seen seen) {
  std::string tags;
  for (const auto& item : list.items)
    if (item.seen == seen) tags += (tags.empty() ? "" : ", ") + item.tag;
  return tags;
}

nlohmann::ordered_json checklist_json(const Checklist& list) {
  auto items = nlohmann::ordered_json::array();
  for (const auto& item : list.items)
    items.push_back(
        {{"tag", item.tag},
         {"service", item.service},
         {"place", item.place},
         {"seen", model::key(item.seen)},
         {"last", item.last.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(item.last)}});
  return {{"looked", list.looked},
          {"to_be_confirmed", list.to_confirm},
          {"not_looked_at", list.not_looked},
          {"walk", items}};
}

}  // namespace spile::app
