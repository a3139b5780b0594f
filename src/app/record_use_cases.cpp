// Use cases on the records a person writes: vessel, openings, fittings, surveys, observations.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/access.hpp"
#include "app/edit_names.hpp"
#include "app/wording.hpp"
#include "units/civil_date.hpp"

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
  if (units::parse_date(text)) return {};
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

Result<void> fitting_makes_sense(const model::Fitting& f, const rules::Tables& tables) {
  constexpr double kLongest = 1000;
  const auto threads = rules::choices_of(tables.threads());
  auto ok = known("kind of fitting", tables.fitting_kinds(), f.kind);
  for (const auto* material : {&f.material, &f.valve_material, &f.tail_material, &f.next.material})
    if (ok) ok = known("material", tables.materials(), *material);
  if (ok && f.valve_thread != f.thread) ok = known("thread", threads, f.valve_thread);
  if (ok) ok = known("bedding", rules::choices_of(tables.beddings()), f.bedding);
  if (!ok) return ok;
  return within({{"The shank", f.shank_mm, kTiny, kLongest},
                 {"The thread's length", f.thread_length_mm, kTiny, kLongest},
                 {"The nut's thickness", f.nut_mm, kTiny, kLongest},
                 {"The height inside", f.stack_mm, kTiny, kLongest},
                 {"The hose tail", f.tail_mm, kTiny, kLongest},
                 {"The hose bore", f.bore_mm, kTiny, kLongest},
                 {"The hose bend", f.bend_mm, kTiny, kLongest},
                 {"The next fitting's shank", f.next.shank_mm, kTiny, kLongest},
                 {"The next fitting's flange", f.next.flange_mm, kTiny, kLongest},
                 {"The next fitting's thread", f.next.thread_length_mm, kTiny, kLongest}});
}

Result<void> observation_makes_sense(const model::Observation& o, const rules::Tables& tables) {
  if (auto ok = known("material", tables.materials(), o.fitting_material); !ok) return ok;
  if (auto ok = known("kind of valve", tables.valve_kinds(), o.valve_kind); !ok) return ok;
  if (auto ok = known("backing material", rules::choices_of(tables.backing_materials()), o.backing_material);
      !ok)
    return ok;
  const auto findings = rules::choices_of(tables.findings());
  for (const auto& finding : o.findings)
    if (auto ok = known("finding", findings, finding); !ok) return ok;
  if (o.clips && *o.clips != std::floor(*o.clips))
    return fail(ErrorCode::BadInput, "Clips are counted in whole numbers.", "Count them again.");
  return within({{"The backing's thickness", o.backing_thickness_mm, kTiny, 500},
                 {"The number of clips", o.clips, 0, 9, "clips"},
                 {"The bonding resistance", o.bonding_ohm, 0, 1e6, "ohm"}});
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
                        {"The worst heel", saved.heel_deg, 0, kWorstHeel, "degrees"},
                        {"The worst trim", saved.trim_deg, 0, 20, "degrees"}});
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
                 {"The half breadth", saved.half_breadth_mm, 0, kLongestCraft / 2},
                 {"The hull's radius", saved.hull_radius_mm, kTiny, 1e6},
                 {"The distance to a frame", saved.frame_mm, kTiny, 20'000},
                 {"The clear room inwards", saved.clear_depth_mm, kTiny, 20'000},
                 {"The clear room across", saved.clear_width_mm, kTiny, 20'000},
                 {"The time to reach it", saved.reach_s, 0, 86'400, "seconds"}});
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
  if (auto ok = fitting_makes_sense(fitting, a.tables); !ok) return ok;
  model::Fitting saved = fitting;
  if (!saved.id.stored() && (*view)->fitting) saved.id = (*view)->fitting->id;
  return a.edit(edit_name((*view)->fitting, saved, (*view)->opening.tag),
                [&](db::Edit& edit) { edit.save_fitting(saved); });
}

Result<void> Session::lay_table(const model::YardTable& table) {
  Access& a = *impl_->access;
  auto laid = a.yard;
  laid.erase(std::remove_if(laid.begin(), laid.end(), [&](const auto& t) { return t.name == table.name; }),
             laid.end());
  laid.push_back(table);
  if (const auto loads = rules::Tables::load_with(laid); !loads) return tl::unexpected(loads.error());
  return a.edit(fmt::format("Lay the yard's rows over {}", table.name),
                [&](db::Edit& edit) { edit.save_yard_table(table); });
}

Result<void> Session::take_off_table(const std::string& name) {
  return impl_->access->edit(fmt::format("Take the yard's rows off {}", name),
                             [&](db::Edit& edit) { edit.remove_yard_table(name); });
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
