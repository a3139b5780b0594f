#include "app/cli/command.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "app/logbook_json.hpp"
#include "app/wording.hpp"

namespace spile::app::cli {

void Console::tell(const Error& error) {
  err << "spile: " << error.sentence() << '\n';
  status = error.code == ErrorCode::BadInput ? kWrongUsage : kError;
}

void Console::note(const std::string& message) const {
  err << message << '\n';
}

CLI::App* add_command(CLI::App& app, const std::string& name, const std::string& what,
                      const std::string& example) {
  auto* command = app.add_subcommand(name, what);
  command->footer("Example:\n  " + example);
  return command;
}

void add_logbook(CLI::App& command, LogbookArguments& into) {
  command.add_option("LOGBOOK", into.folder, "Folder of the logbook, NAME.spile")->required();
}

void add_survey(CLI::App& command, LogbookArguments& into) {
  command.add_option("--survey", into.survey, "Work in the survey of this date (the newest if left out)")
      ->type_name("DATE");
}

namespace {

Result<void> choose(Session& session, const std::string& date) {
  if (date.empty()) return {};
  const auto& surveys = session.snapshot().surveys;
  for (auto survey = surveys.rbegin(); survey != surveys.rend(); ++survey)
    if (survey->date == date) return session.choose_survey(survey->id);
  std::string dates;
  for (const auto& survey : surveys) dates += (dates.empty() ? "" : ", ") + survey.date;
  return fail(ErrorCode::NotFound, fmt::format("There is no survey of {} in this logbook.", date),
              dates.empty() ? "Begin one with \"spile survey\"." : fmt::format("There are: {}.", dates));
}

std::size_t edits_done(const Session& session) {
  const auto history = session.history();
  if (!history) return 0;
  return static_cast<std::size_t>(
      std::count_if(history->begin(), history->end(), [](const model::PastEdit& e) { return !e.undone; }));
}

// One line for each verdict that reads differently now.
void tell_changes(const Session& session, const Console& console) {
  for (const auto& change : session.snapshot().changed) {
    const auto* view = session.snapshot().find(change.opening);
    for (const auto& verdict : view->verdicts) {
      if (verdict.rule != change.rule) continue;
      const bool moved = verdict.standing != change.before;
      console.note(fmt::format("{}, {}: {}{}", view->opening.tag, change.title,
                               moved ? fmt::format("{}, was {}. ", lower(standing_label(verdict.standing)),
                                                   lower(standing_label(change.before)))
                                     : std::string(),
                               verdict.headline));
    }
  }
}

}  // namespace

void with_logbook(Console& console, const LogbookArguments& arguments, For purpose,
                  const std::function<Result<void>(Session&)>& use) {
  auto session = Session::open(arguments.folder, purpose == For::Reading);
  if (!session) {
    console.tell(session.error());
    return;
  }
  auto done = choose(*session, arguments.survey);
  if (done) done = use(*session);
  if (!done) console.tell(done.error());
}

Result<void> record_edit(Session& session, const Console& console, const std::function<Result<void>()>& use) {
  const auto before = edits_done(session);
  if (auto done = use(); !done) return done;
  const bool changed = edits_done(session) != before;
  const auto& name = session.snapshot().undo_name;
  console.note(changed && name ? *name : "Nothing to change: that is recorded already.");
  if (changed) tell_changes(session, console);
  return {};
}

Result<const OpeningView*> opening_by_tag(const Session& session, const std::string& tag) {
  const auto& snapshot = session.snapshot();
  for (const auto& view : snapshot.openings)
    if (folded(view.opening.tag) == folded(trimmed(tag))) return &view;
  std::string tags;
  for (const auto& view : snapshot.openings) tags += (tags.empty() ? "" : ", ") + view.opening.tag;
  return fail(ErrorCode::NotFound, fmt::format("There is no opening {} in this logbook.", tag),
              tags.empty() ? "Add it with \"spile opening\"." : fmt::format("There are: {}.", tags));
}

}  // namespace spile::app::cli
