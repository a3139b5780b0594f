#include "gui/shell.hpp"

#include <fmt/format.h>
#include <imgui_internal.h>

#include <array>

#include "gui/actions.hpp"
#include "gui/keys.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/cameras.hpp"
#include "gui/views/help.hpp"
#include "gui/views/merge.hpp"
#include "gui/views/start.hpp"
#include "gui/views/status.hpp"
#include "gui/views/trends.hpp"
#include "gui/views/verdicts.hpp"
#include "gui/views/vessel.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/splitter.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

// From this width on record and verdicts stand side by side.
constexpr float kWide = 1500;
// The photo's pane fits its contents; a scroll bar coming and going would move the picture under the cursor.
constexpr ImGuiWindowFlags kNoScroll = ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse;

SetShares shares_of(const Settings& s) {
  return {s.left_share, s.left_share_wide, s.list_share, s.right_share};
}

bool anything_open() {
  return ImGui::IsPopupOpen("", ImGuiPopupFlags_AnyPopupId | ImGuiPopupFlags_AnyPopupLevel);
}

bool begin_pane(const char* id, ImVec2 size, bool focus, ImGuiWindowFlags flags = 0) {
  if (focus) ImGui::SetNextWindowFocus();
  const bool open = ImGui::BeginChild(id, size, true, flags | ImGuiWindowFlags_AlwaysUseWindowPadding);
  if (focus) {
    // The first widget of the pane takes the keyboard.
    ImGui::NavInitWindow(ImGui::GetCurrentWindow(), true);
    ImGui::GetCurrentContext()->NavDisableHighlight = false;
  }
  return open;
}

}  // namespace

bool Shell::prepare(float display_scale) {
  const Settings& settings = desk_.state().settings;
  const float wanted = display_scale * settings.scale;
  const bool rescaled = wanted != scale_;
  if (rescaled) {
    scale_ = wanted;
    fonts_ = build_fonts(scale_);
  }
  if (rescaled || shade_ != settings.shade) {
    shade_ = settings.shade;
    apply_theme(settings.shade, scale_);
  }
  return rescaled;
}

std::optional<std::chrono::steady_clock::time_point> Shell::next_alarm() const {
  const auto notice = desk_.next_alarm();
  const auto draft = drafts_.next_alarm();
  std::optional<std::chrono::steady_clock::time_point> blink;
  if (const auto seconds = compare_.seconds_to_blink(); seconds && desk_.state().page == Page::Compare)
    blink = std::chrono::steady_clock::now() +
            std::chrono::ceil<std::chrono::milliseconds>(std::chrono::duration<double>(*seconds));
  auto first = notice;
  for (const auto& alarm : {draft, blink})
    if (alarm && (!first || *alarm < *first)) first = alarm;
  return first;
}

void Shell::frame() {
  desk_.pump();
  take_pictures();
  for (const ViewCommand& asked : desk_.take_commands()) command(asked);
  const Ui ui{desk_,   palette(*shade_), fonts_,   scale_, desk_.state().settings.lengths, desk_.can_edit(),
              drafts_, textures_,        intents_, focus_};
  ImGui::PushFont(fonts_.body);
  use_keys(ui);
  draw_window(ui);
  ImGui::PopFont();
  drafts_.sweep(ImGui::GetFrameCount(), Drafts::Clock::now());
  carry_out();
}

// Another logbook counts its photos from one again: the same key would show a picture of the one before, and
// the same photo would keep its zoom.
void Shell::take_pictures() {
  if (std::exchange(logbook_, desk_.logbook_number()) != desk_.logbook_number()) {
    textures_.clear();
    bench_ = {};
    compare_ = {};
  }
  for (const Upload& upload : desk_.take_uploads()) textures_.put(upload.key, upload.pixels);
}

// Ctrl+Z in a text that has been changed belongs to the text; anywhere else to the logbook.
void Shell::use_keys(const Ui& ui) {
  // A key that has just closed something is used up.
  const bool was_open = std::exchange(something_open_, anything_open());
  if (was_open || something_open_) return;
  Intents asked;
  run_shortcuts(ui.desk, asked);
  for (Intent& intent : asked.take()) {
    const bool history = std::holds_alternative<Undo>(intent) || std::holds_alternative<Redo>(intent);
    if (history && drafts_.unsaved()) continue;
    // Whatever is being typed is recorded first, and the field lets go, so that it shows the record again.
    drafts_.flush();
    ImGui::ClearActiveID();
    intents_.push(std::move(intent));
  }
}

void Shell::carry_out() {
  // What an intent asks for in turn is carried out in the next frame.
  for (const Intent& intent : intents_.take()) desk_.apply(intent);
}

