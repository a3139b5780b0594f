// What a person asks for. Views push these while they draw; the desk carries them out after the frame, so
// that nothing changes under a view's feet. Records are named by id, never by place in a list.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "app/merge.hpp"
#include "app/photos.hpp"
#include "app/session.hpp"
#include "gui/theme.hpp"
#include "units/text.hpp"
#include "vision/compare.hpp"

namespace spile::gui {

// --- the logbook
struct CreateLogbook {
  std::filesystem::path folder;
};
struct OpenLogbook {
  std::filesystem::path folder;
};
struct CloseLogbook {};
struct Quit {};
struct Undo {};
struct Redo {};

// --- records. A change is made to the record as it stands when the intent is carried out, so that two fields
// left in one frame cannot overwrite each other.
struct ChangeVessel {
  std::function<void(model::Vessel&)> change;
};
struct ChangeSurvey {
  model::SurveyId survey;
  std::function<void(model::Survey&)> change;
};
struct BeginSurvey {};          // today, ashore
struct BeginSurveyFromLast {};  // today, with all that was put down, to be confirmed
struct ConfirmObservation {     // of the current survey: it is as it was put down
  model::OpeningId opening;
};
struct ChooseSurvey {
  model::SurveyId survey;
};
struct AddOpening {};
struct ChangeOpening {
  model::OpeningId opening;
  std::function<void(model::Opening&)> change;
};
struct RemoveOpening {
  model::OpeningId opening;
};
struct ChangeFitting {
  model::OpeningId opening;
  std::function<void(model::Fitting&)> change;
};
struct ChangeObservation {  // of the current survey
  model::OpeningId opening;
  std::function<void(model::Observation&)> change;
};
struct TypeMeasurement {
  model::OpeningId opening;
  model::Quantity quantity = model::Quantity::LaminateThickness;
  std::string typed;
  model::Method method = model::Method::Caliper;
  std::optional<double> u95;
  std::string label;
};
struct WithdrawMeasurement {
  model::MeasurementId measurement;
};

// --- runs and water
struct StartRun {  // with the usual parts of its service, or empty
  model::OpeningId opening;
  bool usual_parts = true;
};
struct ChangeRun {
  model::RunId run;
  std::function<void(model::Run&)> change;
};
struct RemoveRun {
  model::RunId run;
};
struct ChangeBilge {
  std::optional<double> model::Bilge::*field = nullptr;
  std::string typed;  // a number in the field's own unit; empty: not known
};
enum class Beside { Verdicts, Water, Trends };
struct ShowBeside {  // what stands beside the record
  Beside what = Beside::Verdicts;
};

// --- the list
enum class Sieve { All, NeedsWork, NotLookedAt, BelowWaterline };
enum class SortBy { Tag, Service, Zone, Diameter, Laminate, Condition, Standing };
struct SelectOpening {
  std::optional<model::OpeningId> opening;  // none: the photos not filed yet
};
struct StepOpening {
  int by = 1;
};
struct SetFilter {
  std::string text;
};
struct SetSieve {
  Sieve sieve = Sieve::All;
};
struct SetSort {
  SortBy by = SortBy::Tag;
  bool descending = false;
};

// --- photos
struct DropFiles {  // on the window: photos, folders of photos, or a logbook
  std::vector<std::filesystem::path> files;
  std::optional<model::OpeningId> onto;  // the opening they fell on; none: not filed yet
};
struct OpenPhoto {
  model::PhotoUseId use;
};
struct StepPhoto {
  int by = 1;
};
struct FilePhoto {
  model::PhotoUseId use;
  std::optional<model::OpeningId> opening;
};
struct RemovePhoto {
  model::PhotoUseId use;
};
struct NeedThumb {
  model::PhotoId photo;
};
struct NeedTile {  // of the open photo, full resolution
  int column = 0, row = 0;
};

// --- calibrated lenses
struct CalibrateCamera {
  std::vector<std::filesystem::path> photos;  // of the board, or folders of them
};
struct SetBoard {
  std::string typed;  // inner corners: "9 x 6"
};
struct PrintBoard {     // as a PDF beside the logbook
  bool letter = false;  // US Letter instead of A4
};
struct RemoveCamera {
  model::CameraProfileId profile;
};

// --- another person's copy of the logbook
struct PlanMerge {
  std::filesystem::path theirs;
};
struct ChooseMergeSide {
  std::string key;  // empty: all that is still to be chosen
  db::MergeSide side = db::MergeSide::Mine;
};
struct CarryOutMerge {};

// --- measuring in the open photo
enum class Tool { Look, Rim, Scale, Edge };
struct SetTool {
  Tool tool = Tool::Look;
};
struct PlacePoint {
  model::PixelPoint at;
  double u_px = 0;  // how well the hand places it at the zoom in force, pixels of the picture; 0: not said
};
struct GrabPoint {  // before a drag: what follows is one step of undo
  std::size_t index = 0;
  bool just_placed = false;  // then placing and dragging are one step
};
struct MovePoint {
  std::size_t index = 0;
  model::PixelPoint to;
  double u_px = 0;  // as of PlacePoint
};
struct DropPoint {};  // the drag is over
struct TakeBackPoint {};
struct SetScaleLength {
  std::string typed;
};
struct SetReference {
  vision::ReferenceRequest reference;
};
struct SetSubject {
  vision::Subject subject = vision::Subject::Auto;
};
struct SetSnap {
  bool snap = true;
};
struct ChooseHole {
  std::size_t hole = 0;
};
struct MeasurePhoto {};  // from scratch, by itself
struct AcceptResult {};
struct DiscardResult {};

// --- two photos of one opening from two surveys
struct CompareSurveys {};  // of the selected opening
struct ComparePhoto {      // this one instead
  vision::Season as = vision::Season::Later;
  model::PhotoUseId use;
};
struct StopComparing {};
enum class Showing { SideBySide, Wipe, Blink, Changes };
struct ShowAs {
  Showing showing = Showing::SideBySide;
};
struct SetBlink {
  double a_second = 1;
};
struct FlipPhotos {};  // the other one now, and no blinking
struct SetWipe {
  double share = 0.5;
};
struct SetOutlines {
  bool on = true;
};
struct ChooseChange {
  std::optional<std::size_t> change;
};
struct NeedSeasonTile {
  vision::Season of = vision::Season::Later;
  int column = 0, row = 0;
};
struct SetTracing {
  bool on = true;
};
struct PlaceTrace {
  vision::Season on = vision::Season::Later;
  model::PixelPoint at;
  double u_px = 0;  // how well the hand places it, pixels of that photo
};
struct GrabTrace {
  vision::Season on = vision::Season::Later;
  std::size_t index = 0;
  bool just_placed = false;
};
struct MoveTrace {
  model::PixelPoint to;
  double u_px = 0;
};
struct DropTrace {};
struct TakeBackTrace {
  vision::Season on = vision::Season::Later;
};
struct TraceFromChange {};  // with the crack in hand
struct KeepTraces {};       // in the logbook
struct PutTracesAside {};

// --- the window
enum class Page { Start, Desk, Vessel, Surveys, Cameras, Compare, Seasons, Merge };
enum class Pane { List, Photo, Record, Verdicts };
enum class ChooserFor { OpenLogbook, CreateLogbook, MergeLogbook, Photos, BoardPhotos };
struct ShowPage {
  Page page = Page::Desk;
};
enum class SeasonsTab { Seasons, Due, Walk };
struct ShowSeasons {  // the page, with this of its tabs
  SeasonsTab tab = SeasonsTab::Seasons;
};
struct ShowHelp {
  bool show = true;
};
struct ToggleLargePhoto {};
struct FocusPane {
  Pane pane = Pane::List;
  const char* field = nullptr;  // in the record: the field to begin with
};
struct FocusFilter {};
enum class Zoom { In, Out, Fit, OneToOne };
struct ZoomPhoto {
  Zoom zoom = Zoom::In;
};
struct ToggleLoupe {};
struct AskForFile {
  ChooserFor purpose = ChooserFor::Photos;
};
struct ChooserGo {
  std::filesystem::path folder;
};
struct ChooserPick {
  std::vector<std::filesystem::path> files;
};
struct ChooserCancel {};
struct CancelJob {
  std::uint64_t job = 0;
};
struct Dismiss {
  std::uint64_t message = 0;
};
struct SetShade {
  Shade shade = Shade::Light;
};
struct SetScale {
  float scale = 1;
};
struct SetLengths {
  units::LengthSystem lengths = units::LengthSystem::Metric;
};
struct SetShares {  // where the splitters stand
  float left = 0, left_wide = 0, list = 0, right = 0;
};

using Intent = std::variant<
    CreateLogbook, OpenLogbook, CloseLogbook, Quit, Undo, Redo, ChangeVessel, ChangeSurvey, BeginSurvey,
    BeginSurveyFromLast, ConfirmObservation, ChooseSurvey, AddOpening, ChangeOpening, RemoveOpening,
    ChangeFitting, ChangeObservation, StartRun, ChangeRun, RemoveRun, ChangeBilge, ShowBeside,
    TypeMeasurement, WithdrawMeasurement, SelectOpening, StepOpening, SetFilter, SetSieve, SetSort, DropFiles,
    OpenPhoto, StepPhoto, FilePhoto, RemovePhoto, NeedThumb, NeedTile, SetTool, PlacePoint, GrabPoint,
    MovePoint, DropPoint, TakeBackPoint, SetScaleLength, SetReference, SetSubject, SetSnap, ChooseHole,
    MeasurePhoto, AcceptResult, DiscardResult, ShowPage, ShowSeasons, ShowHelp, ToggleLargePhoto, FocusPane,
    FocusFilter, ZoomPhoto, ToggleLoupe, AskForFile, ChooserGo, ChooserPick, ChooserCancel, CancelJob,
    Dismiss, SetShade, SetScale, SetLengths, SetShares, CalibrateCamera, SetBoard, PrintBoard, RemoveCamera,
    CompareSurveys, ComparePhoto, StopComparing, ShowAs, SetBlink, FlipPhotos, SetWipe, SetOutlines,
    ChooseChange, NeedSeasonTile, SetTracing, PlaceTrace, GrabTrace, MoveTrace, DropTrace, TakeBackTrace,
    TraceFromChange, KeepTraces, PutTracesAside, PlanMerge, ChooseMergeSide, CarryOutMerge>;

class Intents {
 public:
  void push(Intent intent) { waiting_.push_back(std::move(intent)); }
  [[nodiscard]] std::vector<Intent> take() { return std::exchange(waiting_, {}); }
  [[nodiscard]] bool empty() const { return waiting_.empty(); }

 private:
  std::vector<Intent> waiting_;
};

}  // namespace spile::gui
