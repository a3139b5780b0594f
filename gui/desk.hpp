// Everything the window is about except drawing it: the open logbook, what is selected, the photo in hand,
// jobs, messages, settings. Carries out intents one by one. Runs without a display. Main thread.
#pragma once

#include <chrono>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/cameras.hpp"
#include "app/jobs.hpp"
#include "app/merge.hpp"
#include "app/photos.hpp"
#include "app/session.hpp"
#include "gui/bench.hpp"
#include "gui/chooser.hpp"
#include "gui/comparing.hpp"
#include "gui/intents.hpp"
#include "gui/list.hpp"
#include "gui/settings.hpp"

namespace spile::gui {

struct Message {
  std::uint64_t id = 0;
  bool problem = false;  // stays until it is dismissed
  std::string text;
  std::chrono::steady_clock::time_point gone_at;  // of a notice
};

// The page of calibrated lenses.
struct CamerasState {
  vision::BoardSize board;
  std::string board_trouble;  // why what was typed is no board
  bool calibrating = false;
  std::optional<app::CalibrationOutcome> last;
};

// The page on which another person's copy is brought in.
struct MergeState {
  std::filesystem::path theirs;  // empty: none chosen yet
  db::MergeOutcome plan;         // what it would do, and what is to be chosen first
  db::MergeChoices choices;
  bool running = false;
};

// What a frame is drawn from besides the logbook.
struct DeskState {
  Page page = Page::Start;
  bool help = false;
  Beside beside = Beside::Verdicts;
  SeasonsTab seasons_tab = SeasonsTab::Seasons;
  bool large_photo = false;
  bool loupe = false;
  bool asks_to_quit = false;  // a job is still running
  std::optional<model::OpeningId> selected;
  ListState list;
  ChooserState chooser;
  CamerasState cameras;
  MergeState merge;
  Settings settings;
  std::vector<app::JobStatus> jobs;  // worth showing: imports, not the photo in hand
  std::vector<Message> messages;     // oldest first
  std::string held_by;               // why the logbook is open read-only; empty otherwise
};

// Commands for the views, handed over once: where the keyboard goes, how the photo is seen.
using ViewCommand = std::variant<FocusPane, FocusFilter, ZoomPhoto>;

class Desk {
 public:
  struct Options {
    std::filesystem::path settings_file;  // empty: nothing is kept
    std::function<void()> wake;           // called from workers when there is something new
    app::Clock clock = app::Clock::system();
  };
  explicit Desk(Options options);
  ~Desk();
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  [[nodiscard]] const DeskState& state() const { return state_; }
  [[nodiscard]] const BenchState& bench() const { return bench_->state(); }
  [[nodiscard]] const Comparing& comparing() const { return *comparing_; }
  // Photos of two surveys are there to be laid beside each other.
  [[nodiscard]] bool can_compare() const;
  [[nodiscard]] const app::Snapshot* logbook() const;  // null: none open
  [[nodiscard]] const rules::Tables* tables() const;   // null: none open
  [[nodiscard]] const rules::Stock* stock() const;     // null: none open
  [[nodiscard]] const app::OpeningView* selected() const;
  // The photos of the selected opening, or those not filed yet when none is selected.
  [[nodiscard]] const std::vector<app::PhotoView>& photos() const;
  [[nodiscard]] const app::PhotoView* open_photo() const;
  [[nodiscard]] std::vector<const app::OpeningView*> rows() const;
  // What the report of the photo in hand was; also when it has been recorded since.
  [[nodiscard]] std::optional<std::string> undo_name() const;
  [[nodiscard]] std::optional<std::string> redo_name() const;
  [[nodiscard]] bool can_edit() const;  // a logbook is open, and not read-only
  [[nodiscard]] bool can_accept() const;
  [[nodiscard]] std::string today() const { return options_.clock.today(); }  // civil, ISO 8601
  [[nodiscard]] bool quits() const { return quits_; }
  // Grows with every logbook opened or closed: ids of records mean something within one of them only.
  [[nodiscard]] std::uint64_t logbook_number() const { return logbook_; }

  void apply(const Intent& intent);
  // Finished work comes in, notices go out. Once a frame.
  void pump();
  [[nodiscard]] std::vector<Upload> take_uploads() { return std::exchange(uploads_, {}); }
  [[nodiscard]] std::vector<ViewCommand> take_commands() { return std::exchange(commands_, {}); }
  // When pump() has something to do though nothing happened; none: wait for ever.
  [[nodiscard]] std::optional<std::chrono::steady_clock::time_point> next_alarm() const;
  // Until nothing runs: for tests and pictures.
  void wait_idle();
  [[nodiscard]] bool idle() const;
  void window_resized(int width, int height);

