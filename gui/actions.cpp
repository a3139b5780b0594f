#include "gui/actions.hpp"

#include <array>
#include <cassert>
#include <cctype>

#include "gui/desk.hpp"

namespace spile::gui {

namespace {

bool always(const Desk&) {
  return true;
}
bool has_logbook(const Desk& d) {
  return d.logbook() != nullptr;
}
bool can_edit(const Desk& d) {
  return d.can_edit();
}
bool has_selected(const Desk& d) {
  return d.selected() != nullptr;
}
bool may_change_selected(const Desk& d) {
  return d.can_edit() && d.selected();
}
bool on_desk(const Desk& d) {
  return d.state().page == Page::Desk;
}
bool has_photo(const Desk& d) {
  return on_desk(d) && d.bench().load == BenchState::Load::Ready;
}
// Two photos beside each other are looked at with the same keys as one.
bool comparing(const Desk& d) {
  return d.state().page == Page::Compare && d.comparing().open();
}
bool has_view(const Desk& d) {
  return has_photo(d) || comparing(d);
}
bool aligned(const Desk& d) {
  return comparing(d) && d.comparing().state().aligned();
}
bool may_trace(const Desk& d) {
  return comparing(d) && d.can_edit() && d.comparing().state().comparison.has_value();
}
bool many_photos(const Desk& d) {
  return on_desk(d) && d.photos().size() > 1;
}
bool can_measure(const Desk& d) {
  return has_photo(d) && d.can_edit();
}
bool has_result(const Desk& d) {
  return on_desk(d) && (d.bench().report.has_value() || d.bench().measuring || d.bench().tool != Tool::Look);
}

template <class I>
Intent ask(const Desk&) {
  return I{};
}
template <Tool tool>
Intent take(const Desk& d) {
  return SetTool{d.bench().tool == tool ? Tool::Look : tool};
}
template <Tool tool>
bool in_hand(const Desk& d) {
  return d.bench().tool == tool;
}
template <Zoom zoom>
Intent zoom_to(const Desk&) {
  return ZoomPhoto{zoom};
}
template <Pane pane>
Intent go_to(const Desk&) {
  return FocusPane{pane};
}
template <Showing showing>
Intent show_as(const Desk&) {
  return ShowAs{showing};
}
template <Showing showing>
bool shown_as(const Desk& d) {
  return comparing(d) && d.comparing().state().showing == showing;
}
template <ChooserFor purpose>
Intent choose(const Desk&) {
  return AskForFile{purpose};
}
template <Page page>
Intent show(const Desk& d) {
  return ShowPage{d.state().page == page ? Page::Desk : page};
}
template <Page page>
bool shown(const Desk& d) {
  return d.state().page == page;
}

float next_scale(const Desk& d, float by) {
  constexpr std::array kSteps = {0.75F, 0.9F, 1.0F, 1.1F, 1.25F, 1.5F, 1.75F, 2.0F, 2.5F};
  const float now = d.state().settings.scale;
  float best = now;
  for (const float s : kSteps) {
    if (by > 0 && s > now + 0.01F) return s;
    if (by < 0 && s < now - 0.01F) best = s;
  }
  return best;
}

constexpr Shortcut key(Key k) {
  return {k, false, false};
}
constexpr Shortcut ctrl(Key k) {
  return {k, true, false};
}
constexpr Shortcut ctrl_shift(Key k) {
  return {k, true, true};
}

const Action kActions[] = {
    {"logbook.new", Menu::Logbook, "New logbook…", ctrl_shift(Key::N), always,
     choose<ChooserFor::CreateLogbook>},
    {"logbook.open", Menu::Logbook, "Open logbook…", ctrl(Key::O), always, choose<ChooserFor::OpenLogbook>},
    {"logbook.vessel", Menu::Logbook, "Vessel", key(Key::F2), has_logbook, show<Page::Vessel>,
     shown<Page::Vessel>, true},
    {"logbook.surveys", Menu::Logbook, "Surveys", key(Key::F3), has_logbook, show<Page::Surveys>,
     shown<Page::Surveys>},
    {"logbook.cameras", Menu::Logbook, "Cameras", key(Key::F5), has_logbook, show<Page::Cameras>,
     shown<Page::Cameras>},
    {"logbook.seasons", Menu::Logbook, "Seasons and what is due", key(Key::F6), has_logbook,
     show<Page::Seasons>, shown<Page::Seasons>},
    {"logbook.next_survey",
     Menu::Logbook,
     "Begin a survey from the last one",
     {},
     [](const Desk& d) { return d.can_edit() && !d.logbook()->surveys.empty(); },
     ask<BeginSurveyFromLast>},
    {"logbook.merge", Menu::Logbook, "Bring in somebody's copy", ctrl_shift(Key::M), can_edit,
     show<Page::Merge>, shown<Page::Merge>},
    {"logbook.close", Menu::Logbook, "Close logbook", ctrl(Key::W), has_logbook, ask<CloseLogbook>, nullptr,
     true},
    {"quit", Menu::Logbook, "Quit", ctrl(Key::Q), always, ask<Quit>},

    {"edit.undo", Menu::Edit, "Undo", ctrl(Key::Z), [](const Desk& d) { return d.undo_name().has_value(); },
     ask<Undo>},
    {"edit.redo", Menu::Edit, "Redo", ctrl_shift(Key::Z),
     [](const Desk& d) { return d.redo_name().has_value(); }, ask<Redo>},
    {"edit.find", Menu::Edit, "Find an opening", ctrl(Key::F), has_logbook, ask<FocusFilter>, nullptr, true},

    {"opening.add", Menu::Opening, "Add an opening", ctrl(Key::N), can_edit, ask<AddOpening>},
    {"opening.remove", Menu::Opening, "Remove this opening", ctrl(Key::Delete), may_change_selected,
     [](const Desk& d) -> Intent { return RemoveOpening{d.selected()->opening.id}; }},
    {"opening.next", Menu::Opening, "Next opening", ctrl(Key::Down), has_logbook,
     [](const Desk&) -> Intent { return StepOpening{1}; }, nullptr, true},
    {"opening.previous", Menu::Opening, "Previous opening", ctrl(Key::Up), has_logbook,
     [](const Desk&) -> Intent { return StepOpening{-1}; }},
    {"opening.unfiled", Menu::Opening, "Photos not filed yet", ctrl(Key::U), has_logbook, ask<SelectOpening>},

    {"compare.open", Menu::Opening, "Compare two surveys", key(Key::C),
     [](const Desk& d) { return comparing(d) || (on_desk(d) && d.can_compare()); },
     [](const Desk& d) -> Intent {
       return comparing(d) ? Intent(ShowPage{Page::Desk}) : Intent(CompareSurveys{});
     },
     comparing, true},
    {"compare.side", Menu::Opening, "Photos side by side", key(Key::D), aligned, show_as<Showing::SideBySide>,
     shown_as<Showing::SideBySide>},
    {"compare.wipe", Menu::Opening, "Wipe one photo over the other", key(Key::W), aligned,
     show_as<Showing::Wipe>, shown_as<Showing::Wipe>},
    {"compare.blink", Menu::Opening, "Blink from one photo to the other", key(Key::B), aligned,
     show_as<Showing::Blink>, shown_as<Showing::Blink>},
    {"compare.flip", Menu::Opening, "Flip to the other photo", key(Key::Space), shown_as<Showing::Blink>,
     ask<FlipPhotos>},
    {"compare.changes", Menu::Opening, "Map of the changes", key(Key::H), aligned, show_as<Showing::Changes>,
     shown_as<Showing::Changes>},
    {"compare.outlines", Menu::Opening, "Outlines of the changes", key(Key::O), aligned,
     [](const Desk& d) -> Intent { return SetOutlines{!d.comparing().state().outlines}; },
     [](const Desk& d) { return comparing(d) && d.comparing().state().outlines; }},
    {"compare.trace", Menu::Opening, "Trace a crack by hand", key(Key::T), may_trace,
     [](const Desk& d) -> Intent { return SetTracing{!d.comparing().state().tracing}; },
     [](const Desk& d) { return comparing(d) && d.comparing().state().tracing; }},
    {"compare.keep", Menu::Opening, "Keep the traced lengths", key(Key::K),
     [](const Desk& d) { return may_trace(d) && !d.comparing().records().empty(); }, ask<KeepTraces>},

    {"photo.import", Menu::Photo, "Take photos in…", ctrl(Key::I), can_edit, choose<ChooserFor::Photos>},
    {"photo.remove",
     Menu::Photo,
     "Take this photo out of the survey",
     {},
     [](const Desk& d) { return d.can_edit() && d.open_photo(); },
     [](const Desk& d) -> Intent { return RemovePhoto{d.open_photo()->use.id}; }},
    {"photo.next", Menu::Photo, "Next photo", key(Key::RightBracket), many_photos,
     [](const Desk&) -> Intent { return StepPhoto{1}; }},
    {"photo.previous", Menu::Photo, "Previous photo", key(Key::LeftBracket), many_photos,
     [](const Desk&) -> Intent { return StepPhoto{-1}; }},
    {"measure.auto", Menu::Photo, "Measure by itself", key(Key::M), can_measure, ask<MeasurePhoto>, nullptr,
     true},
    {"measure.rim", Menu::Photo, "Place points on a rim", key(Key::R), can_measure, take<Tool::Rim>,
     in_hand<Tool::Rim>},
    {"measure.scale", Menu::Photo, "Place a known length", key(Key::S), can_measure, take<Tool::Scale>,
     in_hand<Tool::Scale>},
    {"measure.edge", Menu::Photo, "Place lines on a cut edge", key(Key::E), can_measure, take<Tool::Edge>,
     in_hand<Tool::Edge>},
    {"measure.snap", Menu::Photo, "Points move to the nearest edge", key(Key::N), can_measure,
     [](const Desk& d) -> Intent { return SetSnap{!d.bench().draft.snap}; },
     [](const Desk& d) { return d.bench().draft.snap; }},
    {"measure.accept", Menu::Photo, "Record this result", ctrl(Key::Enter),
     [](const Desk& d) { return on_desk(d) && d.can_accept(); }, ask<AcceptResult>},
    {"measure.discard", Menu::Photo, "Put this result aside", key(Key::Escape),
     [](const Desk& d) { return has_result(d) || comparing(d); },
     [](const Desk& d) -> Intent {
       if (!comparing(d)) return DiscardResult{};
       return d.comparing().state().tracing ? Intent(SetTracing{false}) : Intent(ShowPage{Page::Desk});
     }},

    {"view.list", Menu::View, "To the list", ctrl(Key::Digit1), has_logbook, go_to<Pane::List>},
    {"view.photo", Menu::View, "To the photo", ctrl(Key::Digit2), has_logbook, go_to<Pane::Photo>},
    {"view.record", Menu::View, "To the record", ctrl(Key::Digit3), has_selected, go_to<Pane::Record>},
    {"view.verdicts", Menu::View, "To the verdicts", ctrl(Key::Digit4), has_selected, go_to<Pane::Verdicts>},
    {"view.large", Menu::View, "Large photo", key(Key::F4), has_logbook, ask<ToggleLargePhoto>,
     [](const Desk& d) { return d.state().large_photo; }, true},
    {"view.loupe", Menu::View, "Loupe", key(Key::L), has_photo, ask<ToggleLoupe>,
     [](const Desk& d) { return d.state().loupe; }},
    {"view.zoom_in", Menu::View, "Zoom in", key(Key::Plus), has_view, zoom_to<Zoom::In>},
    {"view.zoom_out", Menu::View, "Zoom out", key(Key::Minus), has_view, zoom_to<Zoom::Out>},
    {"view.fit", Menu::View, "Whole photo", key(Key::Digit0), has_view, zoom_to<Zoom::Fit>},
    {"view.one_to_one", Menu::View, "One photo pixel to one screen pixel", key(Key::Digit1), has_view,
     zoom_to<Zoom::OneToOne>},
    {"view.dark", Menu::View, "Dark", ctrl(Key::D), always,
     [](const Desk& d) -> Intent {
       return SetShade{d.state().settings.shade == Shade::Dark ? Shade::Light : Shade::Dark};
     },
     [](const Desk& d) { return d.state().settings.shade == Shade::Dark; }, true},
    {"view.inches", Menu::View, "Lengths in inches", ctrl_shift(Key::U), always,
     [](const Desk& d) -> Intent {
       const bool inch = d.state().settings.lengths == units::LengthSystem::Inch;
       return SetLengths{inch ? units::LengthSystem::Metric : units::LengthSystem::Inch};
     },
     [](const Desk& d) { return d.state().settings.lengths == units::LengthSystem::Inch; }},
    {"view.larger", Menu::View, "Everything larger", ctrl(Key::Plus), always,
     [](const Desk& d) -> Intent { return SetScale{next_scale(d, 1)}; }},
    {"view.smaller", Menu::View, "Everything smaller", ctrl(Key::Minus), always,
     [](const Desk& d) -> Intent { return SetScale{next_scale(d, -1)}; }},
    {"view.normal", Menu::View, "Everything at its normal size", ctrl(Key::Digit0), always,
     [](const Desk&) -> Intent { return SetScale{1}; }},

    {"help", Menu::Help, "Keys and first steps", key(Key::F1), always,
     [](const Desk& d) -> Intent { return ShowHelp{!d.state().help}; }},
};

std::string with_name(std::string_view verb, const std::optional<std::string>& name) {
  std::string label(verb);
  if (name) label += ": " + *name;
  return label;
}

}  // namespace

std::span<const Action> all_actions() {
  return kActions;
}

const Action& action(std::string_view id) {
  for (const Action& a : kActions)
    if (a.id == id) return a;
  assert(false && "no such action: see the table in gui/actions.cpp");
  return kActions[0];
}

std::string_view title_of(Menu menu) {
  switch (menu) {
    case Menu::Logbook:
      return "Logbook";
    case Menu::Edit:
      return "Edit";
    case Menu::Opening:
      return "Opening";
    case Menu::Photo:
      return "Photo";
    case Menu::View:
      return "View";
    case Menu::Help:
      return "Help";
  }
  return {};
}

std::string label_of(const Action& action, const Desk& desk) {
  if (action.id == "edit.undo") return with_name("Undo", desk.undo_name());
  if (action.id == "edit.redo") return with_name("Redo", desk.redo_name());
  if (action.id == "measure.discard" && comparing(desk))
    return desk.comparing().state().tracing ? "Stop tracing" : "Back to the record";
  return std::string(action.label);
}

std::string keys_of(std::string_view id) {
  return text_of(action(id).shortcut);
}

void run_shortcuts(const Desk& desk, Intents& intents) {
  for (const Action& a : kActions)
    if (pressed(a.shortcut) && a.enabled(desk)) intents.push(a.intent(desk));
  // The other hand's habit for "again".
  if (pressed(Shortcut{Key::Y, true, false}) && desk.redo_name()) intents.push(Redo{});
}

}  // namespace spile::gui
