#include "gui/widgets/fields.hpp"

#include <fmt/format.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cctype>
#include <charconv>

#include "app/wording.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

constexpr float kLabelWidth = 132;

void take_focus(const Ui& ui, const std::string& name) {
  if (ui.focus != name) return;
  ImGui::SetKeyboardFocusHere();
  ImGui::SetScrollHereY(0.3F);
  ui.focus.clear();
}

struct Typed {
  Drafts::Draft& draft;
  bool left = false;  // Enter, or the keyboard went elsewhere
};

// The text input itself, with the draft behind it. The caller sets width and commit before.
Typed typed_input(const Ui& ui, const FieldId& id, const std::string& stored, const char* placeholder,
                  ImVec2 size, bool pause, const std::function<void(const std::string&)>& commit) {
  const std::string key = fmt::format("{}#{}", id.name, id.owner);
  Drafts::Draft& draft = ui.drafts.field(key, stored, ImGui::GetFrameCount());
  draft.commit = commit;
  draft.commits_on_pause = pause;
  take_focus(ui, id.name);
  const std::string label = "##" + key;
  const ImGuiInputTextFlags flags = ui.editable ? 0 : ImGuiInputTextFlags_ReadOnly;
  ImGui::PushStyleColor(ImGuiCol_Border,
                        draft.trouble.empty() ? ui.colours.edge.vec() : ui.colours.act.ink.vec());
  const bool changed = size.y > 0 ? ImGui::InputTextMultiline(label.c_str(), &draft.text, size, flags)
                                  : ImGui::InputTextWithHint(label.c_str(), placeholder, &draft.text,
                                                             flags | ImGuiInputTextFlags_AutoSelectAll);
  ImGui::PopStyleColor();
  hooks::note(id.name);
  if (changed) draft.changed_at = Drafts::Clock::now();
  const bool was_active = draft.active;
  draft.active = ImGui::IsItemActive();
  return {draft, was_active && !draft.active};
}

void commit_text(Typed typed) {
  if (!typed.left || typed.draft.text == typed.draft.stored) return;
  typed.draft.commit(typed.draft.text);
  typed.draft.stored = typed.draft.text;
}

void draw_at_rest(const Ui& ui, const std::string& text) {
  const ImVec2 pad = ImGui::GetStyle().FramePadding;
  const ImVec2 min = ImGui::GetItemRectMin();
  const ImVec2 max = ImGui::GetItemRectMax();
  const float width = max.x - min.x - 2 * pad.x;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.PushClipRect(min, max, true);
  list.AddText(ImGui::GetFont(), ImGui::GetFontSize(), {min.x + pad.x, min.y + pad.y}, ui.colours.ink.u32(),
               text.data(), text.data() + text.size(), width);
  list.PopClipRect();
  if (ImGui::CalcTextSize(text.c_str(), nullptr, false, width).y > max.y - min.y - pad.y) hint(text);
}

std::optional<double> read_number(const std::string& text) {
  const auto from = text.find_first_not_of(' ');
  const auto to = text.find_last_not_of(' ');
  if (from == std::string::npos) return std::nullopt;
  double value = 0;
  const auto [end, code] = std::from_chars(text.data() + from, text.data() + to + 1, value);
  if (code != std::errc() || end != text.data() + to + 1 || value < 0) return std::nullopt;
  return value;
}

bool blank(const std::string& text) {
  return text.find_first_not_of(" \t\n") == std::string::npos;
}

void small_note(const Ui& ui, std::string_view text, Colour colour) {
  ImGui::PushFont(ui.fonts.small);
  ImGui::PushStyleColor(ImGuiCol_Text, colour.vec());
  cut_text(text, ImGui::GetContentRegionAvail().x);
  ImGui::PopStyleColor();
  ImGui::PopFont();
}

}  // namespace

