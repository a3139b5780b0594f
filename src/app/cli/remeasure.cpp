// spile remeasure: a photo of the logbook again, by other means or by hand.
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/request.hpp"
#include "app/cli/stored_photo.hpp"
#include "app/contract.hpp"
#include "app/photos.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string photo;
  RequestText request;
  std::size_t hole = 1;
  bool json = false;
};

Result<vision::Report> measured(Session& session, model::PhotoId photo, const vision::Request& request) {
  Jobs jobs;
  Result<vision::Picture> picture = fail(ErrorCode::Cancelled, "The photo was not loaded.");
  start_load(jobs, session, photo, [&](Result<vision::Picture> loaded) { picture = std::move(loaded); });
  jobs.wait_idle();
  if (!picture) return tl::unexpected(picture.error());
  return vision::measure(*picture, request);
}

Result<void> keep(Session& session, const Options& o, const PhotoView& photo, const vision::Report& report,
                  const vision::Request& request, const Console& console) {
  if (!photo.use.opening) {
    return fail(
        ErrorCode::Refused,
        fmt::format("{} is filed under no opening, so nothing was recorded.", photo.photo.original_name),
        "File it with \"spile file\" and measure it again.");
  }
  if (o.hole == 0 || (!report.holes.empty() && o.hole > report.holes.size())) {
    return fail(ErrorCode::BadInput, fmt::format("There is no hole number {} in the photo.", o.hole),
                fmt::format("It shows {}; the largest is number 1.", report.holes.size()));
  }
  const auto opening = *photo.use.opening;
  const auto records = records_of(report, request, opening, photo.use.survey, photo.photo.id, o.hole - 1);
  const auto tag = session.snapshot().find(opening)->opening.tag;
  return record_edit(session, console, [&] {
    return session.record_measurements(fmt::format("Measure {} again, {}", photo.photo.original_name, tag),
                                       records);
  });
}

Result<void> run(Session& session, const Options& o, Console& console) {
  const auto request = request_of(o.request);
  if (!request) return tl::unexpected(request.error());
  const auto photo = stored_photo(session, o.photo);
  if (!photo) return tl::unexpected(photo.error());
  const auto report = measured(session, photo->photo.id, *request);
  if (!report) return tl::unexpected(report.error());
  if (o.json) {
    console.out << to_json(*report, photo->photo.original_name).dump() << '\n';
  } else {
    console.out << fmt::format("{}: {}\n", photo->photo.original_name, one_line(*report));
  }
  if (!report->refused) return keep(session, o, *photo, *report, *request, console);
  console.note("spile: Nothing was recorded.");
  console.status = kRefused;
  return {};
}

}  // namespace

void add_remeasure(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "remeasure", "Measure a photo of the logbook again, by hand or by another reference",
                  "spile remeasure heron.spile IMG_0031.jpg --rim 812,640 --rim 1190,655 --rim 1001,1012");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("PHOTO", o->photo, "Its file name, or the start of its SHA-256")->required();
  command->add_option("--hole", o->hole, "Which hole to record: 1 is the largest")->capture_default_str();
  command->add_flag("--json", o->json, "What was measured as JSON");
  add_request_options(*command, o->request);
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run(session, *o, console); });
  });
}

}  // namespace spile::app::cli
