#include "app/cameras.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <utility>

#include "app/access.hpp"
#include "app/log.hpp"
#include "app/picture_files.hpp"
#include "app/wording.hpp"
#include "report/board.hpp"
#include "vision/camera_profile.hpp"

namespace spile::app {

namespace {

namespace fs = std::filesystem;

struct Looked {
  std::vector<vision::BoardPhoto> boards;  // of the photos that could be read
  std::vector<vision::CalibrationPhoto> unreadable;
  bool stopped = false;
};

void look_at(const fs::path& file, const vision::BoardSize& board, Looked& into) {
  const auto unreadable = [&](const std::string& why) {
    into.unreadable.push_back({file.filename().string(), why, 0, 0, {}, {}});
  };
  try {
    const auto picture = vision::Picture::load(file);
    if (!picture) {
      log_error(picture.error());
      return unreadable("it could not be read: " + picture.error().sentence());
    }
    into.boards.push_back(vision::find_board(*picture, board));
  } catch (const std::exception& e) {  // a picture too large for the memory at hand, above all
    unreadable(fmt::format("something unforeseen went wrong ({})", e.what()));
  }
}

Looked look(const std::vector<fs::path>& named, const vision::BoardSize& board, Progress& progress) {
  const auto files = picture_files(named);
  const int total = static_cast<int>(files.size());
  Looked looked;
  int done = 0;
  for (const auto& file : files) {
    progress.at("Looking for the board in " + file.filename().string(), done++, total);
    if (progress.cancelled()) {
      looked.stopped = true;
      return looked;
    }
    look_at(file, board, looked);
  }
  progress.at("Fitting the lens", total, total);
  return looked;
}

Error stopped() {
  return Error{ErrorCode::Cancelled, "The camera was not calibrated: it was stopped.", "Start it again.", {}};
}

CalibrationOutcome solved(Looked looked, const vision::BoardSize& board, const std::string& date) {
  CalibrationOutcome outcome;
  if (looked.stopped) {
    outcome.error = stopped();
    return outcome;
  }
  outcome.calibration = vision::calibrate(looked.boards, board, date);
  for (auto& photo : looked.unreadable) outcome.calibration.photos.push_back(std::move(photo));
  return outcome;
}

void store(Session::Access& access, CalibrationOutcome& outcome) {
  const auto& profile = outcome.calibration.profile;
  if (!profile || outcome.error) return;
  const auto id = access.keep_camera_profile(*profile, outcome.replaced);
  if (id) {
    outcome.stored = *id;
  } else {
    outcome.error = id.error();
  }
}

class Unwatched final : public Progress {
 public:
  void at(const std::string&, int, int) override {}
  [[nodiscard]] bool cancelled() const override { return false; }
};

}  // namespace

Result<void> check_board(const vision::BoardSize& board) {
  const auto within = [](int n) { return n >= vision::kFewestCorners && n <= vision::kMostCorners; };
  if (within(board.across) && within(board.up)) return {};
  return fail(ErrorCode::BadInput,
              fmt::format("A board of {} x {} inner corners cannot be used.", board.across, board.up),
              fmt::format("Count the corners where four squares meet along each side: {} to {}.",
                          vision::kFewestCorners, vision::kMostCorners));
}

Result<void> write_board(const fs::path& file, bool letter) {
  return report::write_board_pdf(file, letter ? report::Paper::Letter : report::Paper::A4);
}

CalibrationOutcome calibrate_camera(Session& session, const std::vector<fs::path>& photos,
                                    const vision::BoardSize& board, Progress* progress) {
  CalibrationOutcome outcome;
  if (auto sense = check_board(board); !sense) {
    outcome.error = sense.error();
    return outcome;
  }
  Unwatched unwatched;
  auto& access = session.access();
  outcome =
      solved(look(photos, board, progress == nullptr ? unwatched : *progress), board, access.clock.today());
  store(access, outcome);
  return outcome;
}

std::uint64_t start_calibration(Jobs& jobs, Session& session, std::vector<fs::path> photos,
                                vision::BoardSize board,
                                std::function<void(CalibrationOutcome)> on_finished) {
  auto weak = session.access().weak_from_this();
  const auto date = session.access().clock.today();
  return jobs.start("Calibrate the camera", [weak, photos = std::move(photos), board, date,
                                             on_finished = std::move(on_finished)](Progress& progress) {
    CalibrationOutcome outcome;
    if (auto sense = check_board(board); !sense) {
      outcome.error = sense.error();
    } else {
      outcome = solved(look(photos, board, progress), board, date);
    }
    if (progress.cancelled()) outcome.error = stopped();
    return [weak, outcome, on_finished]() mutable {
      if (const auto access = weak.lock()) store(*access, outcome);
      on_finished(std::move(outcome));
    };
  });
}

Result<model::CameraProfileId> Session::Access::keep_camera_profile(const model::CameraProfile& profile,
                                                                    bool& replaced) {
  vision::PictureInfo alike;
  alike.camera = profile.camera;
  alike.focal_mm = profile.focal_mm;
  alike.focal_35mm = profile.focal_35mm;
  alike.digital_zoom = profile.digital_zoom;
  alike.width_px = profile.width_px;
  alike.height_px = profile.height_px;
  std::vector<model::CameraProfileId> earlier;
  for (const auto& known : snapshot.cameras)
    if (vision::fits(known, alike)) earlier.push_back(known.id);
  model::CameraProfileId id;
  auto done = edit(fmt::format("Calibrate {}", profile.camera), [&](db::Edit& change) {
    for (const auto old : earlier) change.remove_camera_profile(old);
    id = change.add_camera_profile(profile);
  });
  if (!done) return tl::unexpected(std::move(done.error()));
  replaced = !earlier.empty();
  return id;
}

Result<void> Session::remove_camera_profile(model::CameraProfileId profile) {
  Access& a = *impl_->access;
  const auto& cameras = a.snapshot.cameras;
  const auto known =
      std::find_if(cameras.begin(), cameras.end(), [&](const auto& p) { return p.id == profile; });
  if (known == cameras.end())
    return fail(ErrorCode::NotFound, "That camera is not in this logbook.", "Choose one from the list.");
  return a.edit(fmt::format("Remove the calibration of {}", known->camera),
                [&](db::Edit& edit) { edit.remove_camera_profile(profile); });
}

std::string optics_words(const model::CameraProfile& p) {
  std::string text;
  if (p.focal_mm) text = fmt::format("{} mm", print_number(*p.focal_mm, 2));
  if (p.focal_35mm) {
    const auto equivalent = fmt::format("{} mm equivalent", print_number(*p.focal_35mm, 0));
    text += text.empty() ? equivalent : fmt::format(" ({})", equivalent);
  }
  if (p.digital_zoom > 1) text += fmt::format(", digital zoom {}", print_number(p.digital_zoom, 2));
  return fmt::format("{}, {} x {} px", text, p.width_px, p.height_px);
}

std::string corner_words(const model::CameraProfile& profile) {
  const auto corner = vision::displacement_at(profile, 1);
  return print_interval(corner.px, 1.96 * corner.u_px, "px");
}

}  // namespace spile::app
