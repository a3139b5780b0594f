// Desk: calibrated lenses.
#include <charconv>

#include "gui/desk.hpp"

namespace spile::gui {

namespace {

// "9 x 6", "9x6", "9 6", "9 × 6".
std::optional<vision::BoardSize> board_of(const std::string& typed) {
  std::vector<int> numbers;
  const char* const end = typed.data() + typed.size();
  for (const char* at = typed.data(); at < end;) {
    if (*at < '0' || *at > '9') {
      ++at;
      continue;
    }
    const auto read = std::from_chars(at, end, numbers.emplace_back());
    if (read.ec != std::errc()) return std::nullopt;
    at = read.ptr;
  }
  if (numbers.size() != 2) return std::nullopt;
  const vision::BoardSize board{numbers[0], numbers[1]};
  if (!app::check_board(board)) return std::nullopt;
  return board;
}

}  // namespace

void Desk::on(const CalibrateCamera& asked) {
  if (!can_edit() || asked.photos.empty() || state_.cameras.calibrating) return;
  state_.page = Page::Cameras;
  state_.cameras.calibrating = true;
  app::start_calibration(*imports_, *session_, asked.photos, state_.cameras.board,
                         [this, logbook = logbook_](app::CalibrationOutcome outcome) {
                           if (logbook == logbook_) calibrated(std::move(outcome));
                         });
}

void Desk::calibrated(app::CalibrationOutcome outcome) {
  state_.cameras.calibrating = false;
  if (outcome.error) complain(outcome.error->sentence());
  if (outcome.stored) {
    say("Calibrated " + outcome.calibration.profile->camera +
        ". Photos by it are measured with its lens from now on.");
  }
  state_.cameras.last = std::move(outcome);
  done(session_->refresh());
}

void Desk::on(const SetBoard& asked) {
  if (const auto board = board_of(asked.typed)) {
    state_.cameras.board = *board;
    state_.cameras.board_trouble.clear();
  } else {
    state_.cameras.board_trouble =
        "Count the corners where four squares meet along each side, such as 9 x 6.";
  }
}

void Desk::on(const PrintBoard& asked) {
  if (!session_) return;
  const auto file = session_->snapshot().folder.parent_path() / "spile-board.pdf";
  if (auto written = app::write_board(file, asked.letter); !written)
    return complain(written.error().sentence());
  say("The board is in " + from_home(file) + ". Print it and lay it on something flat.");
}

void Desk::on(const RemoveCamera& asked) {
  if (!session_ || !done(session_->remove_camera_profile(asked.profile))) return;
  state_.cameras.last.reset();
}

}  // namespace spile::gui
