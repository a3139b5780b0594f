// What runs are made of: the parts that are really stocked, their losses, and what each service usually is
// made of. Rows of assets/tables/run_*.csv and losses.csv, validated at load; each carries its source.
// Lengths in mm.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "rules/tables.hpp"

namespace spile::rules {

// One number for a size however it is spelled, so that 38 mm hose and a 1-1/2 in thread are of one size.
struct NominalStep {
  std::string_view inches;  // "1-1/2"
  double hose_mm = 0;       // 38
};
[[nodiscard]] const std::vector<NominalStep>& nominal_steps();          // smallest first
[[nodiscard]] const NominalStep* nominal_step(std::string_view size);   // "38 mm", "1-1/2", "1-1/2 in"
[[nodiscard]] const NominalStep* nominal_step_of_hose(double hose_mm);  // within 2 mm; null: none

enum class PartKind {
  Fixture,
  Pump,
  Hose,
  Tail,
  Elbow,
  Reducer,
  Connector,
  Valve,
  Strainer,
  NonReturn,
  Loop,
  Tee,
  ThroughHull,
  Other
};
[[nodiscard]] std::string_view label(PartKind kind);

enum class EndForm {
  None,
  Hose,
  Tail,
  NptMale,
  NptFemale,
  NpsmMale,
  NpsmFemale,
  GMale,
  GFemale,
  RMale,
  RFemale,
  Any
};
[[nodiscard]] std::string_view label(EndForm form);  // "hose", "NPT male thread"

// One end of a part: what it fits on and of what size.
struct PartEnd {
  EndForm form = EndForm::None;
  std::string size;    // "38 mm" for hose and tails, "1-1/2" for threads
  double size_mm = 0;  // hose and tail: the hose's bore; thread: the inches in mm
  [[nodiscard]] bool joins() const { return form != EndForm::None; }
};
[[nodiscard]] std::string end_text(const PartEnd& end);  // "tail for 38 mm hose", "1-1/2 NPT male thread"

struct StockPart {
  Choice choice;
  PartKind kind = PartKind::Other;
  PartEnd in, out;  // toward the fixture, toward the opening
  double bore_mm = 0, bore_u95_mm = 0, length_mm = 0;
  std::string loss;  // key of losses.csv
  double rough_mm = 0, rough_least_mm = 0, rough_most_mm = 0;
  bool vented = false;
  std::string curve;  // of a pump
};

// K on the velocity in the bore, straight between the bores the table has, the end values beyond.
struct Loss {
  std::string key, label, source;
  std::vector<std::pair<double, double>> k_by_bore;  // smallest bore first
  double spread = 0;                                 // 95 %, as a share of K
  [[nodiscard]] double at(double bore_mm) const;
};

struct ServiceRun {
  std::string service;
  std::string size_from, size_to;
  double size_from_mm = 0, size_to_mm = 0;  // as hose
  double flow_from_lpm = 0, flow_to_lpm = 0;
  double outlet_height_mm = 0, basin_depth_mm = 0, basin_litres = 0;  // to begin with
  std::string note, source;
};

struct TemplateStep {
  std::string part;
  std::optional<double> length_mm, rise_mm, bends;
};

class Stock {
 public:
  [[nodiscard]] static Result<Stock> load_shipped();
  // Errors: BadInput naming table, row and column.
  [[nodiscard]] static Result<Stock> load(const Tables::TextOf& text_of);

  [[nodiscard]] const std::vector<StockPart>& parts() const { return parts_; }
  [[nodiscard]] const StockPart* part(std::string_view key) const;
  [[nodiscard]] const Loss& loss(std::string_view key) const;  // asserts that it is there: load checked it
  [[nodiscard]] const std::vector<Loss>& losses() const { return losses_; }
  [[nodiscard]] const std::vector<ServiceRun>& services() const { return services_; }
  [[nodiscard]] const ServiceRun* service(std::string_view key) const;
  [[nodiscard]] std::vector<TemplateStep> steps(std::string_view service) const;  // empty: no template
  // The through-hull that a fitting of this nominal size and thread is; null where none is stocked.
  [[nodiscard]] const StockPart* through_hull(std::string_view nominal_size,
                                              std::string_view thread_form) const;

 private:
  friend class StockReader;
  std::vector<StockPart> parts_;
  std::vector<Loss> losses_;
  std::vector<ServiceRun> services_;
  std::vector<std::pair<std::string, TemplateStep>> steps_;
};

}  // namespace spile::rules
