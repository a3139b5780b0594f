// spile compare: two photos of one opening, seasons apart, and what on the hull round it has changed.
#include <fmt/format.h>

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
  bool json = false;
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

void run(Console& console, const Options& options, const vision::CompareRequest& request,
         const Traces& traces) {
  vision::Comparison comparison;
  const auto earlier = loaded(console, options.earlier, comparison);
  const auto later = loaded(console, options.later, comparison);
  if (console.status == kError) return;
  if (earlier && later) comparison = vision::compare(*earlier, *later, request);
  const Traced traced{
      vision::traced_length(comparison, vision::Season::Earlier, traces.earlier, options.placed_px),
      vision::traced_length(comparison, vision::Season::Later, traces.later, options.placed_px)};
  if (options.json) {
    auto json = to_json(comparison);
    if (!traces.earlier.empty() || !traces.later.empty())
      json["traced"] = {{"earlier", traced_json(traced.earlier)}, {"later", traced_json(traced.later)}};
    console.out << json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << '\n';
  }
  if (!options.annotate.empty() && earlier && later) {
    if (const auto written = write_drawn(options.annotate, *earlier, *later, comparison); !written)
      return console.tell(written.error());
  }
  if (!options.json && !comparison.refused) tell(console, comparison);
  if (!options.json) tell(console, traced);
  if (!comparison.refused) return;
  console.status = kRefused;
  console.note(fmt::format("spile: {}", comparison.refused->reason));
}

}  // namespace

void add_compare(CLI::App& app, Console& console) {
  auto options = std::make_shared<Options>();
  auto* command =
      add_command(app, "compare", "Find what changed on the hull between two photos of one opening",
                  "spile compare 2025/IMG_0031.jpg 2026/IMG_0107.jpg --annotate changes.png\n"
                  "Exit status: 0 compared, 3 refused, 1 an error, 2 wrong usage.");
  command->add_option("EARLIER", options->earlier, "The older photo")->required();
  command->add_option("LATER", options->later, "The newer photo")->required();
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
  command->callback([options, &console] {
    const auto traced_earlier = points_of(options->trace_earlier);
    if (!traced_earlier) return console.tell(traced_earlier.error());
    const auto traced_later = points_of(options->trace_later);
    if (!traced_later) return console.tell(traced_later.error());
    const auto earlier = reference_of(options->earlier_reference);
    if (!earlier) return console.tell(earlier.error());
    const auto later = reference_of(options->later_reference);
    if (!later) return console.tell(later.error());
    run(console, *options, {*earlier, *later}, {*traced_earlier, *traced_later});
  });
}

}  // namespace spile::app::cli
