#include "gui/views/chooser.hpp"

#include <fmt/format.h>
#include <imgui_stdlib.h>

#include "gui/desk.hpp"
#include "gui/keys.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

const char* title_of(ChooserFor purpose) {
  switch (purpose) {
    case ChooserFor::OpenLogbook:
      return "Open a logbook";
    case ChooserFor::CreateLogbook:
      return "New logbook";
    case ChooserFor::MergeLogbook:
      return "Somebody's copy of this logbook";
    case ChooserFor::Photos:
      return "Take photos in";
    case ChooserFor::BoardPhotos:
      return "Photos of the board";
  }
  return "";
}

const char* verb_of(ChooserFor purpose) {
  switch (purpose) {
    case ChooserFor::OpenLogbook:
      return "Open";
    case ChooserFor::CreateLogbook:
      return "Make the logbook here";
    case ChooserFor::MergeLogbook:
      return "Look through";
    case ChooserFor::Photos:
      return "Take in";
    case ChooserFor::BoardPhotos:
      return "Calibrate from";
  }
  return "";
}

std::string place_name(const std::filesystem::path& place) {
  return place.filename().empty() ? place.string() : place.filename().string();
}

std::string size_text(std::uintmax_t bytes) {
  if (bytes < 1024 * 1024) return fmt::format("{} kB", (bytes + 1023) / 1024);
  return fmt::format("{:.1f} MB", static_cast<double>(bytes) / (1024.0 * 1024.0));
}

}  // namespace

void ChooserView::draw(const Ui& ui) {
  const ChooserState& chooser = ui.desk.state().chooser;
  if (!chooser.open) {
    was_open_ = false;
    return;
  }
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({std::min(ui.px(820), screen.x * 0.94F), std::min(ui.px(560), screen.y * 0.9F)});
  if (!was_open_) {
    ImGui::OpenPopup("chooser");
    picked_.clear();
  }
  was_open_ = true;
  if (folder_ != chooser.folder) {
    folder_ = chooser.folder;
    path_ = folder_.string();
    picked_.clear();
  }
  if (!ImGui::BeginPopupModal(
          "chooser", nullptr,
          ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove)) {
    // Closed by the library, e.g. by Escape.
    ui.ask(ChooserCancel{});
    return;
  }
  heading(ui, title_of(chooser.purpose));
  ImGui::SetNextItemWidth(-ui.px(64));
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  if (ImGui::InputText("##path", &path_, ImGuiInputTextFlags_EnterReturnsTrue)) go(ui, path_);
  ImGui::PopStyleColor();
  hooks::note("chooser.path");
  hint("A folder to go to, or the file itself. Enter goes there.");
  ImGui::SameLine();
  if (button(ui, "chooser.up", "Up", chooser.folder.has_parent_path())) go(ui, chooser.folder.parent_path());
  if (!chooser.trouble.empty()) caution_box(ui, chooser.trouble, ui.colours.act, MarkShape::Triangle);
  const float foot = ImGui::GetFrameHeightWithSpacing() + ui.px(8);
  const float height = ImGui::GetContentRegionAvail().y - foot;
  ImGui::BeginChild("places", {ui.px(150), height}, true);
  draw_places(ui, chooser);
  ImGui::EndChild();
  ImGui::SameLine();
  draw_entries(ui, chooser, {0, height});
  draw_foot(ui, chooser);
  if (pressed(Key::Escape) && !ImGui::GetIO().WantTextInput) ui.ask(ChooserCancel{});
  ImGui::EndPopup();
}

void ChooserView::go(const Ui& ui, const std::filesystem::path& target) {
  std::error_code ignored;
  const ChooserState& chooser = ui.desk.state().chooser;
  const bool logbook = is_logbook(target) && !takes_photos(chooser.purpose);
  const bool photo = looks_like_photo(target) && std::filesystem::is_regular_file(target, ignored);
  const bool takes_logbook =
      chooser.purpose == ChooserFor::OpenLogbook || chooser.purpose == ChooserFor::MergeLogbook;
  if (logbook && takes_logbook) return ui.ask(ChooserPick{{target}});
  if (photo && takes_photos(chooser.purpose)) return ui.ask(ChooserPick{{target}});
  ui.ask(ChooserGo{target});
}

