// Use cases on the records a person writes: vessel, openings, fittings, surveys, observations.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <utility>

#include "app/access.hpp"
#include "app/edit_names.hpp"
#include "app/wording.hpp"

namespace spile::app {

namespace {

// A length that may be unknown, but where it is known has to be a sensible one.
struct Bound {
  std::string_view what;
  std::optional<double> value;
  double least;
  double most;
  std::string_view unit = "mm";
};

constexpr double kLongestCraft = 100'000;  // mm
// Beyond it the water's climb, y tan(heel), says nothing any more: the craft is being knocked down.
constexpr double kWorstHeel = 60;
constexpr double kTiny = 1e-6;  // "above 0"

Result<void> within(std::initializer_list<Bound> bounds) {
  for (const auto& b : bounds) {
    if (!b.value || (std::isfinite(*b.value) && *b.value >= b.least && *b.value <= b.most)) continue;
    const std::string least = b.least == kTiny ? "above 0" : fmt::format("from {}", print_number(b.least, 0));
    return fail(ErrorCode::BadInput,
                fmt::format("{} cannot be {} {}.", b.what, print_number(*b.value, 2), b.unit),
                fmt::format("It has to be {} up to {} {}.", least, print_number(b.most, 0), b.unit));
  }
  return {};
}

Result<void> known(std::string_view what, const std::vector<rules::Choice>& choices, const std::string& key) {
  if (key.empty()) return {};
  for (const auto& choice : choices)
    if (choice.key == key) return {};
  return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a known {}.", key, what),
              "Choose one from the list.");
}

Result<void> a_date(const std::string& text) {
  int year = 0;
  unsigned month = 0;
  unsigned day = 0;
  const auto number = [&](std::size_t at, std::size_t length, auto& into) {
    const char* first = text.data() + at;
    return std::from_chars(first, first + length, into).ptr == first + length;
  };
  const bool shape = text.size() == 10 && text[4] == '-' && text[7] == '-';
  if (shape && number(0, 4, year) && number(5, 2, month) && number(8, 2, day) &&
      std::chrono::year_month_day(std::chrono::year(year), std::chrono::month(month), std::chrono::day(day))
          .ok())
    return {};
  return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a date.", text),
              "Write year, month and day, such as 2026-04-12.");
}

Result<void> tag_is_free(const Snapshot& snapshot, const model::Opening& opening) {
  if (opening.tag.empty())
    return fail(ErrorCode::BadInput, "An opening needs a tag.", "Give it one of your own, such as P-03.");
  for (const auto& other : snapshot.openings) {
    if (other.opening.id == opening.id || folded(other.opening.tag) != folded(opening.tag)) continue;
    return fail(ErrorCode::AlreadyExists, fmt::format("There is an opening {} already.", other.opening.tag),
                "Choose another tag, or change the one that is there.");
  }
  return {};
}

std::vector<rules::Choice> choices_of(const std::vector<rules::BackingMaterial>& materials) {
  std::vector<rules::Choice> choices;
  for (const auto& material : materials) choices.push_back(material.choice);
  return choices;
}

Result<void> observation_makes_sense(const model::Observation& o, const rules::Tables& tables) {
  if (auto ok = known("material", tables.materials(), o.fitting_material); !ok) return ok;
  if (auto ok = known("kind of valve", tables.valve_kinds(), o.valve_kind); !ok) return ok;
  if (auto ok = known("backing material", choices_of(tables.backing_materials()), o.backing_material); !ok)
    return ok;
  return within({{"The backing's thickness", o.backing_thickness_mm, kTiny, 500}});
}

}  // namespace

Result<void> Session::save_vessel(const model::Vessel& vessel) {
  Access& a = *impl_->access;
  model::Vessel saved = vessel;
  saved.name = trimmed(saved.name);
  if (auto ok = within({{"The hull's length", saved.length_mm, kTiny, kLongestCraft},
                        {"The beam", saved.beam_mm, kTiny, kLongestCraft},
                        {"The draught", saved.draught_mm, kTiny, kLongestCraft},
                        {"The freeboard", saved.freeboard_mm, 0, kLongestCraft},
                        {"The sinkage when laden", saved.loaded_sinkage_mm, 0, 3000},
                        {"The worst heel", saved.heel_deg, 0, kWorstHeel, "degrees"}});
      !ok)
    return ok;
  return a.edit(edit_name(a.snapshot.vessel, saved), [&](db::Edit& edit) { edit.save_vessel(saved); });
}

