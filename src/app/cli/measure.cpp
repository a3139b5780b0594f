// spile measure: photos in, one JSON object a line out (the contract of the design), or one sentence a line.
#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <ostream>
#include <set>

#include "app/cli/commands.hpp"
#include "app/cli/request.hpp"
#include "app/contract.hpp"
#include "app/log.hpp"
#include "app/photos.hpp"
#include "report/file_out.hpp"

namespace spile::app::cli {

namespace {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

struct Options {
  std::vector<std::string> photos;
  RequestText request;
  std::string annotate;
  std::string camera_from;  // a logbook
  bool json = false;
};

struct Measured {
  vision::Report report;
  std::optional<vision::Picture> picture;
  std::optional<Error> error;  // the file could not be read at all
};

// A file that is no whole picture is refused as any other photo that cannot be measured; one that is not
// there, or trouble on the machine's side, is an error.
bool is_error(ErrorCode code) {
  return code == ErrorCode::FileMissing || code == ErrorCode::Internal;
}

using Lenses = std::vector<model::CameraProfile>;

Measured measure_file(const std::string& file, const vision::Request& request, const Lenses& lenses) {
  Measured measured;
  try {
    auto picture = vision::Picture::load(file);
    if (!picture) {
      log_error(picture.error());
      measured.report = unreadable(picture.error());
      if (is_error(picture.error().code)) measured.error = picture.error();
      return measured;
    }
    *picture = picture->with_lens_of(lenses);
    measured.report = vision::measure(*picture, request);
    measured.picture = std::move(*picture);
  } catch (const std::exception& e) {  // a picture too large for the memory at hand, above all
    measured.error = Error{ErrorCode::Internal,
                           fmt::format("{} could not be measured: something unforeseen went wrong.", file),
                           "Close other programs to free memory and try again.", e.what()};
    measured.report = unreadable(*measured.error);
  }
  return measured;
}

std::string sentence(const std::string& photo, const vision::Report& report) {
  std::string line = fmt::format("{}: {}", photo, one_line(report));
  if (const auto& reference = report.reference; reference && !report.refused)
    line += fmt::format(" (by the {}{}, tilt {:.0f}°, lens {}{}{})", reference->kind,
                        reference->by_hand ? " by hand" : "", reference->tilt_deg, reference->lens,
                        reference->checked.empty() ? "" : "; ", reference->checked);
  return line;
}

// Names of written pictures follow the photos'; two photos of one name in two folders get a number.
class Annotator {
 public:
  explicit Annotator(std::string folder) : folder_(std::move(folder)) {}

  Result<void> write(const std::string& photo, const vision::Picture& picture, const vision::Report& report) {
    std::error_code failed;
    fs::create_directories(folder_, failed);
    if (failed) {
      return fail(ErrorCode::FileUnreadable,
                  fmt::format("The folder {} could not be made.", folder_.string()),
                  "Name one that can be written to.", failed.message());
    }
    const auto png = vision::annotate(picture, report);
    if (!png) return tl::unexpected(png.error());
    return report::write_whole(folder_ / name_for(photo), *png);
  }

 private:
  std::string name_for(const std::string& photo) {
    const auto stem = fs::path(photo).stem().string();
    std::string name = stem + "-measured.png";
    for (int again = 2; !taken_.insert(name).second; ++again)
      name = fmt::format("{}-measured-{}.png", stem, again);
    return name;
  }

  fs::path folder_;
  std::set<std::string> taken_;
};

void print(Console& console, const Options& options, const std::string& photo, const vision::Report& report) {
  if (options.json) {
    // File names may hold any bytes; JSON holds UTF-8.
    console.out << to_json(report, photo).dump(-1, ' ', false, ordered_json::error_handler_t::replace)
                << '\n';
  } else if (!report.refused) {
    console.out << sentence(photo, report) << '\n';
  }
  console.out.flush();
}

// A person who names a logbook of calibrated cameras wants to know when none of them fits.
void tell_lens(const Console& console, const std::string& photo, const Measured& measured,
               const Options& options) {
  if (options.camera_from.empty() || !measured.picture || measured.picture->info().lens) return;
  const auto& camera = measured.picture->info().camera;
  console.note(fmt::format("{}: no profile in {} fits {}; its lens is assumed.", photo, options.camera_from,
                           camera.empty() ? "a photo that names no camera" : "this photo by " + camera));
}

void measure_all(Console& console, const Options& options, const vision::Request& request,
                 const Lenses& lenses) {
  bool error = false;
  bool refused = false;
  Annotator annotator(options.annotate);
  for (const auto& photo : options.photos) {
    const auto measured = measure_file(photo, request, lenses);
    print(console, options, photo, measured.report);
    tell_lens(console, photo, measured, options);
    error = error || measured.error.has_value();
    if (measured.report.refused) {
      refused = true;
      console.note(fmt::format("spile: {}", sentence(photo, measured.report)));
    }
    for (const auto& warning : measured.report.warnings)
      console.note(fmt::format("spile: {}: {}", photo, warning));
    if (options.annotate.empty() || !measured.picture) continue;
    if (auto written = annotator.write(photo, *measured.picture, measured.report); !written) {
      console.tell(written.error());
      error = true;
    }
  }
  console.status = error ? kError : refused ? kRefused : kDone;
}

Result<Lenses> lenses_of(const std::string& logbook) {
  if (logbook.empty()) return Lenses();
  const auto session = Session::open(logbook, true);
  if (!session) return tl::unexpected(session.error());
  return session->snapshot().cameras;
}

}  // namespace

void add_measure(CLI::App& app, Console& console) {
  auto options = std::make_shared<Options>();
  auto* command =
      add_command(app, "measure", "Measure what is in photos, without a logbook",
                  "spile measure IMG_0031.jpg IMG_0032.jpg --reference card --json\n"
                  "Exit status: 0 all measured, 3 at least one refused, 1 an error, 2 wrong usage.");
  command->add_option("PHOTO", options->photos, "Photos: JPEG, PNG, TIFF, WebP or HEIC")->required();
  command->add_flag("--json", options->json, "One JSON object a line");
  add_request_options(*command, options->request);
  command->add_option("--annotate", options->annotate, "Write each picture with what was found drawn on it")
      ->type_name("FOLDER");
  command
      ->add_option("--camera-from", options->camera_from,
                   "Measure with the calibrated lenses of this logbook (see \"spile camera\")")
      ->type_name("LOGBOOK");
  command->callback([options, &console] {
    const auto request = request_of(options->request);
    if (!request) return console.tell(request.error());
    const auto lenses = lenses_of(options->camera_from);
    if (!lenses) return console.tell(lenses.error());
    measure_all(console, *options, *request, *lenses);
  });
}

}  // namespace spile::app::cli
