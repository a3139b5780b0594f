// spile compare: two photos of one opening, seasons apart, and what on the hull round it has changed.
#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/request.hpp"
#include "app/compare_photos.hpp"
#include "app/contract.hpp"
#include "app/log.hpp"
#include "app/wording.hpp"
#include "report/file_out.hpp"

namespace spile::app::cli {

namespace {

constexpr double kUsuallyPlacedPx = 2;

struct Options {
  std::string earlier, later;
  std::string earlier_reference = "auto", later_reference = "auto";
  std::string annotate;
  std::vector<std::string> trace_earlier, trace_later;
  double placed_px = kUsuallyPlacedPx;
  bool json = false, keep = false;
};

struct Traces {
  std::vector<vision::PixelPoint> earlier, later;
};

Result<std::vector<vision::PixelPoint>> points_of(const std::vector<std::string>& texts) {
  std::vector<vision::PixelPoint> out;
  for (const auto& text : texts) {
    const auto point = point_of(text);
    if (!point) return tl::unexpected(point.error());
    out.push_back(*point);
  }
  if (out.size() == 1)
    return fail(ErrorCode::BadInput, "A crack is traced by two points or more.", "Give its other end too.");
  return out;
}

void tell(Console& console, const vision::Comparison& comparison) {
  if (comparison.changes.empty()) console.out << "No change found on the hull seen in both photos.\n";
  for (const auto& change : comparison.changes)
    console.out << fmt::format("{} at {:.0f}, {:.0f} of the later photo\n", sentence(change),
                               change.centre_px.x, change.centre_px.y);
}

struct Traced {
  std::optional<vision::TracedLength> earlier, later;
};

void tell(Console& console, const Traced& traced) {
  const auto line = [&](const char* season, const std::optional<vision::TracedLength>& length) {
    if (length)
      console.out << fmt::format("crack as traced, {}: {}\n", season,
                                 print_interval(length->length_mm, length->u95_mm, "mm"));
  };
  line("earlier", traced.earlier);
  line("later", traced.later);
  if (traced.earlier && traced.later)
    console.out << fmt::format("crack as traced: {}\n", growth(*traced.earlier, *traced.later));
}

nlohmann::ordered_json traced_json(const std::optional<vision::TracedLength>& traced) {
  if (!traced) return nullptr;
  nlohmann::ordered_json budget = nlohmann::ordered_json::array();
  for (const auto& term : traced->budget) budget.push_back({{"term", term.term}, {"u_mm", term.u}});
  return {{"length_mm", traced->length_mm}, {"u95_mm", traced->u95_mm}, {"budget", budget}};
}

// A photo that cannot be read is refused as one that cannot be compared; one that is not there is an error.
std::optional<vision::Picture> loaded(Console& console, const std::string& file,
                                      vision::Comparison& comparison) {
  auto picture = vision::Picture::load(file);
  if (picture) return *std::move(picture);
  log_error(picture.error());
  if (picture.error().code == ErrorCode::FileMissing || picture.error().code == ErrorCode::Internal) {
    console.tell(picture.error());
  } else {
    comparison.refused = unreadable(picture.error()).refused;
  }
  return std::nullopt;
}

Result<void> write_drawn(const std::string& file, const vision::Picture& earlier,
                         const vision::Picture& later, const vision::Comparison& comparison) {
  const auto png = vision::annotate(earlier, later, comparison);
  if (!png) return tl::unexpected(png.error());
  return report::write_whole(file, *png);
}

struct Asked {
  vision::CompareRequest request;
  Traces traces;
};

struct Compared {
  std::optional<vision::Picture> earlier, later;
  vision::Comparison comparison;
  Traced traced;
};

void trace(Compared& both, const Options& options, const Asked& asked) {
  const auto length = [&](vision::Season season, const std::vector<vision::PixelPoint>& points) {
    return vision::traced_length(both.comparison, season, points, options.placed_px);
  };
  both.traced = {length(vision::Season::Earlier, asked.traces.earlier),
                 length(vision::Season::Later, asked.traces.later)};
}

void print(Console& console, const Options& options, const Asked& asked, const Compared& both) {
  const vision::Comparison& comparison = both.comparison;
  if (options.json) {
    auto json = to_json(comparison);
    if (!asked.traces.earlier.empty() || !asked.traces.later.empty())
      json["traced"] = {{"earlier", traced_json(both.traced.earlier)},
                        {"later", traced_json(both.traced.later)}};
    console.out << json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << '\n';
  }
  if (!options.annotate.empty() && both.earlier && both.later) {
    if (const auto written = write_drawn(options.annotate, *both.earlier, *both.later, comparison); !written)
      return console.tell(written.error());
  }
  if (!options.json && !comparison.refused) tell(console, comparison);
  if (!options.json) tell(console, both.traced);
  if (!comparison.refused) return;
  console.status = kRefused;
  console.note(fmt::format("spile: {}", comparison.refused->reason));
}

void run(Console& console, const Options& options, const Asked& asked) {
  Compared both;
  both.earlier = loaded(console, options.earlier, both.comparison);
  both.later = loaded(console, options.later, both.comparison);
  if (console.status == kError) return;
  if (both.earlier && both.later)
    both.comparison = vision::compare(*both.earlier, *both.later, asked.request);
  trace(both, options, asked);
  print(console, options, asked, both);
}

bool is_logbook(const std::string& named) {
  std::error_code unknown;
  return std::filesystem::exists(logbook_folder(named) / "log.sqlite", unknown);
}

// What was traced, as records of the surveys the photos belong to.
Result<void> keep(Session& session, const Console& console, const Asked& asked, const Traced& traced,
                  const SurveyPhoto& earlier, const SurveyPhoto& later, const OpeningView& opening) {
  std::vector<model::Measurement> records;
  if (traced.earlier)
    records.push_back(crack_record(*traced.earlier, asked.traces.earlier, earlier, opening.opening.id));
  if (traced.later)
    records.push_back(crack_record(*traced.later, asked.traces.later, later, opening.opening.id));
  if (records.empty()) {
    return fail(ErrorCode::BadInput, "Nothing was traced, so there is nothing to keep.",
                "Trace a crack with --trace-earlier and --trace-later.");
  }
  return record_edit(session, console, [&] {
    return session.record_measurements("Trace a crack, " + opening.opening.tag, records);
  });
}

// Of an opening of the logbook: its photos of the last two surveys that have any.
Result<void> run_in_logbook(Session& session, Console& console, const Options& options, const Asked& asked) {
  const auto found = opening_by_tag(session, options.later);
  if (!found) return tl::unexpected(found.error());
  const OpeningView opening = **found;
  const auto photos = photos_by_survey(session.snapshot(), opening);
  const auto pair = pair_to_compare(photos);
  if (!pair) {
    return fail(ErrorCode::NotFound,
                fmt::format("{} has no photos of two surveys to compare.", opening.opening.tag),
                "Take its photos in with \"spile import\", each into its survey.");
  }
  const SurveyPhoto &earlier = photos[pair->first], &later = photos[pair->second];
  Compared both;
  Jobs jobs;
  std::optional<Error> error;
  CompareCallbacks callbacks;
  callbacks.on_loaded = [&](const vision::Picture& a, const vision::Picture& b) {
    both.earlier = a;
    both.later = b;
  };
  callbacks.on_compared = [&](const Result<PhotosCompared>& answer) {
    if (answer) {
      both.comparison = answer->comparison;
    } else {
      error = answer.error();
    }
  };
  start_compare(jobs, session, earlier.view, later.view, asked.request, callbacks);
  jobs.wait_idle();
  if (error) return tl::unexpected(*error);
  console.note(fmt::format("{} of {} and {} of {}", earlier.view.photo.original_name, earlier.survey.date,
                           later.view.photo.original_name, later.survey.date));
  trace(both, options, asked);
  print(console, options, asked, both);
  return options.keep ? keep(session, console, asked, both.traced, earlier, later, opening) : Result<void>{};
}

}  // namespace

void add_compare(CLI::App& app, Console& console) {
  auto options = std::make_shared<Options>();
  auto* command =
      add_command(app, "compare", "Find what changed on the hull between two photos of one opening",
                  "spile compare 2025/IMG_0031.jpg 2026/IMG_0107.jpg --annotate changes.png\n"
                  "spile compare heron.spile S-02\n"
                  "Exit status: 0 compared, 3 refused, 1 an error, 2 wrong usage.");
  command->add_option("EARLIER", options->earlier, "The older photo, or a logbook")->required();
  command
      ->add_option("LATER", options->later,
                   "The newer photo, or the tag of an opening: its photos of the last two surveys")
      ->required();
  command->add_flag("--json", options->json, "One JSON object");
  command->add_option("--reference", options->later_reference,
                      "What gives the scale in LATER, as for measure");
  command->add_option("--earlier-reference", options->earlier_reference, "What gives the scale in EARLIER");
  command->add_option("--annotate", options->annotate,
                      "Write both photos side by side, square on to the hull, with the changes drawn: a PNG");
  command->add_option("--trace-earlier", options->trace_earlier,
                      "A crack by hand in EARLIER, X,Y for each point along it: its length");
  command->add_option("--trace-later", options->trace_later, "The same in LATER");
  command
      ->add_option("--placed-px", options->placed_px,
                   "How well those points are placed, in pixels (standard deviation); usually 2")
      ->check(CLI::PositiveNumber);
  command->add_flag("--keep", options->keep, "Of a logbook: keep the traced lengths in it");
  command->callback([options, &console] {
    const auto traced_earlier = points_of(options->trace_earlier);
    if (!traced_earlier) return console.tell(traced_earlier.error());
    const auto traced_later = points_of(options->trace_later);
    if (!traced_later) return console.tell(traced_later.error());
    const auto earlier = reference_of(options->earlier_reference);
    if (!earlier) return console.tell(earlier.error());
    const auto later = reference_of(options->later_reference);
    if (!later) return console.tell(later.error());
    const Asked asked{{*earlier, *later}, {*traced_earlier, *traced_later}};
    if (!is_logbook(options->earlier)) return run(console, *options, asked);
    with_logbook(console, {options->earlier, {}}, options->keep ? For::Writing : For::Reading,
                 [&](Session& session) { return run_in_logbook(session, console, *options, asked); });
  });
}

}  // namespace spile::app::cli
