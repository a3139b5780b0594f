// spile survey
#include <memory>

#include "app/checklist.hpp"
#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string date;
  Given title, surveyor, afloat, notes, new_date;
  bool from_last = false;
};

Result<void> begin_from_last(Session& session, const model::Survey& survey, const Console& console) {
  auto done = record_edit(session, console, [&]() -> Result<void> {
    auto begun = session.begin_from_last(survey);
    if (!begun) return tl::unexpected(std::move(begun.error()));
    return {};
  });
  if (!done) return done;
  console.note(progress_words(checklist_of(session.snapshot(), session.tables())) +
               ". \"spile checklist\" lists them in the order of the walk round.");
  return {};
}

Result<void> record(Session& session, const Options& o, const Console& console) {
  model::Survey survey;
  survey.date = o.date;
  if (!o.from_last)
    for (const auto& known : session.snapshot().surveys)
      if (known.date == o.date) survey = known;
  Fields fields;
  fields.text(o.title, survey.title)
      .text(o.surveyor, survey.surveyor)
      .choice(o.afloat, "place", survey.afloat)
      .text(o.notes, survey.notes)
      .text(o.new_date, survey.date);
  if (auto understood = fields.understood(); !understood) return understood;
  if (o.from_last) return begin_from_last(session, survey, console);
  return record_edit(session, console, [&]() -> Result<void> {
    auto saved = session.save_survey(survey);
    if (!saved) return tl::unexpected(std::move(saved.error()));
    return {};
  });
}

}  // namespace

void add_survey_command(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "survey", "Begin a survey, or change the one of that date",
                              "spile survey heron.spile 2026-04-12 --title \"Spring 2026\" --at ashore\n"
                              "  spile survey heron.spile 2027-04-10 --from-last");
  add_logbook(*command, o->logbook);
  command->add_option("DATE", o->date, "Year, month, day: 2026-04-12")->required();
  command->add_option("--title", o->title, "What to call it");
  command->add_option("--surveyor", o->surveyor, "Who looked");
  command->add_option("--at", o->afloat, keys_of<model::Afloat>());
  command->add_option("--notes", o->notes, "Notes");
  command->add_option("--new-date", o->new_date, "Move the survey to this date")->type_name("DATE");
  command->add_flag("--from-last", o->from_last,
                    "Begin it with all that was put down last, to be confirmed, nothing as seen");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return record(session, *o, console); });
  });
}

}  // namespace spile::app::cli
