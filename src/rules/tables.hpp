// The knowledge of the trade as rows of assets/tables/*.csv, compiled in and validated at load.
// Every row carries a `source`: a publication and clause, "common practice", or "from memory: <document>".
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/measurement.hpp"
#include "model/survey.hpp"
#include "model/yard_table.hpp"
#include "outcome/outcome.hpp"

namespace spile::rules {

// A choice a person can make from a list: `key` is stored, `label` is shown.
struct Choice {
  std::string key;
  std::string label;
  std::string group;  // may be empty
  std::string note;   // one line of why it matters; may be empty
  std::string source;
};

// A number of the trade with its unit; key as in assets/tables/thresholds.csv, e.g.
// "reinforce.single-skin.min".
struct Threshold {
  std::string key;
  std::string label;
  double value = 0;
  std::string unit;
  std::string note;
  std::string source;
};

enum class Suitability { Accept, Conditional, Reject };

// Which way water goes through an opening, and what custom shuts it with.
enum class Flow { Intake, Discharge, Drain, Exhaust, Vent, Shaft, Closed };
enum class ShutOff {
  Valve,  // a seacock
  Plug,   // a plug or blank kept to hand
  Gland,  // the gland or seal is what keeps water out
  Riser,  // an exhaust kept dry by its riser
  Loop,   // a bilge discharge high above the water, with a loop
  None,   // nothing to shut
  Never,  // a valve would be a danger
};

struct Service {
  Choice choice;
  Flow flow = Flow::Discharge;
  ShutOff shut_off = ShutOff::Valve;
  std::string usual_kind;  // key of fitting_kinds.csv that usually serves it, or empty
  std::string usual_size;  // as the trade says it, "1-1/2 in", or empty
};

// Potentials are volts in flowing sea water against a silver/silver-chloride half-cell; absent where the
// published charts have no row.
struct Material {
  Choice choice;
  std::string family;  // copper, plastic, stainless, steel, aluminium, titanium, laminate
  Suitability below_waterline = Suitability::Conditional;
  Suitability heeled = Suitability::Conditional;
  Suitability above = Suitability::Conditional;
  std::optional<double> potential_low, potential_high;
};

struct FittingKind {
  Choice choice;
  bool takes_valve = true;
};

struct ValveKind {
  Choice choice;
  Suitability as_seacock = Suitability::Conditional;
};

struct BackingMaterial {
  Choice choice;
  Suitability below_waterline = Suitability::Conditional;
  std::string why;
  std::optional<double> min_thickness_mm;  // absent where the material is rejected
  std::string metal;                       // key of materials.csv where the block is a metal, else empty
};

// A pipe thread of one size. Taper threads: diameters at the hand-tight plane; lengths from the pipe's end.
struct PipeThread {
  Choice choice;
  std::string form;     // npt, npsm, g, r
  std::string size_in;  // as the trade says it: "1-1/2"
  double major_mm = 0;
  double threads_per_inch = 0;
  std::optional<double> pitch_diameter_mm, minor_mm, hand_tight_mm, effective_mm;
  double flank_deg = 60;
  bool tapered = false;
};

struct HoleSaw {
  std::string size_in;
  double diameter_mm = 0;  // over the set of the teeth
  double sold_as_mm = 0;
  std::string source;
};

struct Span {
  double from_mm = 0, to_mm = 0;
};

// What hardware of one nominal size usually measures: to doubt a measurement with, never to judge a fitting
// by.
struct NominalSize {
  std::string size_in;
  double nps_outside_mm = 0, g_outside_mm = 0;
  Span hole, flange, nut;
  std::optional<Span> base;
  std::string source;
};

// A compound that beds a fitting.
struct Bedding {
  Choice choice;
  Suitability below_waterline = Suitability::Conditional;
  Suitability above = Suitability::Conditional;
  std::vector<std::string> never_on;  // keys of materials.csv it attacks or does not hold
  std::optional<double> cure_days;    // before launch, at 20 degrees Celsius; absent: nothing to cure
  std::string removal;                // how a joint made with it comes apart
};

// Something a person sees at an opening.
enum class Urgency { BeforeLaunch, ThisSeason, KeepAnEyeOn, Nothing };
struct Finding {
  Choice choice;
  int condition = 0;                    // place in model::Condition: 1 sound ... 4 failed
  Urgency below = Urgency::ThisSeason;  // below the waterline, or wetted when heeled
  Urgency above = Urgency::ThisSeason;
  std::string why, action;  // sentences
};

// Two pipe threads screwed together.
struct ThreadJoint {
  std::string male, female;  // forms of threads.csv
  Suitability verdict = Suitability::Reject;
  std::string why, source;
};

// Something recorded that makes a fitting harder or easier to take out.
enum class Effort { Easy, Plain, Hard, Cut };
struct RemovalRow {
  Choice choice;
  std::string when;  // "bedding:polyurethane", "material:brass", "family:plastic", "kind:...", "finding:...",
                     // "age:long"
  Effort effort = Effort::Plain;
  std::string breaks, way;  // sentences; `breaks` may be empty
};

// How long after it was last done something is due again. An empty field holds for any.
enum class Task { Look, WorkValve, Renew };
struct Interval {
  Choice choice;
  Task task = Task::Look;
  std::string service, material;  // keys of services.csv and materials.csv
  std::string zone;               // below-waterline, wetted-when-heeled, above
  model::Condition condition = model::Condition::Unknown;
  int months = 0;  // > 0
};

// Where a quantity that changes over the seasons must not go.
struct TrendLimit {
  Choice choice;  // key is the spelling of model::Quantity
  model::Quantity quantity = model::Quantity::HoleOvality;
  bool above = true;  // bad above the limit, or below it
  double limit = 0;   // in the quantity's unit
};

struct Instrument {
  Choice choice;   // key is the spelling of model::Method
  double u95 = 0;  // mm, used with care
};

class Tables {
 public:
  // The tables as shipped. Errors: BadInput naming table, row number and column.
  [[nodiscard]] static Result<Tables> load_shipped();
  // The shipped ones with a yard's rows laid over them: a row whose first column (in thread_joints.csv the
  // first two) is ours takes its place, a new one is added. Its source then says that it is the yard's own.
  // Errors: BadInput naming table, row of the yard's own file and column.
  [[nodiscard]] static Result<Tables> load_with(const std::vector<model::YardTable>& yard);
  // What a yard has laid over: one line a row, "thresholds.csv: reinforce.single-skin.min".
  [[nodiscard]] const std::vector<std::string>& yard_rows() const { return yard_rows_; }
  // The same from any text; `text_of` is given the file's name, "services.csv".
  using TextOf = std::function<std::string_view(std::string_view)>;
  [[nodiscard]] static Result<Tables> load(const TextOf& text_of);

