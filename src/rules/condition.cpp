#include "rules/condition.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "model/names.hpp"
#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using model::Condition;

struct Reason {
  Urgency urgency = Urgency::Nothing;
  std::string text, action;
};

class ConditionJudge {
 public:
  ConditionJudge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier, Verdict verdict)
      : facts_(facts), tables_(tables), zone_(zone_of(earlier)), earlier_(earlier), v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find();

 private:
  void weigh_findings();
  void weigh_condition();
  void weigh_rules();
  void settle();
  // Where it may lie under water it is judged as if it did.
  [[nodiscard]] bool dry() const { return zone_ == Zone::Above; }
  void set(std::string_view key, Standing standing, std::string headline) {
    v_.answer = key;
    v_.standing = standing;
    v_.headline = std::move(headline);
  }

  const Case& facts_;
  const Tables& tables_;
  Zone zone_;
  std::span<const Verdict> earlier_;
  std::vector<Reason> reasons_;
  Condition condition_ = Condition::Unknown;
  Verdict v_;
};

void ConditionJudge::weigh_findings() {
  if (!facts_.observation) return;
  for (const auto& key : facts_.observation->findings) {
    const auto* finding = tables_.finding(key);
    if (!finding) continue;
    reasons_.push_back({dry() ? finding->above : finding->below,
                        fmt::format("{}: {}", finding->choice.label, lower_first(finding->why)),
                        finding->action});
    condition_ = std::max(condition_, static_cast<Condition>(finding->condition));
    add_source(v_, finding->choice.source);
  }
}

void ConditionJudge::weigh_condition() {
  const auto recorded = facts_.observation ? facts_.observation->condition : Condition::Unknown;
  condition_ = std::max(condition_, recorded);
  if (recorded == Condition::Failed || recorded == Condition::Poor) {
    const bool at_once = !dry() || recorded == Condition::Failed;
    reasons_.push_back({at_once ? Urgency::BeforeLaunch : Urgency::ThisSeason,
                        fmt::format("Put down as {}.", lower_first(model::label(recorded))),
                        "Write down what was seen, so that the next one knows why."});
  } else if (recorded == Condition::Worn) {
    reasons_.push_back({Urgency::KeepAnEyeOn, "Put down as worn.", "Photograph it and compare next season."});
  }
}

void ConditionJudge::weigh_rules() {
  for (const auto& verdict : earlier_) {
    if (verdict.planning || verdict.standing != Standing::Act) continue;
    reasons_.push_back({dry() ? Urgency::ThisSeason : Urgency::BeforeLaunch,
                        fmt::format("{}: {}", verdict.title, lower_first(verdict.headline)),
                        {}});
  }
}

void ConditionJudge::settle() {
  const auto worst = reasons_.empty() ? Urgency::Nothing : reasons_.front().urgency;
  const std::string state = condition_ == Condition::Unknown
                                ? std::string("Condition not put down")
                                : fmt::format("Condition: {}", lower_first(model::label(condition_)));
  const std::string first = reasons_.empty() ? std::string() : " " + reasons_.front().text;
  switch (worst) {
    case Urgency::BeforeLaunch:
      return set("before-launch", Standing::Act, fmt::format("{}. Before launch.{}", state, first));
    case Urgency::ThisSeason:
      return set("this-season", Standing::Watch, fmt::format("{}. This season.{}", state, first));
    case Urgency::KeepAnEyeOn:
      return set("keep-an-eye-on", Standing::Watch, fmt::format("{}. Keep an eye on it.{}", state, first));
    case Urgency::Nothing:
      return set("nothing", Standing::Good, fmt::format("{}. Nothing that presses.", state));
  }
}

Verdict ConditionJudge::find() {
  const auto& o = facts_.observation;
  const bool looked = o && o->seen == model::Seen::Looked;
  std::string found;
  if (o)
    for (const auto& key : o->findings)
      if (const auto* finding = tables_.finding(key))
        found += (found.empty() ? "" : ", ") + lower_first(finding->choice.label);
  v_.inputs = {
      {"Seen", o ? lower_first(model::label(o->seen)) : std::string(kNotRecorded)},
      {"Condition put down", o && o->condition != Condition::Unknown ? lower_first(model::label(o->condition))
                                                                     : std::string(kNotRecorded)},
      {"Found", found.empty() ? std::string(kNotRecorded) : found},
      {"Zone", zone_in_words(zone_)}};
  add_source(v_, "common practice");
  weigh_findings();
  weigh_condition();
  weigh_rules();
  std::stable_sort(reasons_.begin(), reasons_.end(),
                   [](const Reason& a, const Reason& b) { return a.urgency < b.urgency; });
  for (const auto& reason : reasons_) {
    v_.reasons.push_back(reason.text);
    if (!reason.action.empty() &&
        std::find(v_.actions.begin(), v_.actions.end(), reason.action) == v_.actions.end())
      v_.actions.push_back(reason.action);
  }
  settle();
  if (v_.standing == Standing::Act) {
    v_.caution = kSinkingCaution;
    if (v_.actions.empty()) v_.actions.emplace_back("Do what the rules named here say.");
  } else if (!looked || (condition_ == Condition::Unknown && reasons_.empty())) {
    // What others' rules found stands; that nobody looked is no reason to call it good.
    set("not-known-yet", Standing::NotKnownYet,
        looked                                       ? "Nobody has put down its condition."
        : o && o->seen == model::Seen::ToBeConfirmed ? "What is put down is not confirmed in this survey."
                                                     : "Nobody has looked at it in this survey.");
    v_.would_change.emplace_back(
        "A close look, outside and in: weeping, stains, green or pink metal, cracks, a flange that moves, "
        "the valve "
        "worked, the hose squeezed, the hull tapped round it; put down what was found, or that nothing was.");
  }
  return std::move(v_);
}

}  // namespace

std::span<const std::string_view> ConditionRule::goes_by() const {
  static constexpr std::array<std::string_view, 1> kRows{"findings.csv"};
  return kRows;
}

Verdict ConditionRule::judge(const Case& facts, const Tables& tables,
                             std::span<const Verdict> earlier) const {
  return ConditionJudge(facts, tables, earlier, start_verdict(key(), title())).find();
}

}  // namespace spile::rules
