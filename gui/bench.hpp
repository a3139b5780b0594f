// The photo in hand: loading it, measuring it by itself or by hand, and keeping or dropping the result.
// Session state, no drawing. Points are upright full-resolution pixels. Main thread; the work runs in jobs.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "app/jobs.hpp"
#include "app/photos.hpp"
#include "gui/intents.hpp"
#include "gui/textures.hpp"

namespace spile::gui {

// Pixels on their way to the graphics card.
struct Upload {
  TextureKey key;
  vision::Rgba pixels;
};

// What a person has placed and chosen; every change of it is a step that can be taken back.
struct Draft {
  std::vector<model::PixelPoint> rim;    // points of one rim
  std::vector<model::PixelPoint> scale;  // up to two ends of a known length
  std::vector<model::PixelPoint> edge;   // up to four: outer face a-b, inner face c-d
  std::string scale_typed;
  std::optional<double> scale_mm;  // what was typed, read
  vision::ReferenceRequest reference = vision::AutoReference{};
  vision::Subject subject = vision::Subject::Auto;
  bool snap = true;
  double placed_px =
      0;  // how well the roughest of the points was placed, pixels of the picture; 0: not known
};

struct BenchState {
  enum class Load { None, Loading, Ready, Failed };
  std::optional<model::PhotoUseId> use;
  model::PhotoId photo;
  Load load = Load::None;
  std::string failure;  // why it could not be shown
  std::optional<vision::Picture> picture;
  int width_px = 0, height_px = 0;

  Tool tool = Tool::Look;
  Draft draft;
  std::string scale_trouble;             // why the typed length could not be read
  std::optional<vision::Report> report;  // found or placed, not recorded
  vision::Request request;               // what the report answers
  std::size_t hole = 0;                  // which of its holes is meant
  bool measuring = false;
  bool by_hand = false;  // the report rests on points placed by a person
};

// How many points the tool takes.
[[nodiscard]] std::size_t most_points(Tool tool);
[[nodiscard]] const std::vector<model::PixelPoint>& points_of(const Draft& draft, Tool tool);

class Bench {
 public:
  // `jobs` is the bench's own: closing a photo cancels whatever waits there.
  explicit Bench(app::Jobs& jobs, std::vector<Upload>& uploads) : jobs_(jobs), uploads_(uploads) {}

  [[nodiscard]] const BenchState& state() const { return state_; }

  void open(app::Session& session, const app::PhotoView& photo);
  // Whatever is measured in the photo from now on; what is shown stays.
  void use_lenses(const std::vector<model::CameraProfile>& lenses);
  void close();
  // Closes and forgets what was remembered: another logbook counts its photos from one again.
  void forget();
  // A job that broke off has no answer; does nothing when the job is not one of the photo in hand.
  void failed(const app::JobFailure& failure);
  // What an import has found, kept so that it need not be measured again when the photo is opened.
  void remember(model::PhotoUseId use, vision::Report report);
  [[nodiscard]] const vision::Report* remembered(model::PhotoUseId use) const;
  // Brings up what was found when the photo has nothing recorded.
  void show_remembered();

  void set_tool(Tool tool);
  void place(model::PixelPoint at, double u_px);
  void grab(std::size_t index, bool just_placed);
  void move(std::size_t index, model::PixelPoint to, double u_px);
  void drop();
  void take_back();
  void set_scale_length(const std::string& typed, units::LengthSystem lengths);
  void set_reference(const vision::ReferenceRequest& reference);
  void set_subject(vision::Subject subject);
  void set_snap(bool snap);
  void choose_hole(std::size_t hole);
  void measure();
  void discard();
  void need_tile(int column, int row);

  // Steps of the draft; empty when there is nothing to take back here.
  [[nodiscard]] std::optional<std::string> undo_name() const;
  [[nodiscard]] std::optional<std::string> redo_name() const;
  void undo();
  void redo();

  static constexpr int kViewSide = 2048;
  static constexpr int kTileSide = 1024;

 private:
  struct Step {
    std::string name;
    Draft before;
  };
  void show(vision::Picture picture, std::uint64_t opened);
  void drop_measuring();
  void step(std::string name);  // before a change of the draft
  void fall_back();
  void draft_changed();
  void start_measuring();
  void measured(vision::Report report, const vision::Request& request);
  [[nodiscard]] vision::Request request_of_draft() const;
  [[nodiscard]] bool draft_says_something() const;
  std::vector<model::PixelPoint>& points(Tool tool);

  app::Jobs& jobs_;
  std::vector<Upload>& uploads_;
  BenchState state_;
  std::vector<Step> past_, future_;
  std::optional<vision::Report> offered_;  // what is shown while the draft says nothing
  std::map<model::PhotoUseId, vision::Report> remembered_;
  std::map<std::pair<int, int>, bool> tiles_asked_;
  std::uint64_t opened_ = 0;  // grows with every photo opened: answers for an earlier one are dropped
  std::uint64_t asked_ = 0;   // grows with every measuring begun or dropped: earlier answers are dropped
  std::uint64_t load_job_ = 0, measure_job_ = 0;  // 0: none was started
  bool again_ = false;                            // the draft changed while it was being measured
  bool dragging_ = false;
  bool step_made_ = false;  // for the drag going on
};

}  // namespace spile::gui
