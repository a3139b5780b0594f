// Inside of src/rules: numbers as people read them in a verdict, and the cautions every rule shares.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/measurement.hpp"
#include "rules/tables.hpp"
#include "rules/verdict.hpp"

namespace spile::rules {

inline constexpr std::string_view kNotRecorded = "not recorded";

inline constexpr std::string_view kSinkingCaution =
    "Work on a fitting below the waterline can sink the craft: do it ashore. Local rules, the builder's word "
    "and a "
    "licensed "
    "surveyor's come before this.";
inline constexpr std::string_view kLaminateCaution =
    "Cutting and grinding laminate throws glass dust: wear a P100 mask, goggles and gloves and draw the dust "
    "off; keep "
    "resin and hardener off the skin. Work on a fitting below the waterline ashore. Local rules, the "
    "builder's word and "
    "a licensed surveyor's come before this.";

[[nodiscard]] std::string mm(double value, int decimals = 0);       // "152 mm"
[[nodiscard]] std::string plain_number(double value);               // "19.05", "30", "0.5"
[[nodiscard]] std::string plain_mm(double value);                   // "1.5 mm": all of a figure of the tables
[[nodiscard]] std::string with_interval(double value, double u95);  // "18.60 ± 0.50 mm"
[[nodiscard]] std::string measured(const model::Measurement& m);    // "18.6 ± 0.5 mm (steel rule)"
[[nodiscard]] std::string limit(const Threshold& threshold);        // "19.05 mm (3/4 in)"
[[nodiscard]] std::string off_waterline(double height_mm);          // "100 mm above", "40 mm below"
[[nodiscard]] std::string lower_first(std::string_view text);       // for a label inside a sentence
[[nodiscard]] std::string percent(double share);                    // "4 %", "less than 1 %"
[[nodiscard]] std::string joined(const std::vector<std::string>& parts, std::string_view between);
[[nodiscard]] std::string newtons(double force);  // "2220 N": three figures

Verdict& add_source(Verdict& verdict, std::string_view source);  // once each
[[nodiscard]] Verdict start_verdict(std::string_view rule, std::string_view title);

}  // namespace spile::rules
