// Fields of a record: a label on the left, on the right what is recorded, committed field by field.
// `name` is the field's stable name (tests, focus); `owner` the id of the record it belongs to.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gui/ui.hpp"
#include "gui/words.hpp"
#include "model/names.hpp"
#include "rules/tables.hpp"

namespace spile::gui {

struct FieldId {
  std::string name;
  std::int64_t owner = 0;
};

// Puts the label and leaves the cursor where the field goes, its width set.
void field_label(const Ui& ui, const char* label);

void text_field(const Ui& ui, const FieldId& id, const char* label, const std::string& stored,
                const char* hint, std::function<void(const std::string&)> commit);
void notes_field(const Ui& ui, const FieldId& id, const char* label, const std::string& stored, int lines,
                 std::function<void(const std::string&)> commit);
// Shows beside the text how it was read.
void length_field(const Ui& ui, const FieldId& id, const char* label, std::optional<double> stored_mm,
                  Size size, std::function<void(std::optional<double>)> commit);
void angle_field(const Ui& ui, const FieldId& id, const char* label, std::optional<double> stored_deg,
                 const char* hint, std::function<void(std::optional<double>)> commit);

// A plain number, 0 or more; `unit` stands behind it.
void number_field(const Ui& ui, const FieldId& id, const char* label, std::optional<double> stored,
                  const char* unit, std::function<void(std::optional<double>)> commit);

// Any number of a table's rows, those chosen listed one after the other.
void choices_field(const Ui& ui, const FieldId& id, const char* label,
                   const std::vector<rules::Choice>& choices, const std::vector<std::string>& keys,
                   const char* none, std::function<void(const std::vector<std::string>&)> commit);

// One of a table's rows; `none` is what no key is called.
void choice_field(const Ui& ui, const FieldId& id, const char* label,
                  const std::vector<rules::Choice>& choices, const std::string& key, const char* none,
                  std::function<void(const std::string&)> commit);

struct Option {
  std::string_view key;
  std::string_view label;
};
// All options in sight, one lit. Returns the one pressed.
[[nodiscard]] std::optional<std::size_t> segments(const Ui& ui, std::string_view name,
                                                  std::span<const Option> options, std::size_t lit);
// A list to pull down. Returns the one picked.
[[nodiscard]] std::optional<std::size_t> pick_list(const Ui& ui, std::string_view name,
                                                   std::span<const Option> options, std::size_t lit);

template <class E>
[[nodiscard]] std::vector<Option> options_of() {
  std::vector<Option> options;
  for (const auto& n : model::names<E>()) options.push_back({n.key, n.label});
  return options;
}

template <class E>
[[nodiscard]] std::size_t place_of(E value) {
  std::size_t at = 0;
  for (const auto& n : model::names<E>()) {
    if (n.value == value) return at;
    ++at;
  }
  return 0;
}

template <class E>
void enum_field(const Ui& ui, const FieldId& id, const char* label, E value,
                std::function<void(std::type_identity_t<E>)> commit) {
  field_label(ui, label);
  ImGui::BeginDisabled(!ui.editable);
  const auto options = options_of<E>();
  if (const auto picked = segments(ui, id.name, options, place_of(value)))
    commit(model::names<E>()[*picked].value);
  ImGui::EndDisabled();
}

template <class E>
void enum_list_field(const Ui& ui, const FieldId& id, const char* label, E value,
                     std::function<void(std::type_identity_t<E>)> commit) {
  field_label(ui, label);
  ImGui::BeginDisabled(!ui.editable);
  const auto options = options_of<E>();
  if (const auto picked = pick_list(ui, id.name, options, place_of(value)))
    commit(model::names<E>()[*picked].value);
  ImGui::EndDisabled();
}

}  // namespace spile::gui
