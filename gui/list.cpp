#include "gui/list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <span>
#include <sstream>

#include "model/names.hpp"
#include "rules/standing_value.hpp"
#include "rules/urgency.hpp"

namespace spile::gui {

namespace {

std::string lowered(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return out;
}

std::string searchable(const app::OpeningView& view, const rules::Tables& tables) {
  std::string text = view.opening.tag + '\n' + view.opening.notes + '\n';
  text += rules::label_of(tables.services(), view.opening.service);
  text += '\n';
  text += model::label(view.opening.side);
  if (view.observation) {
    text += '\n';
    text += model::label(view.observation->condition);
    text += '\n' + view.observation->notes + '\n';
    text += rules::label_of(tables.materials(), view.observation->fitting_material);
  }
  text += '\n';
  text += look_of(view.standing).word;
  for (const auto& verdict : view.verdicts) text += '\n' + verdict.headline;
  return lowered(text);
}

bool matches(const app::OpeningView& view, const rules::Tables& tables, const std::string& filter) {
  std::istringstream words(lowered(filter));
  const std::string text = searchable(view, tables);
  for (std::string word; words >> word;)
    if (text.find(word) == std::string::npos) return false;
  return true;
}

bool passes(const app::OpeningView& view, Sieve sieve) {
  switch (sieve) {
    case Sieve::All:
      return true;
    case Sieve::NeedsWork:
      return view.standing == rules::Standing::Act || view.standing == rules::Standing::TooCloseToTell;
    case Sieve::NotLookedAt:
      return !view.observation || view.observation->seen != model::Seen::Looked;
    case Sieve::BelowWaterline: {
      const rules::Verdict* zone = verdict_of(view, "zone");
      return zone && zone->answer == "below-waterline";
    }
  }
  return true;
}

// What a column is sorted by; the order of tags is the logbook's own. Unknown values come last in rising
// order.
struct SortKey {
  double number = 0;
  std::string text;
};

double value_or_last(const model::Measurement* m) {
  return m ? m->value : 1e12;
}

SortKey key_of(const app::OpeningView& view, std::size_t place, const rules::Tables& tables, SortBy by,
               std::span<const model::SurveyId> newest_first) {
  switch (by) {
    case SortBy::Tag:
      return {static_cast<double>(place), {}};
    case SortBy::Service:
      return {0, lowered(rules::label_of(tables.services(), view.opening.service))};
    case SortBy::Zone:
      return {view.opening.height_mm.value_or(1e12), {}};
    case SortBy::Diameter:
      return {value_or_last(
                  rules::standing_value(view.measurements, model::Quantity::HoleDiameter, newest_first)),
              {}};
    case SortBy::Laminate:
      return {value_or_last(
                  rules::standing_value(view.measurements, model::Quantity::LaminateThickness, newest_first)),
              {}};
    case SortBy::Condition: {
      const auto condition = view.observation ? view.observation->condition : model::Condition::Unknown;
      const int rank = condition == model::Condition::Unknown ? 100 : -static_cast<int>(condition);
      return {static_cast<double>(rank), {}};
    }
    case SortBy::Standing:
      return {static_cast<double>(rules::urgency_of(view.standing)), {}};
  }
  return {};
}

bool is_digit(char c) {
  return std::isdigit(static_cast<unsigned char>(c)) != 0;
}

std::size_t digits_from(std::string_view text, std::size_t at) {
  while (at < text.size() && is_digit(text[at])) ++at;
  return at;
}

}  // namespace

const rules::Verdict* verdict_of(const app::OpeningView& opening, std::string_view rule) {
  for (const auto& verdict : opening.verdicts)
    if (verdict.rule == rule) return &verdict;
  return nullptr;
}

std::vector<const app::OpeningView*> listed(const app::Snapshot& logbook, const rules::Tables& tables,
                                            const ListState& list) {
  struct Row {
    const app::OpeningView* view;
    SortKey key;
  };
  std::vector<Row> rows;
  const auto newest_first = logbook.newest_first();
  std::size_t place = 0;
  for (const auto& view : logbook.openings) {
    ++place;
    if (passes(view, list.sieve) && matches(view, tables, list.filter))
      rows.push_back({&view, key_of(view, place, tables, list.by, newest_first)});
  }
  const auto before = [&](const Row& a, const Row& b) {
    if (a.key.number != b.key.number) return a.key.number < b.key.number;
    if (a.key.text != b.key.text) return natural_less(a.key.text, b.key.text);
    return false;
  };
  std::stable_sort(rows.begin(), rows.end(),
                   [&](const Row& a, const Row& b) { return list.descending ? before(b, a) : before(a, b); });
  std::vector<const app::OpeningView*> out;
  out.reserve(rows.size());
  for (const Row& row : rows) out.push_back(row.view);
  return out;
}

bool natural_less(std::string_view a, std::string_view b) {
  std::size_t i = 0;
  std::size_t j = 0;
  while (i < a.size() && j < b.size()) {
    if (is_digit(a[i]) && is_digit(b[j])) {
      while (i < a.size() && a[i] == '0') ++i;
      while (j < b.size() && b[j] == '0') ++j;
      const std::string_view x = a.substr(i, digits_from(a, i) - i);
      const std::string_view y = b.substr(j, digits_from(b, j) - j);
      if (x.size() != y.size()) return x.size() < y.size();
      if (x != y) return x < y;
      i += x.size();
      j += y.size();
      continue;
    }
    if (a[i] != b[j]) return a[i] < b[j];
    ++i;
    ++j;
  }
  return a.size() - i < b.size() - j;
}

std::string next_tag(const app::Snapshot& logbook) {
  std::string prefix = "P-";
  std::size_t width = 2;
  long long highest = 0;
  model::OpeningId newest;
  const auto number_of = [](const std::string& tag) {
    std::size_t at = tag.size();
    while (at > 0 && is_digit(tag[at - 1])) --at;
    return at;
  };
  for (const auto& view : logbook.openings)
    if (view.opening.id > newest) {
      newest = view.opening.id;
      const std::size_t at = number_of(view.opening.tag);
      prefix = view.opening.tag.substr(0, at);
      width = std::max<std::size_t>(1, view.opening.tag.size() - at);
    }
  for (const auto& view : logbook.openings) {
    const std::size_t at = number_of(view.opening.tag);
    const std::string digits = view.opening.tag.substr(at);
    if (view.opening.tag.substr(0, at) == prefix && !digits.empty() && digits.size() < 10)
      highest = std::max(highest, std::stoll(digits));
  }
  if (!prefix.empty() && !logbook.openings.empty() && highest == 0) prefix += ' ';
  return fmt::format("{}{:0{}}", prefix, highest + 1, width);
}

}  // namespace spile::gui
