// The interface every rule has, and the list of all rules in the order they are judged.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "model/measurement.hpp"
#include "model/opening.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"
#include "rules/tables.hpp"
#include "rules/verdict.hpp"

namespace spile::rules {

// Everything the record of one opening can tell a rule. Measurements are those that stand (none superseded),
// of the survey judged and of those before it.
struct Case {
  model::Vessel vessel;
  model::Opening opening;
  std::optional<model::Fitting> fitting;
  std::optional<model::Observation> observation;
  std::vector<model::Measurement> measurements;
  std::vector<model::SurveyId> newest_first = {};  // that survey and those before it
  std::string on = {};                             // its date, ISO 8601, or empty
};

class Rule {
 public:
  virtual ~Rule() = default;
  [[nodiscard]] virtual std::string_view key() const = 0;
  [[nodiscard]] virtual std::string_view title() const = 0;
  [[nodiscard]] virtual std::string_view question() const = 0;  // what it answers, as one asks it at the hull
  // Which rows it goes by: how their keys in thresholds.csv begin, and whole tables by name
  // ("materials.csv").
  [[nodiscard]] virtual std::span<const std::string_view> goes_by() const = 0;
  // `earlier` holds the verdicts of the rules judged before this one (zone comes first).
  [[nodiscard]] virtual Verdict judge(const Case& facts, const Tables& tables,
                                      std::span<const Verdict> earlier) const = 0;
};

[[nodiscard]] std::span<const Rule* const> all_rules();
[[nodiscard]] std::vector<Verdict> judge_all(const Case& facts, const Tables& tables);

// The worst standing of a list decides how an opening is marked at a glance; of work to come only
// what must be done.
[[nodiscard]] Standing worst(std::span<const Verdict> verdicts);

}  // namespace spile::rules