 private:
  void on(const CreateLogbook&);
  void on(const OpenLogbook&);
  void on(const CloseLogbook&);
  void on(const Quit&);
  void on(const Undo&);
  void on(const Redo&);
  void on(const ChangeVessel&);
  void on(const ChangeSurvey&);
  void on(const BeginSurvey&);
  void on(const BeginSurveyFromLast&);
  void on(const ConfirmObservation&);
  void on(const ChooseSurvey&);
  void on(const AddOpening&);
  void on(const ChangeOpening&);
  void on(const RemoveOpening&);
  void on(const ChangeFitting&);
  void on(const ChangeObservation&);
  void on(const StartRun&);
  void on(const ChangeRun&);
  void on(const RemoveRun&);
  void on(const ChangeBilge&);
  void on(const ShowBeside&);
  void on(const TypeMeasurement&);
  void on(const WithdrawMeasurement&);
  void on(const SelectOpening&);
  void on(const StepOpening&);
  void on(const SetFilter&);
  void on(const SetSieve&);
  void on(const SetSort&);
  void on(const DropFiles&);
  void on(const OpenPhoto&);
  void on(const StepPhoto&);
  void on(const FilePhoto&);
  void on(const RemovePhoto&);
  void on(const NeedThumb&);
  void on(const NeedTile&);
  void on(const SetTool&);
  void on(const PlacePoint&);
  void on(const GrabPoint&);
  void on(const MovePoint&);
  void on(const DropPoint&);
  void on(const TakeBackPoint&);
  void on(const SetScaleLength&);
  void on(const SetReference&);
  void on(const SetSubject&);
  void on(const SetSnap&);
  void on(const ChooseHole&);
  void on(const MeasurePhoto&);
  void on(const AcceptResult&);
  void on(const DiscardResult&);
  void on(const ShowPage&);
  void on(const ShowSeasons&);
  void on(const ShowHelp&);
  void on(const ToggleLargePhoto&);
  void on(const FocusPane&);
  void on(const FocusFilter&);
  void on(const ZoomPhoto&);
  void on(const ToggleLoupe&);
  void on(const AskForFile&);
  void on(const ChooserGo&);
  void on(const ChooserPick&);
  void on(const ChooserCancel&);
  void on(const CancelJob&);
  void on(const Dismiss&);
  void on(const SetShade&);
  void on(const SetScale&);
  void on(const SetLengths&);
  void on(const SetShares&);
  void on(const CalibrateCamera&);
  void on(const SetBoard&);
  void on(const PrintBoard&);
  void on(const RemoveCamera&);
  void on(const CompareSurveys&);
  void on(const ComparePhoto&);
  void on(const StopComparing&);
  void on(const ShowAs&);
  void on(const SetBlink&);
  void on(const FlipPhotos&);
  void on(const SetWipe&);
  void on(const SetOutlines&);
  void on(const ChooseChange&);
  void on(const NeedSeasonTile&);
  void on(const SetTracing&);
  void on(const PlaceTrace&);
  void on(const GrabTrace&);
  void on(const MoveTrace&);
  void on(const DropTrace&);
  void on(const TakeBackTrace&);
  void on(const TraceFromChange&);
  void on(const KeepTraces&);
  void on(const PutTracesAside&);
  void on(const PlanMerge&);
  void on(const ChooseMergeSide&);
  void on(const CarryOutMerge&);

  [[nodiscard]] model::Survey survey_of_today() const;
  void say(std::string text);
  void complain(std::string text);
  bool done(const Result<void>& result);  // a problem becomes a message
  void take_over(app::Session session);
  void import(const std::vector<std::filesystem::path>& files, std::optional<model::OpeningId> opening);
  void plan_merge_again();
  void merged(Result<db::MergeOutcome> outcome);
  void calibrated(app::CalibrationOutcome outcome);
  void imported(const std::vector<app::ImportOutcome>& outcomes);
  void go_back_or_on(bool back);
  void records_changed();  // selection and photo in hand still there?
  void open_best_photo();
  void record_found(const app::PhotoView& photo, const app::OpeningView& opening);
  void keep_settings();

  Options options_;
  DeskState state_;
  std::optional<app::Session> session_;
  std::vector<Upload> uploads_;
  std::vector<ViewCommand> commands_;
  std::set<model::PhotoId> thumbs_asked_;
  std::uint64_t next_message_ = 1;
  std::uint64_t logbook_ = 0;   // grows with every logbook opened: answers for an earlier one are dropped
  std::uint64_t revision_ = 0;  // of the records that selection and photo in hand were last held against
  bool quits_ = false;
  std::unique_ptr<Bench> bench_;
  std::unique_ptr<Comparing> comparing_;
  // Last, so that they stop before anything their steps refer to goes. Imports, the photo in hand,
  // the thumbnails and comparing each have their own worker: none waits for another.
  std::unique_ptr<app::Jobs> imports_, hand_jobs_, thumb_jobs_, compare_jobs_;
};

}  // namespace spile::gui
