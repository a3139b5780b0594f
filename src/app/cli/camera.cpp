// spile camera: calibrate a lens from photos of the printed board, list the profiles, remove one, print the
// board.
#include <fmt/format.h>

#include <charconv>
#include <memory>
#include <ostream>

#include "app/cameras.hpp"
#include "app/cli/commands.hpp"
#include "app/cli/line_progress.hpp"
#include "app/logbook_json.hpp"
#include "app/wording.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::vector<std::string> photos;
  std::string board = "9x6";
  std::string camera;
  std::string output = "spile-board.pdf", paper = "a4";
  bool json = false;
};

Result<vision::BoardSize> board_of(const std::string& text) {
  vision::BoardSize board;
  const char* end = text.data() + text.size();
  const auto across = std::from_chars(text.data(), end, board.across);
  if (across.ec == std::errc() && across.ptr != end && *across.ptr == 'x') {
    const auto up = std::from_chars(across.ptr + 1, end, board.up);
    if (up.ec == std::errc() && up.ptr == end) return board;
  }
  return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a board.", text),
              "Count the corners where four squares meet along each side, such as 9x6.");
}

void print(const Console& console, const model::CameraProfile& p) {
  console.out << fmt::format(
      "{}: {}\n  calibrated {} from {}, corners within {:.2f} px, out to {:.0f} % of the way to the corner\n"
      "  focal length {}, at the corner {}\n",
      p.camera, optics_words(p), p.date, counted(static_cast<std::size_t>(p.photos), "photo"), p.rms_px,
      100 * p.reach, print_interval(p.focal_px, 1.96 * p.u_log_focal * p.focal_px, "px"), corner_words(p));
  if (!p.note.empty()) console.out << "  " << p.note << '\n';
}

nlohmann::ordered_json photos_json(const vision::Calibration& calibration) {
  auto list = nlohmann::ordered_json::array();
  for (const auto& photo : calibration.photos) {
    const bool used = photo.left_out.empty() && photo.rms_px > 0;
    list.push_back(
        {{"photo", photo.name},
         {"used", used},
         {"left_out",
          photo.left_out.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(photo.left_out)},
         {"rms_px",
          photo.rms_px > 0 ? nlohmann::ordered_json(photo.rms_px) : nlohmann::ordered_json(nullptr)},
         {"tilt_deg", used ? nlohmann::ordered_json(photo.tilt_deg) : nlohmann::ordered_json(nullptr)}});
  }
  return list;
}

void print_json(const Console& console, const vision::Calibration& calibration) {
  using nlohmann::ordered_json;
  ordered_json refused = nullptr;
  if (const auto& r = calibration.refused) refused = {{"code", r->code}, {"reason", r->reason}};
  const ordered_json profile = calibration.profile ? to_json(*calibration.profile) : ordered_json(nullptr);
  console.out << ordered_json(
                     {{"profile", profile}, {"photos", photos_json(calibration)}, {"refused", refused}})
                     .dump(-1, ' ', false, ordered_json::error_handler_t::replace)
              << '\n';
}

Result<void> run_calibrate(Session& session, const Options& o, Console& console) {
  const auto board = board_of(o.board);
  if (!board) return tl::unexpected(board.error());
  auto outcome = [&] {
    LineProgress progress(console.err);
    return calibrate_camera(session, {o.photos.begin(), o.photos.end()}, *board, &progress);
  }();
  if (outcome.error) return tl::unexpected(*outcome.error);
  auto& calibration = outcome.calibration;
  if (outcome.stored) calibration.profile->id = *outcome.stored;
  for (const auto& photo : calibration.photos)
    if (!photo.left_out.empty())
      console.note(fmt::format("{} was left out: {}.", photo.name, photo.left_out));
  if (o.json) {
    print_json(console, calibration);
  } else if (calibration.profile) {
    print(console, *calibration.profile);
  }
  if (calibration.refused) {
    console.note("spile: No profile was made. " + calibration.refused->reason);
    console.status = kRefused;
    return {};
  }
  console.note(outcome.replaced
                   ? "It replaces the earlier profile of this camera."
                   : "Photos by this camera at this focal length are measured with it from now on.");
  console.note("What was measured before stays as it is; \"spile remeasure\" measures a photo again.");
  return {};
}

