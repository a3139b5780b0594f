// Inside of src/rules: what several rules read out of one case.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "metrology/decision.hpp"
#include "rules/rule.hpp"

namespace spile::rules {

enum class Zone { Below, Heeled, Above, TooClose, Unknown };

[[nodiscard]] Zone zone_of(std::span<const Verdict> earlier);
// What is under water now and then, or cannot be told from it, is judged as below.
[[nodiscard]] bool counts_as_below(Zone zone);
[[nodiscard]] std::string zone_in_words(Zone zone);  // "below the waterline"

// The standing value to judge by (rules/standing_value.hpp); where two disagree, `disagreement` says so.
struct Best {
  model::Measurement measurement;
  std::string disagreement;  // a sentence, or empty
};
[[nodiscard]] std::optional<Best> best(const Case& facts, model::Quantity quantity);

// Layers seen at the edge in one look (one survey, one photo), the latest of the newest survey.
struct Layers {
  std::vector<model::Measurement> layers;
  bool core = false;
  double total_mm = 0, u95 = 0;
};
[[nodiscard]] std::optional<Layers> layers_seen(const Case& facts);

struct Construction {
  model::HullConstruction value = model::HullConstruction::Unknown;
  std::string how;  // "recorded for this opening", "as the vessel", "core seen at the edge"
};
[[nodiscard]] Construction construction_of(const Case& facts);

// Key of materials.csv: as seen in this survey, else as the fitting's record; empty when nobody has said.
[[nodiscard]] std::string material_of(const Case& facts);
[[nodiscard]] const Service& service_of(const Case& facts,
                                        const Tables& tables);  // "unknown" where not recorded

// What the trade's nominal size ("1-1/2 in", "38 mm") usually measures; null where it is none of the table's.
[[nodiscard]] const NominalSize* nominal_size(const Tables& tables, std::string_view typed);

// Outside diameter of the flange to plan with, and where it comes from.
struct Flange {
  double diameter_mm = 0;
  std::string how;
};
[[nodiscard]] std::optional<Flange> flange_of(const Case& facts, const Tables& tables);

}  // namespace spile::rules