  [[nodiscard]] const std::vector<Choice>& services() const { return services_; }
  [[nodiscard]] const std::vector<Choice>& materials() const { return materials_; }
  [[nodiscard]] const std::vector<Choice>& fitting_kinds() const { return fitting_kinds_; }
  [[nodiscard]] const std::vector<Choice>& valve_kinds() const { return valve_kinds_; }
  [[nodiscard]] const std::vector<BackingMaterial>& backing_materials() const { return backing_materials_; }
  [[nodiscard]] const std::vector<Instrument>& instruments() const { return instruments_; }
  [[nodiscard]] const std::vector<Threshold>& thresholds() const { return thresholds_; }
  [[nodiscard]] const Threshold& threshold(
      std::string_view key) const;  // asserts that the key exists: load checked it
  [[nodiscard]] const std::vector<PipeThread>& threads() const { return threads_; }
  [[nodiscard]] const std::vector<HoleSaw>& hole_saws() const { return hole_saws_; }  // smallest first
  [[nodiscard]] const std::vector<NominalSize>& nominal_sizes() const { return nominal_sizes_; }
  [[nodiscard]] const std::vector<Bedding>& beddings() const { return beddings_; }
  [[nodiscard]] const std::vector<Finding>& findings() const { return findings_; }
  [[nodiscard]] const std::vector<ThreadJoint>& thread_joints() const { return thread_joints_; }
  [[nodiscard]] const std::vector<RemovalRow>& removals() const { return removals_; }
  [[nodiscard]] const std::vector<Interval>& intervals() const { return intervals_; }
  [[nodiscard]] const std::vector<TrendLimit>& trend_limits() const { return trend_limits_; }
  // Sources that stand behind the rows of one table, each once.
  [[nodiscard]] std::vector<std::string> sources_of(std::string_view table) const;

  // The whole row behind a choice; null where the key is empty or unknown.
  [[nodiscard]] const Service* service(std::string_view key) const;
  [[nodiscard]] const Material* material(std::string_view key) const;
  [[nodiscard]] const FittingKind* fitting_kind(std::string_view key) const;
  [[nodiscard]] const ValveKind* valve_kind(std::string_view key) const;
  [[nodiscard]] const BackingMaterial* backing_material(std::string_view key) const;
  [[nodiscard]] const Instrument* instrument(std::string_view key) const;
  [[nodiscard]] const PipeThread* thread(std::string_view key) const;
  [[nodiscard]] const Bedding* bedding(std::string_view key) const;
  [[nodiscard]] const Finding* finding(std::string_view key) const;

 private:
  friend class TableReader;
  std::vector<Choice> services_, materials_, fitting_kinds_, valve_kinds_;
  std::vector<Service> service_rows_;
  std::vector<Material> material_rows_;
  std::vector<FittingKind> fitting_kind_rows_;
  std::vector<ValveKind> valve_kind_rows_;
  std::vector<PipeThread> threads_;
  std::vector<HoleSaw> hole_saws_;
  std::vector<NominalSize> nominal_sizes_;
  std::vector<BackingMaterial> backing_materials_;
  std::vector<Instrument> instruments_;
  std::vector<Threshold> thresholds_;
  std::vector<Bedding> beddings_;
  std::vector<Finding> findings_;
  std::vector<ThreadJoint> thread_joints_;
  std::vector<RemovalRow> removals_;
  std::vector<Interval> intervals_;
  std::vector<TrendLimit> trend_limits_;
  std::vector<std::pair<std::string, std::string>> sources_;  // table, source
  std::vector<std::string> yard_rows_;
};

template <class Row>
[[nodiscard]] std::vector<Choice> choices_of(const std::vector<Row>& rows) {
  std::vector<Choice> choices;
  choices.reserve(rows.size());
  for (const Row& row : rows) choices.push_back(row.choice);
  return choices;
}

[[nodiscard]] std::string_view label_of(const std::vector<Choice>& choices,
                                        std::string_view key);  // key itself if unknown

}  // namespace spile::rules
