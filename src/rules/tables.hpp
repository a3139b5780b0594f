// The knowledge of the trade as rows of assets/tables/*.csv, compiled in and validated at load.
// Every row carries a `source`: a publication and clause, "common practice", or "from memory: <document>".
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

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

struct BackingMaterial {
  Choice choice;
  Suitability below_waterline = Suitability::Conditional;
  std::string why;
};

struct Instrument {
  Choice choice;   // key is the spelling of model::Method
  double u95 = 0;  // mm, used with care
};

class Tables {
 public:
  // The tables as shipped. Errors: BadInput naming table, row number and column.
  [[nodiscard]] static Result<Tables> load_shipped();

  [[nodiscard]] const std::vector<Choice>& services() const { return services_; }
  [[nodiscard]] const std::vector<Choice>& materials() const { return materials_; }
  [[nodiscard]] const std::vector<Choice>& fitting_kinds() const { return fitting_kinds_; }
  [[nodiscard]] const std::vector<Choice>& valve_kinds() const { return valve_kinds_; }
  [[nodiscard]] const std::vector<BackingMaterial>& backing_materials() const { return backing_materials_; }
  [[nodiscard]] const std::vector<Instrument>& instruments() const { return instruments_; }
  [[nodiscard]] const std::vector<Threshold>& thresholds() const { return thresholds_; }
  [[nodiscard]] const Threshold& threshold(
      std::string_view key) const;  // asserts that the key exists: load checked it

 private:
  friend class TableReader;
  std::vector<Choice> services_, materials_, fitting_kinds_, valve_kinds_;
  std::vector<BackingMaterial> backing_materials_;
  std::vector<Instrument> instruments_;
  std::vector<Threshold> thresholds_;
};

[[nodiscard]] std::string_view label_of(const std::vector<Choice>& choices,
                                        std::string_view key);  // key itself if unknown

}  // namespace spile::rules
