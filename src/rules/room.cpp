#include "rules/room.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "metrology/decision.hpp"
#include "rules/facts.hpp"
#include "rules/stem.hpp"
#include "rules/wording.hpp"
#include "units/text.hpp"

namespace spile::rules {

namespace {

using metrology::Conformity;

struct Length {
  double mm = 0;
  std::string how;  // as a person reads it
};

class RoomJudge {
 public:
  RoomJudge(const Case& facts, const Tables& tables, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        fitting_(facts.fitting.value_or(model::Fitting{})),
        v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find();

 private:
  [[nodiscard]] double limit_of(std::string_view key) const { return tables_.threshold(key).value; }
  [[nodiscard]] std::optional<double> bore() const;
  [[nodiscard]] Length or_share(const std::optional<double>& known, const char* share, double bore) const;
  void judge_depth(double bore);
  void judge_spanner();
  void set(std::string_view key, Standing standing, std::string headline) {
    v_.answer = key;
    v_.standing = standing;
    v_.headline = std::move(headline);
  }

  const Case& facts_;
  const Tables& tables_;
  model::Fitting fitting_;
  Verdict v_;
};

// The hose's bore; else the fitting's nominal size, which is what the hose is called by.
std::optional<double> RoomJudge::bore() const {
  if (fitting_.bore_mm) return fitting_.bore_mm;
  const auto* size = nominal_size(tables_, size_to_fit(facts_));
  if (!size) return std::nullopt;
  const auto inches = units::parse_length(size->size_in + " in");
  return inches ? std::optional(inches->length.value()) : std::nullopt;
}

Length RoomJudge::or_share(const std::optional<double>& known, const char* share, double bore) const {
  if (known) return {*known, mm(*known)};
  const auto& row = tables_.threshold(share);
  return {row.value * bore,
          fmt::format("{}, taken as {} times the bore", mm(row.value * bore), plain_number(row.value))};
}

void RoomJudge::judge_depth(double bore) {
  const double stack = *fitting_.stack_mm, clear = *facts_.opening.clear_depth_mm;
  const auto tail = or_share(fitting_.tail_mm, "room.tail.share", bore);
  const auto bend = or_share(fitting_.bend_mm, "room.bend.share", bore);
  const double straight = stack + tail.mm + bend.mm + bore / 2,
               elbow = stack + limit_of("room.elbow.share") * bore;
  const double u95 = std::hypot(limit_of("room.length.u95"), limit_of("room.length.u95"));
  v_.inputs.push_back({"Hose tail", tail.how});
  v_.inputs.push_back({"Least bend of the hose", bend.how});
  v_.reasons.push_back(
      fmt::format("Straight up and over: stack {:.0f} + tail {:.0f} + bend {:.0f} + half the hose {:.0f} = "
                  "{}; with an elbow: stack + {} "
                  "bores = {}; there is {}, each known within ± {}.",
                  stack, tail.mm, bend.mm, bore / 2, mm(straight), plain_number(limit_of("room.elbow.share")),
                  mm(elbow), mm(clear), mm(u95)));
  v_.margin = fmt::format("{} over a straight tail, {} over an elbow", with_interval(clear - straight, u95),
                          with_interval(clear - elbow, u95));
  const auto takes_straight = metrology::at_least(clear, u95, straight);
  const auto takes_elbow = metrology::at_least(clear, u95, elbow);
  if (takes_straight == Conformity::Met) {
    return set("straight", Standing::Good, "A straight tail fits, and the hose can bend away.");
  }
  if (takes_elbow == Conformity::NotMet) {
    set("neither", Standing::Act, "Neither a straight tail nor an elbow fits in the room there is.");
    v_.actions.emplace_back(
        "Take a lower valve, or move the opening; never bend a hose tighter than its maker allows or leave "
        "it to kink.");
    v_.caution = kSinkingCaution;
    return;
  }
  if (takes_elbow == Conformity::Met && takes_straight == Conformity::NotMet) {
    return set("elbow", Standing::Watch, "A straight tail does not fit; an elbow does, and costs some flow.");
  }
  set("too-close-to-tell", Standing::TooCloseToTell,
      takes_elbow == Conformity::Met ? "An elbow fits; too close to tell whether a straight tail does."
                                     : "Too close to tell whether an elbow fits.");
  v_.would_change.emplace_back("The parts held in place with a length of the hose on them.");
}

void RoomJudge::judge_spanner() {
  const auto* size = nominal_size(tables_, size_to_fit(facts_));
  if (!size || !facts_.opening.clear_width_mm) return;
  const double around = limit_of("room.spanner.around"), wanted = size->nut.to_mm + 2 * around;
  v_.reasons.push_back(
      fmt::format("A spanner for a {} in nut (up to {} across flats) wants {} across; there is {}.",
                  size->size_in, mm(size->nut.to_mm), mm(wanted), mm(*facts_.opening.clear_width_mm)));
  add_source(v_, size->source);
  if (metrology::at_least(*facts_.opening.clear_width_mm, limit_of("room.length.u95"), wanted) ==
      Conformity::Met)
    return;
  v_.actions.emplace_back(
      "Try the spanner before anything is bedded: a hook spanner or a nut with holes may go where a flat one "
      "does not.");
  if (v_.standing == Standing::Good) v_.standing = Standing::Watch;
}

Verdict RoomJudge::find() {
  v_.planning = true;
  const auto hose = bore();
  const auto& clear = facts_.opening.clear_depth_mm;
  const std::string unknown(kNotRecorded);
  v_.inputs = {
      {"Clear room inwards", clear ? mm(*clear) : unknown},
      {"Height of the stack", fitting_.stack_mm ? mm(*fitting_.stack_mm) : unknown},
      {"Bore of the hose", hose ? mm(*hose) : unknown},
      {"Clear room across", facts_.opening.clear_width_mm ? mm(*facts_.opening.clear_width_mm) : unknown}};
  add_source(v_, tables_.threshold("room.bend.share").source);
  if (!clear) v_.would_change.emplace_back("The clear room inside, square off the hull, with a tape.");
  if (!fitting_.stack_mm)
    v_.would_change.emplace_back("The height of nut, valve and what stands on it, from the hull.");
  if (!hose) v_.would_change.emplace_back("The bore of the hose.");
  if (!v_.would_change.empty()) {
    set("not-known-yet", Standing::NotKnownYet, "Whether tail and hose have room inside is not known yet.");
  } else {
    judge_depth(*hose);
  }
  judge_spanner();
  return std::move(v_);
}

}  // namespace

std::span<const std::string_view> RoomRule::goes_by() const {
  static constexpr std::array<std::string_view, 2> kRows{"room.", "nominal_sizes.csv"};
  return kRows;
}

Verdict RoomRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict>) const {
  return RoomJudge(facts, tables, start_verdict(key(), title())).find();
}

}  // namespace spile::rules
