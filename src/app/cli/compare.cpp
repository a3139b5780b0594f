// spile compare: two photos of one opening, seasons apart, and what on the hull round it has changed.
#include "vision/compare.hpp"

#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/request.hpp"
#include "app/contract.hpp"
#include "app/log.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  std::string earlier, later;
  std::string earlier_reference = "auto", later_reference = "auto";
  bool json = false;
};

std::string sentence(const vision::Change& change) {
  if (change.length_mm)
    return fmt::format("new {} {:.1f} ± {:.1f} mm long", change.kind, *change.length_mm, change.u95);
  std::string out =
      fmt::format("{} of {:.0f} ± {:.0f} mm²", change.kind, change.area_mm2.value_or(0), change.u95);
  if (change.earlier_area_mm2) out += fmt::format(", was about {:.0f} mm²", *change.earlier_area_mm2);
  return out;
}

void tell(Console& console, const vision::Comparison& comparison) {
  if (comparison.changes.empty()) console.out << "No change found on the hull seen in both photos.\n";
  for (const auto& change : comparison.changes)
    console.out << fmt::format("{} at {:.0f}, {:.0f} of the later photo\n", sentence(change),
                               change.centre_px.x, change.centre_px.y);
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

void run(Console& console, const Options& options, const vision::CompareRequest& request) {
  vision::Comparison comparison;
  const auto earlier = loaded(console, options.earlier, comparison);
  const auto later = loaded(console, options.later, comparison);
  if (console.status == kError) return;
  if (earlier && later) comparison = vision::compare(*earlier, *later, request);
  if (options.json)
    console.out << to_json(comparison).dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace)
                << '\n';
  if (comparison.refused) {
    console.status = kRefused;
    return console.note(fmt::format("spile: {}", comparison.refused->reason));
  }
  if (!options.json) tell(console, comparison);
}

}  // namespace

void add_compare(CLI::App& app, Console& console) {
  auto options = std::make_shared<Options>();
  auto* command =
      add_command(app, "compare", "Find what changed on the hull between two photos of one opening",
                  "spile compare 2025/IMG_0031.jpg 2026/IMG_0107.jpg --json\n"
                  "Exit status: 0 compared, 3 refused, 1 an error, 2 wrong usage.");
  command->add_option("EARLIER", options->earlier, "The older photo")->required();
  command->add_option("LATER", options->later, "The newer photo")->required();
  command->add_flag("--json", options->json, "One JSON object");
  command->add_option("--reference", options->later_reference,
                      "What gives the scale in LATER, as for measure");
  command->add_option("--earlier-reference", options->earlier_reference, "What gives the scale in EARLIER");
  command->callback([options, &console] {
    const auto earlier = reference_of(options->earlier_reference);
    if (!earlier) return console.tell(earlier.error());
    const auto later = reference_of(options->later_reference);
    if (!later) return console.tell(later.error());
    run(console, *options, {*earlier, *later});
  });
}

}  // namespace spile::app::cli
