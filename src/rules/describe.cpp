#include "rules/describe.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "rules/rule.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

// A source may name several documents, "; " between two.
void add_once(std::vector<std::string>& list, std::string_view sources) {
  while (!sources.empty()) {
    const auto end = std::min(sources.find("; "), sources.size());
    const std::string one(sources.substr(0, end));
    if (std::find(list.begin(), list.end(), one) == list.end()) list.push_back(one);
    sources.remove_prefix(std::min(end + 2, sources.size()));
  }
}

bool is_table(std::string_view row) {
  return row.size() > 4 && row.substr(row.size() - 4) == ".csv";
}

std::string in_cell(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '|') out.push_back('\\');
    out.push_back(c);
  }
  return out;
}

std::string line_of(const Rule& rule, const Tables& tables) {
  std::vector<std::string> figures, sources;
  for (const auto row : rule.goes_by()) {
    if (is_table(row)) {
      figures.push_back(fmt::format("`{}`", row));
      for (const auto& source : tables.sources_of(row)) add_once(sources, source);
      continue;
    }
    for (const auto& threshold : tables.thresholds()) {
      if (threshold.key.compare(0, row.size(), row) != 0) continue;
      const std::string unit = threshold.unit == "ratio" ? std::string() : fmt::format(" {}", threshold.unit);
      figures.push_back(
          fmt::format("{} {}{}", lower_first(threshold.label), plain_number(threshold.value), unit));
      add_once(sources, threshold.source);
    }
  }
  return fmt::format("| {} | {} | {} | {} |\n", rule.title(), in_cell(std::string(rule.question())),
                     in_cell(joined(figures, "; ")), in_cell(joined(sources, "; ")));
}

}  // namespace

std::string rules_as_markdown(const Tables& tables) {
  std::string text = "| rule | what it answers | what it goes by | sources |\n| --- | --- | --- | --- |\n";
  for (const auto* rule : all_rules()) text += line_of(*rule, tables);
  return text;
}

}  // namespace spile::rules