Result<void> run_list(const Session& session, const Options& o, const Console& console) {
  const auto& cameras = session.snapshot().cameras;
  if (o.json) {
    console.out << cameras_json(cameras).dump(2) << '\n';
    return {};
  }
  for (const auto& profile : cameras) {
    console.out << fmt::format("{}. ", profile.id.value);
    print(console, profile);
  }
  if (cameras.empty())
    console.note("No camera is calibrated in this logbook; \"spile camera calibrate\" does it.");
  return {};
}

// By its number in the list, or by the camera's name where that is of one profile.
Result<model::CameraProfileId> profile_called(const Session& session, const std::string& name) {
  std::vector<model::CameraProfileId> found;
  for (const auto& p : session.snapshot().cameras) {
    if (std::to_string(p.id.value) == name) return p.id;
    if (folded(p.camera) == folded(trimmed(name))) found.push_back(p.id);
  }
  if (found.size() == 1) return found.front();
  if (found.empty()) {
    return fail(ErrorCode::NotFound, fmt::format("There is no camera {} in this logbook.", name),
                "\"spile camera list\" shows them with their numbers.");
  }
  return fail(ErrorCode::BadInput, fmt::format("{} profiles are of {}.", found.size(), name),
              "Give the number that \"spile camera list\" shows.");
}

Result<void> run_remove(Session& session, const Options& o, const Console& console) {
  const auto profile = profile_called(session, o.camera);
  if (!profile) return tl::unexpected(profile.error());
  return record_edit(session, console, [&] { return session.remove_camera_profile(*profile); });
}

void add_calibrate(CLI::App& camera, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(
      camera, "calibrate", "Calibrate a lens from photos of the printed board",
      "spile camera calibrate heron.spile ~/photos/board\n"
      "Eight or more photos of the flat board, sharp and evenly lit: in front, tilted about 30 degrees "
      "to each side,\nand in each corner of the picture. Its printed size does not matter for the lens.\n"
      "Exit status: 0 calibrated, 3 refused, 1 an error, 2 wrong usage.");
  add_logbook(*command, o->logbook);
  command->add_option("PHOTO", o->photos, "Photos of the board, or folders of them")->required();
  command->add_option("--board", o->board, "Inner corners of another chessboard, where four squares meet")
      ->type_name("ACROSSxUP")
      ->capture_default_str();
  command->add_flag("--json", o->json, "The profile and what each photo gave as JSON");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run_calibrate(session, *o, console); });
  });
}

void add_list(CLI::App& camera, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(camera, "list", "List the calibrated lenses", "spile camera list heron.spile --json");
  add_logbook(*command, o->logbook);
  command->add_flag("--json", o->json, "As JSON");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading,
                 [&](Session& session) { return run_list(session, *o, console); });
  });
}

void add_remove(CLI::App& camera, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(camera, "remove", "Remove the profile of a lens", "spile camera remove heron.spile 2");
  add_logbook(*command, o->logbook);
  command->add_option("CAMERA", o->camera, "Its number in the list, or its name")->required();
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run_remove(session, *o, console); });
  });
}

void add_print(CLI::App& camera, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(camera, "print", "Make the calibration board as a PDF at true size",
                              "spile camera print --output board.pdf");
  command->add_option("-o,--output", o->output, "File to write")
      ->type_name("FILE.pdf")
      ->capture_default_str();
  command->add_option("--paper", o->paper, "a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->callback([o, &console] {
    if (auto written = write_board(o->output, o->paper == "letter"); !written)
      return console.tell(written.error());
    console.out << o->output << '\n';
    console.note("Lay it on something flat and stiff, glass or a table top; a bent board bends the lens.");
  });
}

}  // namespace

void add_camera(CLI::App& app, Console& console) {
  auto* camera = add_command(app, "camera", "Calibrate a camera's lens, so that photos by it measure closer",
                             "spile camera print --output board.pdf\n"
                             "  spile camera calibrate heron.spile ~/photos/board\n"
                             "  spile camera list heron.spile");
  camera->require_subcommand(1);
  add_print(*camera, console);
  add_calibrate(*camera, console);
  add_list(*camera, console);
  add_remove(*camera, console);
}

}  // namespace spile::app::cli
