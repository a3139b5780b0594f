#include "rules/removal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

// The first year in a free text, "about 2005".
std::optional<int> year_in(std::string_view text) {
  for (std::size_t i = 0; i + 4 <= text.size(); ++i) {
    const auto digits = text.substr(i, 4);
    const bool four = std::all_of(digits.begin(), digits.end(), [](char c) { return c >= '0' && c <= '9'; });
    const bool longer = i + 4 < text.size() && text[i + 4] >= '0' && text[i + 4] <= '9';
    if (!four || longer) continue;
    const int year =
        (digits[0] - '0') * 1000 + (digits[1] - '0') * 100 + (digits[2] - '0') * 10 + (digits[3] - '0');
    if (year >= 1850 && year < 2200) return year;
  }
  return std::nullopt;
}

std::optional<int> age_of(const Case& facts) {
  if (!facts.fitting) return std::nullopt;
  const auto fitted = year_in(facts.fitting->fitted), today = year_in(facts.on);
  if (!fitted || !today || *fitted > *today) return std::nullopt;
  return *today - *fitted;
}

bool applies(const RemovalRow& row, const Case& facts, const Tables& tables) {
  const std::string_view when = row.when;
  const auto colon = when.find(':');
  const auto what = when.substr(0, colon), key = when.substr(colon + 1);
  if (what == "bedding") return facts.fitting && facts.fitting->bedding == key;
  if (what == "kind") return facts.fitting && facts.fitting->kind == key;
  if (what == "material") return material_of(facts) == key;
  if (what == "family") {
    const auto* material = tables.material(material_of(facts));
    return material && material->family == key;
  }
  if (what == "finding")
    return facts.observation &&
           std::find(facts.observation->findings.begin(), facts.observation->findings.end(), key) !=
               facts.observation->findings.end();
  return age_of(facts).value_or(0) >= tables.threshold("removal.old").value;
}

constexpr std::array<std::string_view, 4> kAnswers{"easy", "plain", "hard", "cut"};
constexpr std::array<std::string_view, 4> kHeadlines{
    "It should come out easily.", "It should come out with the usual means.",
    "It will be hard to take out: allow half a day and expect to renew it.",
    "It will not come out whole: plan to cut it."};

void take_over(Verdict& v, const std::vector<const RemovalRow*>& rows) {
  for (const auto* row : rows) {
    v.reasons.push_back(row->breaks.empty()
                            ? fmt::format("{}.", row->choice.label)
                            : fmt::format("{}: {}", row->choice.label, lower_first(row->breaks)));
    if (std::find(v.actions.begin(), v.actions.end(), row->way) == v.actions.end())
      v.actions.push_back(row->way);
    add_source(v, row->choice.source);
  }
}

}  // namespace

std::span<const std::string_view> RemovalRule::goes_by() const {
  static constexpr std::array<std::string_view, 2> kRows{"removals.csv", "removal."};
  return kRows;
}

Verdict RemovalRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict>) const {
  Verdict v = start_verdict(key(), title());
  v.planning = true;
  v.caution =
      "Taking a fitting out below the waterline opens the hull: ashore only. Grinding throws glass and metal "
      "dust: P100 "
      "mask, goggles, gloves. Mains tools on a residual-current breaker. Local rules, the builder's word and "
      "a licensed "
      "surveyor's come before this.";
  const auto* material = tables.material(material_of(facts));
  const auto* bedding = facts.fitting ? tables.bedding(facts.fitting->bedding) : nullptr;
  const auto age = age_of(facts);
  const std::string unknown(kNotRecorded);
  v.inputs = {{"Bedding", bedding ? lower_first(bedding->choice.label) : unknown},
              {"Fitting", material ? lower_first(material->choice.label) : unknown},
              {"Age", age ? fmt::format("{} years", *age) : unknown}};
  add_source(v, "common practice");
  if (facts.fitting && facts.fitting->kind == "no-fitting") {
    v.answer = "not-applicable";
    v.standing = Standing::NotApplicable;
    v.headline = "There is no fitting to take out.";
    return v;
  }
  std::vector<const RemovalRow*> rows;
  for (const auto& row : tables.removals())
    if (applies(row, facts, tables)) rows.push_back(&row);
  std::stable_sort(rows.begin(), rows.end(),
                   [](const auto* a, const auto* b) { return a->effort > b->effort; });
  take_over(v, rows);
  const auto effort = rows.empty() ? Effort::Plain : rows.front()->effort;
  // An easy bedding says nothing yet about an unknown metal, nor the other way round.
  const bool settled = effort == Effort::Cut || (bedding && material);
  if (!settled) {
    v.answer = "not-known-yet";
    v.standing = Standing::NotKnownYet;
    v.headline = rows.empty() ? "How hard it will be to take out is not known yet."
                              : fmt::format("Not known yet; so far: {}",
                                            lower_first(kHeadlines[static_cast<std::size_t>(effort)]));
    if (!bedding)
      v.would_change.emplace_back("What it is bedded in: try the bead at the flange with a thin blade.");
    if (!material) v.would_change.emplace_back("What it is made of: scratch it to bright metal.");
  } else {
    v.answer = kAnswers[static_cast<std::size_t>(effort)];
    v.standing = effort >= Effort::Hard ? Standing::Watch : Standing::Good;
    v.headline = kHeadlines[static_cast<std::size_t>(effort)];
  }
  if (!age && facts.fitting) v.would_change.emplace_back("The year it was fitted.");
  v.actions.emplace_back("Photograph and measure it first, mark how the lever stands, and label the hose.");
  v.actions.emplace_back(
      "With the fitting out: measure the hole four ways, tap and look at the core, and keep the pieces.");
  return v;
}

}  // namespace spile::rules