Result<model::OpeningId> Session::save_opening(const model::Opening& opening) {
  Access& a = *impl_->access;
  model::Opening saved = opening;
  saved.tag = trimmed(saved.tag);
  std::optional<model::Opening> before;
  if (saved.id.stored()) {
    const auto view = a.opening(saved.id);
    if (!view) return tl::unexpected(view.error());
    before = (*view)->opening;
  }
  auto ok = tag_is_free(a.snapshot, saved);
  if (ok) ok = known("service", a.tables.services(), saved.service);
  if (ok) {
    ok = within({{"The distance from the bow", saved.from_bow_mm, 0, kLongestCraft},
                 {"The height", saved.height_mm, -20'000, 20'000},
                 {"The half breadth", saved.half_breadth_mm, 0, kLongestCraft / 2}});
  }
  if (!ok) return tl::unexpected(std::move(ok.error()));
  model::OpeningId id;
  auto done = a.edit(edit_name(before, saved), [&](db::Edit& edit) {
    a.survey_within(edit);
    id = edit.save_opening(saved);
  });
  if (!done) return tl::unexpected(std::move(done.error()));
  return id;
}

Result<void> Session::remove_opening(model::OpeningId opening) {
  Access& a = *impl_->access;
  const auto view = a.opening(opening);
  if (!view) return tl::unexpected(view.error());
  return a.edit(fmt::format("Remove opening {}", (*view)->opening.tag),
                [&](db::Edit& edit) { edit.remove_opening(opening); });
}

Result<void> Session::save_fitting(const model::Fitting& fitting) {
  Access& a = *impl_->access;
  const auto view = a.opening(fitting.opening);
  if (!view) return tl::unexpected(view.error());
  if (auto ok = known("kind of fitting", a.tables.fitting_kinds(), fitting.kind); !ok) return ok;
  if (auto ok = known("material", a.tables.materials(), fitting.material); !ok) return ok;
  model::Fitting saved = fitting;
  if (!saved.id.stored() && (*view)->fitting) saved.id = (*view)->fitting->id;
  return a.edit(edit_name((*view)->fitting, saved, (*view)->opening.tag),
                [&](db::Edit& edit) { edit.save_fitting(saved); });
}

Result<model::SurveyId> Session::save_survey(const model::Survey& survey) {
  Access& a = *impl_->access;
  if (auto ok = a_date(survey.date); !ok) return tl::unexpected(std::move(ok.error()));
  std::optional<model::Survey> before;
  for (const auto& known : a.snapshot.surveys)
    if (known.id == survey.id) before = known;
  if (survey.id.stored() && !before)
    return fail(ErrorCode::NotFound, "That survey is not in this logbook.", "Choose one from the list.");
  model::SurveyId id;
  auto done = a.edit(edit_name(before, survey), [&](db::Edit& edit) { id = edit.save_survey(survey); });
  if (!done) return tl::unexpected(std::move(done.error()));
  return id;
}

Result<void> Session::save_observation(const model::Observation& observation) {
  Access& a = *impl_->access;
  const auto view = a.opening(observation.opening);
  if (!view) return tl::unexpected(view.error());
  if (auto ok = observation_makes_sense(observation, a.tables); !ok) return ok;
  const bool in_current = !observation.survey.stored() || observation.survey == a.snapshot.survey;
  const auto before = in_current ? (*view)->observation : std::nullopt;
  model::Observation saved = observation;
  if (!saved.id.stored() && before) saved.id = before->id;
  return a.edit(edit_name(before, saved, (*view)->opening.tag), [&](db::Edit& edit) {
    if (!saved.survey.stored()) saved.survey = a.survey_within(edit);
    edit.save_observation(saved);
  });
}

}  // namespace spile::app
