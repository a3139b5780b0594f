// Two photos of one opening from two surveys, side by side: which two, comparing them, how they are shown,
// and a crack traced by hand in each. Session state, no drawing. Points are upright pixels of the photo they
// are on. Main thread; the work runs in a job.
#pragma once

#include <array>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "app/compare_photos.hpp"
#include "gui/bench.hpp"
#include "gui/intents.hpp"

namespace spile::gui {

// What a person has traced, one course on each photo; every change of it is a step that can be taken back.
struct TraceDraft {
  std::array<std::vector<model::PixelPoint>, 2> points;  // by Season
  std::array<double, 2> placed_px{};                     // how well the roughest of them was placed
};

struct CompareState {
  enum class Work { None, Running, Done, Failed };
  model::OpeningId opening;
  std::vector<app::SurveyPhoto> photos;  // of the opening, oldest survey first
  std::array<std::size_t, 2> chosen{};   // of them, by Season
  Work work = Work::None;
  bool cancelling = false;
  std::string failure;

  std::array<std::optional<vision::Picture>, 2> pictures;  // as taken
  // What is drawn: as taken until they are aligned, then both in the later photo's pixels.
  std::array<std::optional<vision::Picture>, 2> shown;
  std::optional<vision::Comparison> comparison;

  Showing showing = Showing::SideBySide;
  double blinks_a_second = 1;
  bool blink_held = false;     // stopped by hand
  bool blink_earlier = false;  // then which is shown
  double wipe = 0.5;           // share of the picture's width that shows the earlier photo
  bool outlines = true;
  std::optional<std::size_t> change;  // the one in hand

  bool tracing = false;
  TraceDraft draft;
  std::array<std::optional<vision::TracedLength>, 2> traced;

  [[nodiscard]] const app::SurveyPhoto& photo(vision::Season of) const {
    return photos[chosen[static_cast<std::size_t>(of)]];
  }
  [[nodiscard]] bool aligned() const { return comparison && comparison->aligned && !comparison->refused; }
  // Of a point of the photo itself where it is drawn, and back.
  [[nodiscard]] std::optional<model::PixelPoint> drawn_at(vision::Season of, model::PixelPoint p) const;
  [[nodiscard]] std::optional<model::PixelPoint> of_photo(vision::Season on, model::PixelPoint drawn) const;
};

class Comparing {
 public:
  // Pictures are prepared for showing apart from comparing: they need not wait for it.
  Comparing(app::Jobs& jobs, app::Jobs& picture_jobs, std::vector<Upload>& uploads)
      : jobs_(jobs), picture_jobs_(picture_jobs), uploads_(uploads) {}

  [[nodiscard]] const CompareState& state() const { return state_; }
  [[nodiscard]] bool open() const { return !state_.photos.empty(); }

  // Nothing happens when the opening's photos are all of one survey.
  void begin(app::Session& session, const app::OpeningView& opening);
  void close();
  void choose(app::Session& session, vision::Season of, model::PhotoUseId use);
  void cancel();
  void failed(const app::JobFailure& failure);
  [[nodiscard]] std::optional<app::JobStatus> job() const;

  void show_as(Showing showing);
  void set_blink(double blinks_a_second);
  void flip();
  void set_wipe(double share);
  void set_outlines(bool on) { state_.outlines = on; }
  void choose_change(std::optional<std::size_t> change) { state_.change = change; }
  void need_tile(vision::Season of, int column, int row);

  void set_tracing(bool on);
  void place(vision::Season on, model::PixelPoint at, double u_px);
  void grab(vision::Season on, std::size_t index, bool just_placed);
  void move(model::PixelPoint to, double u_px);
  void drop();
  void take_back(vision::Season on);
  void trace_from_change();  // the course of the crack in hand, on the later photo
  void put_aside();
  // What would be kept; empty when nothing has a length.
  [[nodiscard]] std::vector<model::Measurement> records() const;

  [[nodiscard]] std::optional<std::string> undo_name() const;
  [[nodiscard]] std::optional<std::string> redo_name() const;
  void undo();
  void redo();

  // Of the textures of what is shown: another number for every pair.
  [[nodiscard]] std::int64_t texture_of(vision::Season of) const {
    return 2 * static_cast<std::int64_t>(pair_) + static_cast<std::int64_t>(of);
  }

 private:
  struct Step {
    std::string name;
    TraceDraft before;
  };
  void start(app::Session& session);
  void loaded(const vision::Picture& earlier, const vision::Picture& later);
  void compared(Result<app::PhotosCompared> answer);
  void show(vision::Season of, const vision::Picture& picture);
  void step(std::string name);
  void measure_traces();

  app::Jobs &jobs_, &picture_jobs_;
  std::vector<Upload>& uploads_;
  CompareState state_;
  std::vector<Step> past_, future_;
  std::array<std::set<std::pair<int, int>>, 2> tiles_asked_;
  std::uint64_t pair_ = 0;  // grows with every pair: answers for an earlier one are dropped
  std::uint64_t job_ = 0;
  std::optional<std::pair<vision::Season, std::size_t>> held_;
  bool step_made_ = false;
};

}  // namespace spile::gui
