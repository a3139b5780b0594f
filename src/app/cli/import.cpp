// spile import
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/line_progress.hpp"
#include "app/cli/request.hpp"
#include "app/contract.hpp"
#include "app/photos.hpp"
#include "app/wording.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string survey;
  std::vector<std::string> photos;
  std::string opening;
  RequestText request;
  bool no_measure = false;
  bool json = false;
};

// Chooses the survey of that date, or begins it. Says whether it was begun here.
Result<bool> choose_or_begin(Session& session, const std::string& date) {
  if (date.empty()) return false;
  const auto surveys = session.snapshot().surveys;
  for (auto known = surveys.rbegin(); known != surveys.rend(); ++known) {
    if (known->date != date) continue;
    if (auto chosen = session.choose_survey(known->id); !chosen) return tl::unexpected(chosen.error());
    return false;
  }
  model::Survey survey;
  survey.date = date;
  const auto id = session.save_survey(survey);
  if (!id) return tl::unexpected(id.error());
  if (auto chosen = session.choose_survey(*id); !chosen) return tl::unexpected(chosen.error());
  return true;
}

Result<ImportOptions> import_options(const Session& session, const Options& o) {
  ImportOptions options;
  options.measure = !o.no_measure;
  auto request = request_of(o.request);
  if (!request) return tl::unexpected(std::move(request.error()));
  options.request = std::move(*request);
  if (o.opening.empty()) return options;
  const auto view = opening_by_tag(session, o.opening);
  if (!view) return tl::unexpected(view.error());
  options.opening = (*view)->opening.id;
  return options;
}

void print(const Console& console, const ImportOutcome& outcome, bool json) {
  const auto name = outcome.file.string();
  if (json && outcome.report) {
    console.out << to_json(*outcome.report, name)
                       .dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace)
                << '\n';
  } else if (!json) {
    const std::string state = outcome.already_there ? "is there already" : "taken in";
    console.out << fmt::format("{}: {}{}\n", name, state,
                               outcome.report ? "; " + one_line(*outcome.report) : std::string());
  }
  console.out.flush();
}

// A survey begun for photos none of which came in is taken back: everything is left as it was.
Result<void> tell(Session& session, Console& console, const std::vector<ImportOutcome>& outcomes, bool json,
                  bool survey_begun) {
  std::size_t failed = 0;
  for (const auto& outcome : outcomes) {
    if (outcome.error) {
      ++failed;
      console.tell(*outcome.error);
    } else {
      print(console, outcome, json);
    }
  }
  if (failed > 0) console.status = kError;
  if (survey_begun && failed == outcomes.size()) return session.undo();
  return {};
}

Result<void> run(Session& session, const Options& o, Console& console) {
  const auto options = import_options(session, o);
  if (!options) return tl::unexpected(options.error());
  const auto begun = choose_or_begin(session, o.survey);
  if (!begun) return tl::unexpected(begun.error());
  const auto outcomes = [&] {
    LineProgress progress(console.err);
    return import_photos(session, {o.photos.begin(), o.photos.end()}, *options, &progress);
  }();
  if (outcomes.empty()) console.note("No pictures were found there.");
  return tell(session, console, outcomes, o.json, *begun);
}

}  // namespace

void add_import(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "import", "Take photos into a logbook and measure what is in them",
                              "spile import heron.spile ~/photos/P-03 --opening P-03 --reference card");
  add_logbook(*command, o->logbook);
  command->add_option("PHOTO", o->photos, "Photos, or folders of them")->required();
  command->add_option("--opening", o->opening, "File them under this opening")->type_name("TAG");
  command->add_option("--survey", o->survey, "Into the survey of this date, begun where there is none")
      ->type_name("DATE");
  command->add_flag("--no-measure", o->no_measure, "Only take them in");
  command->add_flag("--json", o->json, "What was measured, one JSON object a line");
  add_request_options(*command, o->request);
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run(session, *o, console); });
  });
}

}  // namespace spile::app::cli
