// Which of several measurements of one quantity is the value to go by: the same answer for the verdicts, the
// lists, the report and the window.
#pragma once

#include <optional>
#include <span>
#include <utility>

#include "model/ids.hpp"
#include "model/measurement.hpp"

namespace spile::rules {

// The value with the smallest interval: of the laminate's thickness, which does not change by itself, over
// all surveys; of all else, of the newest survey that has one. Where two values disagree, the cautious one of
// them: the smaller of what carries (laminate, layers, backing), the larger of all else. `newest_first`
// orders the surveys; one it does not name is older than all it names. Null where there is none with a finite
// value, above zero where it is a length that has to be, and an interval above zero. Points into
// `measurements`.
[[nodiscard]] const model::Measurement* standing_value(std::span<const model::Measurement> measurements,
                                                       model::Quantity quantity,
                                                       std::span<const model::SurveyId> newest_first);

// Two of those values that disagree beyond their intervals, the cautious one first: E_n = |a - b| / sqrt(Ua^2
// + Ub^2) > 1 (from memory: ISO 13528).
using Disagreement = std::pair<const model::Measurement*, const model::Measurement*>;
[[nodiscard]] std::optional<Disagreement> disagreement(std::span<const model::Measurement> measurements,
                                                       model::Quantity quantity,
                                                       std::span<const model::SurveyId> newest_first);

// Whether `a` is the newer of two surveys in that order.
[[nodiscard]] bool newer(model::SurveyId a, model::SurveyId b, std::span<const model::SurveyId> newest_first);

}  // namespace spile::rules