void field_label(const Ui& ui, const char* label) {
  ImGui::AlignTextToFramePadding();
  const float left = ImGui::GetCursorPosX();
  soft_text(ui, label);
  ImGui::SameLine();
  ImGui::SetCursorPosX(left + ui.px(kLabelWidth));
  ImGui::SetNextItemWidth(-FLT_MIN);
}

void text_field(const Ui& ui, const FieldId& id, const char* label, const std::string& stored,
                const char* placeholder, std::function<void(const std::string&)> commit) {
  field_label(ui, label);
  commit_text(typed_input(ui, id, stored, placeholder, {0, 0}, true, commit));
}

void notes_field(const Ui& ui, const FieldId& id, const char* label, const std::string& stored, int lines,
                 std::function<void(const std::string&)> commit) {
  field_label(ui, label);
  const float height =
      ImGui::GetTextLineHeight() * static_cast<float>(lines) + ImGui::GetStyle().FramePadding.y * 2;
  const float width = ImGui::GetContentRegionAvail().x;
  // The library's field does not wrap: while nobody types, its own text is hidden and drawn wrapped instead.
  const std::string key = fmt::format("{}#{}", id.name, id.owner);
  const bool at_rest = !ui.drafts.field(key, stored, ImGui::GetFrameCount()).active;
  if (at_rest) ImGui::PushStyleColor(ImGuiCol_Text, ImVec4(0, 0, 0, 0));
  const Typed typed = typed_input(ui, id, stored, "", {width, height}, true, commit);
  if (at_rest) ImGui::PopStyleColor();
  if (at_rest) draw_at_rest(ui, typed.draft.text);
  commit_text(typed);
}

void length_field(const Ui& ui, const FieldId& id, const char* label, std::optional<double> stored_mm,
                  Size size, std::function<void(std::optional<double>)> commit) {
  field_label(ui, label);
  ImGui::SetNextItemWidth(std::min(ui.px(120), ImGui::GetContentRegionAvail().x));
  const std::string stored = stored_mm ? show_length(*stored_mm, ui.lengths, size) : "";
  const auto lengths = ui.lengths;
  // Nothing is recorded of a text that is no length: it stays in the field, with what is wrong beside it.
  const auto read_and_commit = [commit, lengths, size](const std::string& text) {
    if (blank(text)) return commit(std::nullopt);
    if (const auto read = read_length(text, lengths, size)) commit(read->length.value());
  };
  const Typed typed = typed_input(ui, id, stored, "not recorded", {0, 0}, false, read_and_commit);
  bool trouble = false;
  const std::string reading = reading_of(typed.draft.text, lengths, size, trouble);
  typed.draft.trouble = trouble && !typed.draft.active ? reading : "";
  if (typed.left && !trouble) commit_text(typed);
  if (reading.empty()) return;
  ImGui::SameLine();
  const bool same = typed.draft.text == stored && stored_mm;
  small_note(ui, same ? "= " + show_other(*stored_mm, lengths, size) : reading,
             trouble ? ui.colours.act.ink : ui.colours.soft);
}

void angle_field(const Ui& ui, const FieldId& id, const char* label, std::optional<double> stored_deg,
                 const char* placeholder, std::function<void(std::optional<double>)> commit) {
  field_label(ui, label);
  ImGui::SetNextItemWidth(std::min(ui.px(120), ImGui::GetContentRegionAvail().x));
  const std::string stored = stored_deg ? units::print_angle(units::Degree(*stored_deg)) : "";
  const auto read_and_commit = [commit](const std::string& text) {
    if (blank(text)) return commit(std::nullopt);
    if (const auto read = units::parse_angle(text)) commit(read->value());
  };
  const Typed typed = typed_input(ui, id, stored, "by type", {0, 0}, false, read_and_commit);
  const auto read = units::parse_angle(typed.draft.text);
  const bool trouble = !read && !blank(typed.draft.text);
  typed.draft.trouble = trouble && !typed.draft.active ? read.error().what : "";
  if (typed.left && !trouble) commit_text(typed);
  ImGui::SameLine();
  small_note(ui, trouble ? read.error().what : std::string(placeholder),
             trouble ? ui.colours.act.ink : ui.colours.soft);
}