void ChooserView::draw_places(const Ui& ui, const ChooserState& chooser) {
  for (std::size_t i = 0; i < chooser.places.size(); ++i) {
    if (ImGui::Selectable(fmt::format("{}##{}", place_name(chooser.places[i]), i).c_str(),
                          chooser.places[i] == chooser.folder, ImGuiSelectableFlags_DontClosePopups))
      go(ui, chooser.places[i]);
    hooks::note(fmt::format("chooser.place.{}", i));
    hint(chooser.places[i].string());
  }
}

void ChooserView::draw_entries(const Ui& ui, const ChooserState& chooser, ImVec2 size) {
  ImGui::BeginChild("entries", size, true);
  if (chooser.entries.empty() && chooser.trouble.empty())
    soft_wrapped(ui, takes_photos(chooser.purpose) ? "No photos and no folders here." : "No folders here.");
  for (const ChooserEntry& entry : chooser.entries) {
    const bool picked = picked_.contains(entry.path);
    const bool folder = entry.kind == ChooserEntry::Kind::Folder;
    const std::string shown = folder ? entry.name + "/" : entry.name;
    if (ImGui::Selectable(fmt::format("{}##{}", shown, entry.path.string()).c_str(), picked,
                          ImGuiSelectableFlags_DontClosePopups | ImGuiSelectableFlags_AllowDoubleClick)) {
      const bool twice = ImGui::IsMouseDoubleClicked(ImGuiMouseButton_Left);
      if (folder)
        go(ui, entry.path);
      else if (takes_photos(chooser.purpose) && !twice)
        picked ? (void)picked_.erase(entry.path) : (void)picked_.insert(entry.path);
      else if (chooser.purpose != ChooserFor::CreateLogbook) {
        picked_ = {entry.path};
        if (twice || !takes_photos(chooser.purpose)) take(ui, chooser);
      }
    }
    hooks::note("chooser.entry." + entry.name);
    const std::string note = entry.kind == ChooserEntry::Kind::Logbook ? "logbook"
                             : folder                                  ? ""
                                                                       : size_text(entry.bytes);
    if (note.empty()) continue;
    ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - size_of(note).x);
    soft_text(ui, note);
  }
  ImGui::EndChild();
}

bool ChooserView::can_take(const ChooserState& chooser) const {
  // A path typed but not gone to must not end in a logbook somewhere else.
  if (chooser.purpose == ChooserFor::CreateLogbook)
    return !name_.empty() && name_.find('/') == std::string::npos && path_ == chooser.folder.string();
  if (takes_photos(chooser.purpose)) return true;  // the whole folder when none is picked
  return !picked_.empty();
}

void ChooserView::take(const Ui& ui, const ChooserState& chooser) {
  if (!can_take(chooser)) return;
  if (chooser.purpose == ChooserFor::CreateLogbook) return ui.ask(ChooserPick{{chooser.folder / name_}});
  if (picked_.empty()) return ui.ask(ChooserPick{{chooser.folder}});
  ui.ask(ChooserPick{{picked_.begin(), picked_.end()}});
}

void ChooserView::draw_foot(const Ui& ui, const ChooserState& chooser) {
  ImGui::Dummy({0, ui.px(2)});
  bool entered = false;
  if (chooser.purpose == ChooserFor::CreateLogbook) {
    ImGui::AlignTextToFramePadding();
    ImGui::TextUnformatted("Name");
    ImGui::SameLine();
    ImGui::SetNextItemWidth(ui.px(240));
    if (ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
    ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
    entered = ImGui::InputText("##name", &name_,
                               ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll);
    ImGui::PopStyleColor();
    hooks::note("chooser.name");
    ImGui::SameLine();
    soft_text(ui, ".spile");
    ImGui::SameLine();
  }
  std::string verb = verb_of(chooser.purpose);
  if (takes_photos(chooser.purpose))
    verb = picked_.empty()
               ? "Take in the whole folder"
               : fmt::format("Take in {} photo{}", picked_.size(), picked_.size() == 1 ? "" : "s");
  if (main_button(ui, "chooser.take", verb.c_str(), can_take(chooser)) || entered) take(ui, chooser);
  ImGui::SameLine();
  if (button(ui, "chooser.cancel", "Cancel", true, "Esc")) ui.ask(ChooserCancel{});
}

}  // namespace spile::gui
