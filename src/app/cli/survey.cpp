// spile survey
#include <memory>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string date;
  Given title, surveyor, afloat, notes, new_date;
};

Result<void> record(Session& session, const Options& o, const Console& console) {
  model::Survey survey;
  survey.date = o.date;
  for (const auto& known : session.snapshot().surveys)
    if (known.date == o.date) survey = known;
  Fields fields;
  fields.text(o.title, survey.title)
      .text(o.surveyor, survey.surveyor)
      .choice(o.afloat, "place", survey.afloat)
      .text(o.notes, survey.notes)
      .text(o.new_date, survey.date);
  if (auto understood = fields.understood(); !understood) return understood;
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
                              "spile survey heron.spile 2026-04-12 --title \"Spring 2026\" --at ashore");
  add_logbook(*command, o->logbook);
  command->add_option("DATE", o->date, "Year, month, day: 2026-04-12")->required();
  command->add_option("--title", o->title, "What to call it");
  command->add_option("--surveyor", o->surveyor, "Who looked");
  command->add_option("--at", o->afloat, keys_of<model::Afloat>());
  command->add_option("--notes", o->notes, "Notes");
  command->add_option("--new-date", o->new_date, "Move the survey to this date")->type_name("DATE");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return record(session, *o, console); });
  });
}

}  // namespace spile::app::cli