void number_field(const Ui& ui, const FieldId& id, const char* label, std::optional<double> stored,
                  const char* unit, std::function<void(std::optional<double>)> commit) {
  field_label(ui, label);
  ImGui::SetNextItemWidth(std::min(ui.px(120), ImGui::GetContentRegionAvail().x));
  const std::string shown = stored ? fmt::format("{:.6g}", *stored) : "";
  const auto read_and_commit = [commit](const std::string& text) {
    if (blank(text)) return commit(std::nullopt);
    if (const auto read = read_number(text)) commit(*read);
  };
  const Typed typed = typed_input(ui, id, shown, "not recorded", {0, 0}, false, read_and_commit);
  const bool trouble = !blank(typed.draft.text) && !read_number(typed.draft.text);
  const std::string note = trouble ? "a number, 0 or more" : unit;
  typed.draft.trouble = trouble && !typed.draft.active ? note : "";
  if (typed.left && !trouble) commit_text(typed);
  ImGui::SameLine();
  small_note(ui, note, trouble ? ui.colours.act.ink : ui.colours.soft);
}

namespace {

void choice_row(const Ui& ui, const FieldId& id, const rules::Choice& choice, const std::string& key,
                const std::function<void(const std::string&)>& commit) {
  const bool lit = choice.key == key;
  if (ImGui::Selectable((choice.label + "##" + choice.key).c_str(), lit) && !lit) commit(choice.key);
  hooks::note(id.name + "/" + choice.key);
  hint(choice.note);
  if (lit && ImGui::IsWindowAppearing()) ImGui::SetScrollHereY();
  (void)ui;
}

bool contains_word(std::string_view text, std::string_view word) {
  const auto same = [](char a, char b) {
    return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
  };
  return std::search(text.begin(), text.end(), word.begin(), word.end(), same) != text.end();
}

}  // namespace

void choice_field(const Ui& ui, const FieldId& id, const char* label,
                  const std::vector<rules::Choice>& choices, const std::string& key, const char* none,
                  std::function<void(const std::string&)> commit) {
  constexpr std::size_t kManyChoices = 12;  // more than fit in sight: typing finds faster than looking
  field_label(ui, label);
  take_focus(ui, id.name);
  ImGui::BeginDisabled(!ui.editable);
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  const std::string shown = key.empty() ? none : std::string(rules::label_of(choices, key));
  const bool open = ImGui::BeginCombo(("##" + id.name).c_str(), shown.c_str(), ImGuiComboFlags_HeightLarge);
  ImGui::PopStyleColor();
  hooks::note(id.name);
  if (open) {
    Drafts::Draft& search = ui.drafts.field(id.name + "/search", "", ImGui::GetFrameCount());
    if (choices.size() > kManyChoices) {
      if (ImGui::IsWindowAppearing()) {
        search.text.clear();
        ImGui::SetKeyboardFocusHere();
      }
      ImGui::SetNextItemWidth(-FLT_MIN);
      ImGui::InputTextWithHint("##search", "type to find", &search.text);
      hooks::note(id.name + "/search");
      search.active = true;  // keeps the text; there is nothing to commit
    }
    if (ImGui::Selectable(none, key.empty()) && !key.empty()) commit("");
    hooks::note(id.name + "/none");
    std::string_view group;
    for (const auto& choice : choices) {
      if (!contains_word(choice.label + " " + choice.note + " " + choice.group, search.text)) continue;
      if (choice.group != group) {
        group = choice.group;
        if (!group.empty()) soft_text(ui, group);
      }
      choice_row(ui, id, choice, key, commit);
    }
    ImGui::EndCombo();
  }
  ImGui::EndDisabled();
}