void Shell::command(const ViewCommand& asked) {
  if (const auto* pane = std::get_if<FocusPane>(&asked)) {
    if (pane->pane == Pane::Photo)
      bench_.focus();
    else
      focus_pane_ = pane->pane;
    if (pane->pane == Pane::Record && pane->field) focus_ = pane->field;
  }
  if (std::holds_alternative<FocusFilter>(asked)) openings_.focus_filter();
  if (const auto* zoom = std::get_if<ZoomPhoto>(&asked))
    desk_.state().page == Page::Compare ? compare_.zoom(zoom->zoom) : bench_.zoom(zoom->zoom);
}

void Shell::drop(std::vector<std::filesystem::path> files) {
  DropFiles dropped{std::move(files), std::nullopt};
  dropped.onto = openings_.row_at(ImGui::GetIO().MousePos);
  if (!dropped.onto) dropped.onto = desk_.state().selected;
  intents_.push(std::move(dropped));
}

void Shell::ask_to_close() {
  drafts_.flush();
  carry_out();
  desk_.apply(Quit{});
}

void Shell::draw_window(const Ui& ui) {
  const ImGuiViewport& viewport = *ImGui::GetMainViewport();
  ImGui::SetNextWindowPos(viewport.Pos);
  ImGui::SetNextWindowSize(viewport.Size);
  ImGui::Begin("spile", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_MenuBar);
  draw_menus(ui);
  const Page page = desk_.logbook() ? desk_.state().page : Page::Start;
  if (page != Page::Start) draw_head(ui);
  const float foot = ImGui::GetFrameHeightWithSpacing();
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ui.colours.ground.vec());
  ImGui::BeginChild("page", {0, ImGui::GetContentRegionAvail().y - foot}, false);
  ImGui::PopStyleColor();
  switch (page) {
    case Page::Start:
      draw_start(ui);
      break;
    case Page::Desk:
      draw_desk(ui);
      break;
    case Page::Vessel:
      draw_vessel(ui);
      break;
    case Page::Surveys:
      draw_surveys(ui);
      break;
    case Page::Cameras:
      draw_cameras(ui);
      break;
    case Page::Compare:
      compare_.draw(ui);
      break;
    case Page::Seasons:
      seasons_.draw(ui);
      break;
    case Page::Merge:
      draw_merge(ui);
      break;
  }
  ImGui::EndChild();
  draw_status(ui);
  chooser_.draw(ui);
  draw_help(ui);
  draw_quit_question(ui);
  ImGui::End();
  draw_messages(ui);
}

void Shell::draw_menus(const Ui& ui) {
  if (!ImGui::BeginMenuBar()) return;
  for (const Menu menu : {Menu::Logbook, Menu::Edit, Menu::Opening, Menu::Photo, Menu::View, Menu::Help}) {
    const std::string title(title_of(menu));
    const bool open = ImGui::BeginMenu(title.c_str());
    hooks::note("menu." + title);
    if (!open) continue;
    for (const Action& a : all_actions()) {
      if (a.menu != menu) continue;
      if (a.line_above) ImGui::Separator();
      const std::string label = fmt::format("{}###{}", label_of(a, ui.desk), a.id);
      const bool ticked = a.ticked && a.ticked(ui.desk);
      if (ImGui::MenuItem(label.c_str(), text_of(a.shortcut).c_str(), ticked, a.enabled(ui.desk)))
        ui.ask(a.intent(ui.desk));
      hooks::note(fmt::format("menu/{}", a.id));
    }
    ImGui::EndMenu();
  }
  ImGui::EndMenuBar();
}

// Which craft and which survey this is about.
void Shell::draw_head(const Ui& ui) {
  const app::Snapshot& logbook = *desk_.logbook();
  const std::string name =
      logbook.vessel && !logbook.vessel->name.empty() ? logbook.vessel->name : "Vessel not named yet";
  ImGui::PushFont(fonts_.heading);
  if (link(ui, "head.vessel", name.c_str()))
    ui.ask(ShowPage{desk_.state().page == Page::Vessel ? Page::Desk : Page::Vessel});
  ImGui::PopFont();
  hint("The vessel (F2)");
  if (logbook.vessel) {
    std::string about(model::label(logbook.vessel->type));
    if (logbook.vessel->length_mm)
      about += ", " + show_length(*logbook.vessel->length_mm, ui.lengths, Size::Hull);
    about += std::string(", ") + std::string(model::label(logbook.vessel->construction));
    beside_heading(ui);
    soft_text(ui, about);
  }
  std::vector<std::string> labels;
  std::vector<Option> options;
  std::size_t lit = 0;
  labels.reserve(logbook.surveys.size());
  for (const model::Survey& s : logbook.surveys) {
    if (logbook.survey == s.id) lit = labels.size();
    labels.push_back(fmt::format("{}  {}, {}", s.date, s.title, model::label(s.afloat)));
  }
  for (const std::string& label : labels) options.push_back({std::string_view(label).substr(0, 10), label});
  const float list = ui.px(300);
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - list - size_of("Survey").x - ui.px(10));
  ImGui::AlignTextToFramePadding();
  if (link(ui, "head.surveys", "Survey"))
    ui.ask(ShowPage{desk_.state().page == Page::Surveys ? Page::Desk : Page::Surveys});
  hint("All surveys (F3)");
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - list);
  ImGui::SetNextItemWidth(list);
  if (const auto picked = pick_list(ui, "head.survey", options, lit))
    ui.ask(ChooseSurvey{logbook.surveys[*picked].id});
  if (!logbook.read_only) return;
  caution_box(ui, "For reading only. " + desk_.state().held_by, ui.colours.watch, MarkShape::Disc);
  hooks::note("head.read_only");
}

