// Inside of the record's pane: fields that set one member of a record of the opening in sight.
#pragma once

#include <array>
#include <functional>
#include <type_traits>

#include "gui/desk.hpp"
#include "gui/widgets/fields.hpp"

namespace spile::gui {

// A row of segments whose options are the values of an enumeration, in order.
template <class E, std::size_t N>
void segment_field(const Ui& ui, const char* name, const char* label, const std::array<Option, N>& options,
                   E value, const std::function<void(std::type_identity_t<E>)>& commit) {
  field_label(ui, label);
  ImGui::BeginDisabled(!ui.editable);
  if (const auto picked = segments(ui, name, options, static_cast<std::size_t>(value)))
    commit(static_cast<E>(*picked));
  ImGui::EndDisabled();
}

// Sets one member of a record. Made of values only: a field may be committed after its view has gone.
template <class Change, class Record, class T>
std::function<void(T)> setter(const Ui& ui, model::OpeningId opening, T Record::*member) {
  return [intents = &ui.intents, opening, member](T value) {
    intents->push(Change{opening, [member, value](Record& record) { record.*member = value; }});
  };
}
template <class T>
std::function<void(T)> seen_as(const Ui& ui, const app::OpeningView& view, T model::Observation::*member) {
  return setter<ChangeObservation>(ui, view.opening.id, member);
}
template <class T>
std::function<void(T)> placed_as(const Ui& ui, const app::OpeningView& view, T model::Opening::*member) {
  return setter<ChangeOpening>(ui, view.opening.id, member);
}
template <class T>
std::function<void(T)> fitted_as(const Ui& ui, const app::OpeningView& view, T model::Fitting::*member) {
  return setter<ChangeFitting>(ui, view.opening.id, member);
}

}  // namespace spile::gui
