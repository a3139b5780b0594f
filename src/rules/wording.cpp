#include "rules/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "metrology/print.hpp"
#include "model/names.hpp"
#include "units/text.hpp"

namespace spile::rules {

std::string mm(double value, int decimals) {
  return units::print_metric(units::Millimetre(value), decimals);
}

std::string plain_number(double value) {
  return fmt::format("{:.6g}", value);
}

std::string plain_mm(double value) {
  return plain_number(value) + " mm";
}

std::string with_interval(double value, double u95) {
  return metrology::print_interval(value, u95, "mm");
}

std::string measured(const model::Measurement& m) {
  return fmt::format("{} ({})", with_interval(m.value, m.u95), lower_first(model::label(m.method)));
}

std::string limit(const Threshold& threshold) {
  if (threshold.unit != "mm") return fmt::format("{} {}", plain_number(threshold.value), threshold.unit);
  return fmt::format("{} mm ({})", plain_number(threshold.value),
                     units::print_inches(units::Millimetre(threshold.value), 16));
}

std::string off_waterline(double height_mm) {
  const std::string size = mm(std::abs(height_mm));
  if (size == "0 mm") return "level with";
  return size + (height_mm < 0 ? " below" : " above");
}

std::string lower_first(std::string_view text) {
  std::string out(text);
  // "DZR brass" and "G-10" keep their capitals.
  const bool abbreviation = out.size() > 1 && !(out[1] >= 'a' && out[1] <= 'z') && out[1] != ' ';
  if (!out.empty() && !abbreviation && out[0] >= 'A' && out[0] <= 'Z') {
    out[0] = static_cast<char>(out[0] - 'A' + 'a');
  }
  return out;
}

std::string percent(double share) {
  if (share < 0.01) return "less than 1 %";
  if (share > 0.99) return "more than 99 %";
  return fmt::format("{:.0f} %", share * 100);
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
  std::string text;
  for (const auto& part : parts) {
    if (!text.empty()) text.append(between);
    text.append(part);
  }
  return text;
}

std::string newtons(double force) {
  const double step = std::pow(10, std::floor(std::log10(std::max(force, 1.0))) - 2);
  return fmt::format("{:.0f} N", std::round(force / step) * step);
}

Verdict& add_source(Verdict& verdict, std::string_view source) {
  if (std::find(verdict.sources.begin(), verdict.sources.end(), source) == verdict.sources.end()) {
    verdict.sources.emplace_back(source);
  }
  return verdict;
}

Verdict start_verdict(std::string_view rule, std::string_view title) {
  Verdict verdict;
  verdict.rule = rule;
  verdict.title = title;
  return verdict;
}

}  // namespace spile::rules