void Shell::draw_desk(const Ui& ui) {
  const ImVec2 room = ImGui::GetContentRegionAvail();
  if (desk_.state().large_photo) {
    begin_pane("photo", room, false, kNoScroll);
    bench_.draw(ui);
    ImGui::EndChild();
    return;
  }
  SetShares shares = dragged_.value_or(shares_of(desk_.state().settings));
  const float bar = ui.px(kSplitter);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  const bool wide = ImGui::GetIO().DisplaySize.x >= ui.px(kWide);
  float& left_share = wide ? shares.left_wide : shares.left;
  const float left = (room.x - bar) * left_share;
  ImGui::BeginGroup();
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(6)});
  draw_left(ui, {left, room.y});
  ImGui::PopStyleVar();
  ImGui::EndGroup();
  ImGui::SameLine();
  const bool dragging = splitter(ui, "split.left", true, room.y, room.x, left_share);
  ImGui::SameLine();
  ImGui::BeginGroup();
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(6)});
  draw_right(ui, {room.x - bar - left, room.y});
  ImGui::PopStyleVar();
  ImGui::EndGroup();
  ImGui::PopStyleVar();
  if (dragging) {
    const SetShares inner = dragged_.value_or(shares_of(desk_.state().settings));
    dragged_ = SetShares{shares.left, shares.left_wide, inner.list, inner.right};
  }
  if (dragged_ && !ImGui::IsMouseDown(ImGuiMouseButton_Left)) {
    ui.ask(*dragged_);
    dragged_.reset();
  }
  focus_pane_.reset();
}

void Shell::draw_left(const Ui& ui, ImVec2 size) {
  SetShares shares = dragged_.value_or(shares_of(desk_.state().settings));
  const float bar = ui.px(kSplitter);
  const float list = (size.y - bar) * shares.list;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  begin_pane("list", {size.x, list}, focus_pane_ == Pane::List);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(6)});
  openings_.draw(ui);
  ImGui::PopStyleVar();
  ImGui::EndChild();
  if (splitter(ui, "split.list", false, size.x, size.y, shares.list)) dragged_ = shares;
  begin_pane("photo", {size.x, size.y - bar - list}, false, kNoScroll);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(6)});
  bench_.draw(ui);
  ImGui::PopStyleVar();
  ImGui::EndChild();
  ImGui::PopStyleVar();
}

void Shell::draw_beside(const Ui& ui) {
  static constexpr std::array<Option, 3> options{
      {{"verdicts", "Verdicts"}, {"water", "Runs and water"}, {"trends", "Over the seasons"}}};
  const Beside beside = desk_.state().beside;
  if (const auto picked = segments(ui, "beside", options, static_cast<std::size_t>(beside)))
    ui.ask(ShowBeside{static_cast<Beside>(*picked)});
  switch (beside) {
    case Beside::Verdicts:
      return draw_verdicts(ui);
    case Beside::Water:
      return water_.draw(ui);
    case Beside::Trends:
      return draw_trends(ui);
  }
}

void Shell::draw_right(const Ui& ui, ImVec2 size) {
  SetShares shares = dragged_.value_or(shares_of(desk_.state().settings));
  const float bar = ui.px(kSplitter);
  const bool side_by_side = ImGui::GetIO().DisplaySize.x >= ui.px(kWide);
  const float room = side_by_side ? size.x : size.y;
  const float record = (room - bar) * shares.right;
  const float rest = room - bar - record;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  begin_pane("record", side_by_side ? ImVec2(record, size.y) : ImVec2(size.x, record),
             focus_pane_ == Pane::Record);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(6)});
  record_.draw(ui);
  ImGui::PopStyleVar();
  ImGui::EndChild();
  if (side_by_side) ImGui::SameLine();
  if (splitter(ui, "split.right", side_by_side, side_by_side ? size.y : size.x, room, shares.right))
    dragged_ = shares;
  if (side_by_side) ImGui::SameLine();
  begin_pane("verdicts", side_by_side ? ImVec2(rest, size.y) : ImVec2(size.x, rest),
             focus_pane_ == Pane::Verdicts);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(6)});
  draw_beside(ui);
  ImGui::PopStyleVar();
  ImGui::EndChild();
  ImGui::PopStyleVar();
}

}  // namespace spile::gui
