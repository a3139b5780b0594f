// Runs and water as the window, the command line and the report show them: each run placed, matched and
// flowed, each opening's flooding, in figures a person grasps. Lengths in mm, flows in L/min; heights above
// the waterline at rest unless they say "above the sea".
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "hydraulics/backflow.hpp"
#include "hydraulics/pipeline.hpp"
#include "model/bilge.hpp"
#include "model/opening.hpp"
#include "model/run.hpp"
#include "model/vessel.hpp"
#include "rules/run_remedies.hpp"
#include "rules/stock.hpp"
#include "rules/tables.hpp"
#include "rules/verdict.hpp"

namespace spile::app {

struct OpeningView;

enum class Drive {
  None,     // no water flows in it: a vent, an exhaust
  Gravity,  // runs by its fall
  Pumped,   // by a pump whose curve is known
  Drawn,    // by a pump of its own, at the service's flow
};

struct PartLoss {
  std::string part;
  double head_mm = 0;
  double velocity = 0;  // m/s
  double share = 0;     // of all the head lost
};

struct FlowView {
  Drive drive = Drive::None;
  std::string why_not;                        // a sentence where there is no flow to state; else empty
  double lpm = 0, low_lpm = 0, high_lpm = 0;  // 95 %
  double fall_mm = 0;                         // surface to surface; negative: lift
  double pump_head_mm = 0;
  double needed_mm = 0;  // head that the service's flow needs
  std::vector<PartLoss> losses;
  std::size_t worst = 0;  // index into `losses`
  std::vector<hydraulics::FlowTerm> budget;
  std::optional<double> empty_minutes;  // the basin, from full
  [[nodiscard]] bool flows() const { return why_not.empty() && drive != Drive::None; }
};

// A run and those that share a tee with it, all running at once.
struct TogetherView {
  std::string text;                           // a sentence
  double lpm = 0, low_lpm = 0, high_lpm = 0;  // 95 %; below zero: pushed back into the fixture
  double opening_lpm = 0;                     // all of it, at the opening
  double needed_mm = 0;                       // where it is drawn: head
  bool worked_out = true;                     // false: the text says why not
};

struct BackflowView {
  hydraulics::Backflow answer = hydraulics::Backflow::OutletDry;
  std::string text;                                  // a sentence
  double outlet_mm = 0, highest_mm = 0, rim_mm = 0;  // above the sea
  std::optional<double> lpm;                         // that come in while nobody shuts it
};

// One end of a part in the run's height profile.
struct HeightPoint {
  double along_mm = 0, height_mm = 0, toward_low_side_mm = 0;
};

struct RemedyView {
  rules::Remedy remedy;
  std::optional<double> lpm;  // at rest, once done
};

struct RunView {
  model::Run run;
  std::string tag;    // of the opening it ends in
  std::string title;  // "P-03 galley sink"
  rules::PlacedRun placed;
  rules::RunMatch match;
  std::map<std::size_t, std::optional<rules::Chain>>
      chains;  // by joint that does not match; nothing: none is stocked
  std::vector<RemedyView> remedies;
  std::vector<HeightPoint> profile;  // one more than parts; empty where heights are not known
  FlowView at_rest, heeled;          // with nothing else running
  std::optional<TogetherView> together_at_rest,
      together_heeled;  // nothing: no other run shares a tee with it
  std::optional<BackflowView> back_at_rest, back_heeled;
  double heel_deg = 0, sinkage_mm = 0;
  double half_breadth_mm = 0;  // of the opening, for the heeled water
  std::vector<std::string> faults, notes, sources;
  rules::Standing standing = rules::Standing::NotKnownYet;
  std::string headline;
};

struct LeakView {
  std::string what;  // "the fitting gone", "valve or tail broken off", "hose parted"
  double bore_mm = 0, bore_u95_mm = 0;
  std::string how;  // where the bore comes from
  double cd = 0;
  std::string cd_source;
  double at_rest_lpm = 0, at_rest_low = 0, at_rest_high = 0;
  double heeled_lpm = 0;
  std::optional<double> sole_minutes, sole_minutes_pumped;      // at rest, or heeled where dry at rest
  std::optional<double> settle_minutes, settle_minutes_pumped;  // until she floats 100 mm deeper
  std::optional<double> minutes_500, minutes_500_pumped;        // until 500 L are in
};

struct FloodView {
  model::OpeningId opening;
  std::string tag;
  double depth_at_rest_mm = 0, depth_heeled_mm = 0;  // of the lowest point; negative: dry
  bool known = false;
  std::string why_not;          // where it is not known
  std::vector<LeakView> leaks;  // worst first
  std::string headline;         // "240 L/min at rest: 24 buckets a minute, ..."
  int rank = 0;                 // 1 is the one to worry about first; 0: not known, or never under water
};

struct WaterView {
  std::vector<RunView> runs;
  std::vector<FloodView> floods;  // by rank, those not known last
  double heel_deg = 0, sinkage_mm = 0;
  double pumps_lpm = 0;
  std::string pumps_how;
  std::optional<double> sole_litres;
  std::optional<double> waterplane_m2;
  std::string waterplane_how;
  std::vector<std::string> cautions;
  [[nodiscard]] const RunView* find(model::RunId run) const;
  [[nodiscard]] const FloodView* flood_of(model::OpeningId opening) const;
};

struct WaterCase {
  const model::Vessel& vessel;
  const std::vector<OpeningView>& openings;
  const std::vector<model::SurveyId>& newest_first;
  const std::vector<model::Run>& runs;
  const model::Bilge& bilge;
  const rules::Tables& tables;
  const rules::Stock& stock;
};
[[nodiscard]] WaterView water_of(const WaterCase& facts);

// A run of the template of a service, for an opening; its parts are empty where the service has none.
[[nodiscard]] model::Run run_from_template(const rules::Stock& stock, const std::string& service,
                                           model::OpeningId opening);

inline constexpr double kBucket = 10;  // litres, common practice

}  // namespace spile::app
