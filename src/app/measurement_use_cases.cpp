// Use cases on measurements and on where a photo is filed, which its measurements follow.
#include <fmt/format.h>

#include <utility>

#include "app/access.hpp"
#include "app/supersede.hpp"
#include "app/typed_value.hpp"
#include "app/wording.hpp"
#include "model/names.hpp"

namespace spile::app {

namespace {

void apply(db::Edit& edit, const Replacement& replacement) {
  for (const auto& m : replacement.add) edit.add_measurement(m);
  for (const auto id : replacement.withdraw) edit.withdraw_measurement(id);
}

std::optional<double> standing_diameter(const OpeningView& view) {
  for (auto m = view.measurements.rbegin(); m != view.measurements.rend(); ++m)
    if (m->quantity == model::Quantity::HoleDiameter && m->value > 0) return m->value;
  return std::nullopt;
}

std::string typed_edit_name(const model::Measurement& m, const TypedValue& value, const std::string& typed,
                            const std::string& tag) {
  const std::string layer = m.label.empty() ? "" : fmt::format(" ({})", m.label);
  const std::string back = value.as_stated ? "" : fmt::format(" (read from \"{}\")", trimmed(typed));
  return fmt::format("Type {}{} {}{}, {}", lower(model::label(m.quantity)), layer, value.reading, back, tag);
}

const PhotoView* find_use(const Snapshot& snapshot, model::PhotoUseId id) {
  const auto search = [&](const std::vector<PhotoView>& photos) -> const PhotoView* {
    for (const auto& view : photos)
      if (view.use.id == id) return &view;
    return nullptr;
  };
  if (const auto* found = search(snapshot.unfiled)) return found;
  for (const auto& opening : snapshot.openings)
    if (const auto* found = search(opening.photos)) return found;
  return nullptr;
}

Result<PhotoView> use_of(const Snapshot& snapshot, model::PhotoUseId id) {
  if (const auto* view = find_use(snapshot, id)) return *view;
  return fail(ErrorCode::NotFound, "That photo is not in this survey.",
              "It may have been taken out; choose another one.");
}

// What stands from this photo at the opening it is filed under, in the survey it is filed in.
std::vector<model::Measurement> measured_in(const Snapshot& snapshot, const model::PhotoUse& use) {
  std::vector<model::Measurement> found;
  const auto* view = use.opening ? snapshot.find(*use.opening) : nullptr;
  if (view == nullptr) return found;
  for (const auto& m : view->measurements)
    if (m.photo == use.photo && m.survey == use.survey) found.push_back(m);
  return found;
}

}  // namespace

Result<model::MeasurementId> Session::type_measurement(model::OpeningId opening, model::Quantity quantity,
                                                       const std::string& typed, model::Method method,
                                                       std::optional<double> u95_mm,
                                                       const std::string& label) {
  Access& a = *impl_->access;
  const auto view = a.opening(opening);
  if (!view) return tl::unexpected(view.error());
  const auto value = read_typed(quantity, typed, method, u95_mm, a.tables, standing_diameter(**view));
  if (!value) return tl::unexpected(value.error());
  model::Measurement m;
  m.opening = opening;
  m.quantity = quantity;
  m.label = quantity == model::Quantity::LayerThickness ? label : "";
  m.value = value->value;
  m.u95 = value->u95;
  m.method = method;
  m.instrument = value->instrument;
  m.note = value->note;
  m.made_at = a.clock.now_utc();
  model::MeasurementId id;
  auto done = a.edit(typed_edit_name(m, *value, typed, (*view)->opening.tag), [&](db::Edit& edit) {
    m.survey = a.survey_within(edit);
    const auto replacement = replacing((*view)->measurements, {m});
    id = edit.add_measurement(replacement.add.front());
    for (const auto old : replacement.withdraw) edit.withdraw_measurement(old);
  });
  if (!done) return tl::unexpected(std::move(done.error()));
  return id;
}

Result<void> Session::withdraw_measurement(model::MeasurementId measurement) {
  Access& a = *impl_->access;
  for (const auto& view : a.snapshot.openings) {
    for (const auto& m : view.measurements) {
      if (m.id != measurement) continue;
      return a.edit(fmt::format("Withdraw {}, {}", print_measurement(m), view.opening.tag),
                    [&](db::Edit& edit) { edit.withdraw_measurement(measurement); });
    }
  }
  return fail(ErrorCode::NotFound, "That measurement does not stand in this logbook.",
              "It may have been superseded or withdrawn already.");
}

Result<void> Session::record_measurements(const std::string& edit_name,
                                          const std::vector<model::Measurement>& measurements) {
  Access& a = *impl_->access;
  for (const auto& m : measurements)
    if (const auto view = a.opening(m.opening); !view) return tl::unexpected(view.error());
  // Not the snapshot's: that leaves out surveys later than the current one, which these may belong to.
  const auto standing = a.store.measurements();
  if (!standing) return tl::unexpected(standing.error());
  return a.edit(edit_name, [&](db::Edit& edit) {
    auto fresh = measurements;
    std::optional<model::SurveyId> survey;
    for (auto& m : fresh) {
      if (!m.survey.stored()) m.survey = survey ? *survey : survey.emplace(a.survey_within(edit));
      if (m.made_at.empty()) m.made_at = a.clock.now_utc();
    }
    apply(edit, replacing(*standing, std::move(fresh)));
  });
}

Result<void> Session::file_photo(model::PhotoUseId use, std::optional<model::OpeningId> opening) {
  Access& a = *impl_->access;
  const auto view = use_of(a.snapshot, use);
  if (!view) return tl::unexpected(view.error());
  std::string name = fmt::format("Take {} out of its opening", view->photo.original_name);
  std::vector<model::Measurement> there;
  if (opening) {
    const auto target = a.opening(*opening);
    if (!target) return tl::unexpected(target.error());
    name = fmt::format("File {} under {}", view->photo.original_name, (*target)->opening.tag);
    there = (*target)->measurements;
  }
  const auto moved = measured_in(a.snapshot, view->use);
  if (view->use.opening == opening) return {};
  return a.edit(name, [&](db::Edit& edit) {
    model::PhotoUse filed = view->use;
    filed.opening = opening;
    edit.save_photo_use(filed);
    for (const auto& m : moved) edit.withdraw_measurement(m.id);
    if (!opening) return;
    auto fresh = moved;
    for (auto& m : fresh) {
      m.id = {};
      m.opening = *opening;
      m.supersedes.reset();
    }
    apply(edit, replacing(there, std::move(fresh)));
  });
}

Result<void> Session::remove_photo_use(model::PhotoUseId use) {
  Access& a = *impl_->access;
  const auto view = use_of(a.snapshot, use);
  if (!view) return tl::unexpected(view.error());
  const auto measured = measured_in(a.snapshot, view->use);
  return a.edit(fmt::format("Remove {}{}", view->photo.original_name,
                            measured.empty() ? "" : " and what was measured in it"),
                [&](db::Edit& edit) {
                  for (const auto& m : measured) edit.withdraw_measurement(m.id);
                  edit.remove_photo_use(use);
                });
}

}  // namespace spile::app