void choices_field(const Ui& ui, const FieldId& id, const char* label,
                   const std::vector<rules::Choice>& choices, const std::vector<std::string>& keys,
                   const char* none, std::function<void(const std::vector<std::string>&)> commit) {
  field_label(ui, label);
  take_focus(ui, id.name);
  ImGui::BeginDisabled(!ui.editable);
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  std::string shown;
  for (const auto& key : keys)
    shown += (shown.empty() ? "" : ", ") + std::string(rules::label_of(choices, key));
  const bool open = ImGui::BeginCombo(("##" + id.name).c_str(), shown.empty() ? none : shown.c_str(),
                                      ImGuiComboFlags_HeightLarge);
  ImGui::PopStyleColor();
  hooks::note(id.name);
  if (open) {
    std::string_view group;
    for (const auto& choice : choices) {
      if (choice.group != group) {
        group = choice.group;
        if (!group.empty()) soft_text(ui, group);
      }
      auto chosen = keys;
      const auto at = std::find(chosen.begin(), chosen.end(), choice.key);
      bool on = at != chosen.end();
      if (ImGui::Checkbox((choice.label + "##" + choice.key).c_str(), &on)) {
        on ? chosen.push_back(choice.key) : static_cast<void>(chosen.erase(at));
        commit(chosen);
      }
      hooks::note(id.name + "/" + choice.key);
    }
    ImGui::EndCombo();
  }
  ImGui::EndDisabled();
  if (keys.size() > 1) hint(shown);
}

std::optional<std::size_t> segments(const Ui& ui, std::string_view name, std::span<const Option> options,
                                    std::size_t lit) {
  std::optional<std::size_t> pressed;
  const Palette& p = ui.colours;
  const ImVec2 pad = ImGui::GetStyle().FramePadding;
  const float right = ImGui::GetWindowPos().x + ImGui::GetWindowContentRegionMax().x;
  const float left = ImGui::GetCursorPosX();
  float x = ImGui::GetCursorScreenPos().x;
  for (std::size_t i = 0; i < options.size(); ++i) {
    const std::string label = fmt::format("{}##{}{}", options[i].label, name, i);
    const float width = size_of(options[i].label).x + 2 * pad.x;
    if (i > 0) {
      if (x + width <= right)
        ImGui::SameLine(0, ui.px(3));
      else {
        ImGui::SetCursorPosX(left);
        x = ImGui::GetCursorScreenPos().x;
      }
    }
    const bool on = i == lit;
    ImGui::PushStyleColor(ImGuiCol_Button, (on ? p.accent : p.field).vec());
    ImGui::PushStyleColor(ImGuiCol_ButtonHovered, (on ? p.accent : p.hovered).vec());
    ImGui::PushStyleColor(ImGuiCol_Text, (on ? p.on_accent : p.ink).vec());
    ImGui::PushStyleColor(ImGuiCol_Border, (on ? p.accent : p.line).vec());
    if (i == lit || (i == 0 && lit >= options.size())) take_focus(ui, std::string(name));
    if (ImGui::Button(label.c_str(), {width, 0}) && !on) pressed = i;
    ImGui::PopStyleColor(4);
    hooks::note(fmt::format("{}/{}", name, options[i].key));
    x += width + ui.px(3);
  }
  return pressed;
}

std::optional<std::size_t> pick_list(const Ui& ui, std::string_view name, std::span<const Option> options,
                                     std::size_t lit) {
  std::optional<std::size_t> picked;
  const std::string shown = lit < options.size() ? std::string(options[lit].label) : std::string();
  take_focus(ui, std::string(name));
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  const bool open =
      ImGui::BeginCombo(fmt::format("##{}", name).c_str(), shown.c_str(), ImGuiComboFlags_HeightLarge);
  ImGui::PopStyleColor();
  hooks::note(name);
  if (!open) return picked;
  for (std::size_t i = 0; i < options.size(); ++i) {
    if (ImGui::Selectable(fmt::format("{}##{}", options[i].label, i).c_str(), i == lit) && i != lit)
      picked = i;
    hooks::note(fmt::format("{}/{}", name, options[i].key));
  }
  ImGui::EndCombo();
  return picked;
}

}  // namespace spile::gui
