#include "rules/zone.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "metrology/decision.hpp"
#include "metrology/uncertainty.hpp"
#include "model/heel.hpp"
#include "model/names.hpp"
#include "rules/facts.hpp"
#include "rules/heel.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using metrology::Conformity;
using units::Degree;
using units::Millimetre;

// The hole's lowest point over the laden waterline at rest, mm.
struct Height {
  double above_water = 0;
  double u95 = 0;
  double sinkage_u95 = 0;  // its part that measuring the height again leaves as it is
};

double u_of(const Threshold& u95) {
  return u95.value / metrology::normal_quantile(0.975);
}

Height height_over_water(const Case& facts, const Tables& tables) {
  const auto& sinkage = tables.threshold("zone.sinkage.u95");
  const bool laden = facts.vessel.loaded_sinkage_mm > 0;
  metrology::Budget budget;
  budget.add("height", u_of(tables.threshold("zone.height.u95")));
  if (laden) budget.add("loaded sinkage", u_of(sinkage));
  return {*facts.opening.height_mm - facts.vessel.loaded_sinkage_mm, budget.expanded().u95,
          laden ? sinkage.value : 0};
}

// The water's climb on the low side, mm. Without a distance from the centreline, half the beam is the most it
// can be.
struct Rise {
  double from_centreline = 0;
  double most = 0;     // by heel and trim together
  double by_trim = 0;  // of that
  double from_middle = 0;
  double u95 = 0;
  bool bound_only = false;
};

// She trims about the middle of her length, near enough; the worst of bow and stern down.
void add_trim(Rise& rise, const Case& facts, const Tables& tables) {
  const double degrees = facts.vessel.trim_deg.value_or(0);
  if (degrees <= 0 || !facts.vessel.length_mm) return;
  const double half = *facts.vessel.length_mm / 2;
  rise.from_middle = facts.opening.from_bow_mm ? std::abs(*facts.opening.from_bow_mm - half) : half;
  rise.bound_only = rise.bound_only || !facts.opening.from_bow_mm;
  rise.by_trim = model::trim_rise(Millimetre(rise.from_middle), Degree(degrees)).value();
  rise.most += rise.by_trim;
  rise.u95 = std::hypot(rise.u95, tables.threshold("zone.trim.u95").value * model::tangent(Degree(degrees)));
}

std::optional<Rise> rise_when_heeled(const Case& facts, const Tables& tables, Degree heel) {
  const auto& recorded = facts.opening.half_breadth_mm;
  const bool known = recorded || facts.opening.side == model::Side::Centreline;
  if (!known && !facts.vessel.beam_mm) return std::nullopt;
  const double y = known ? recorded.value_or(0) : *facts.vessel.beam_mm / 2;
  const double u95 = known ? tables.threshold("zone.half-breadth.u95").value * model::tangent(heel) : 0;
  Rise rise{y, model::heel_rise(Millimetre(y), heel).value(), 0, 0, u95, !known};
  add_trim(rise, facts, tables);
  return rise;
}

class ZoneFinder {
 public:
  ZoneFinder(const Case& facts, const Tables& tables, Verdict verdict)
      : facts_(facts), tables_(tables), heel_(worst_heel(facts.vessel, tables)), v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find() {
    add_inputs();
    if (facts_.opening.height_mm) {
      judge_height();
    } else {
      not_known("Nobody has recorded how high it lies above the water.",
                "The height of the hole's lowest point above the waterline at rest.");
    }
    weigh_what_was_seen();
    doubt_the_record();
    return std::move(v_);
  }

 private:
  void add_inputs();
  void judge_height();
  void judge_heeled(const Height& height);
  void explain_rise(const Rise& rise);
  void weigh_what_was_seen();
  void doubt_the_record();

  void set(std::string_view key, Standing standing, std::string headline);
  void below(std::string headline);
  void heeled(std::string headline);
  void above(const Height& height);
  void too_close(std::string headline, double gap, const Height& height, double rise_u95);
  void not_known(std::string headline, std::string needed);

  const Case& facts_;
  const Tables& tables_;
  WorstHeel heel_;
  Verdict v_;
  bool maybe_below_ = false;  // too close to tell at rest
};

void ZoneFinder::add_inputs() {
  const auto& o = facts_.opening;
  const auto seen = facts_.observation ? facts_.observation->waterline : model::Waterline::Unknown;
  const std::string unknown(kNotRecorded);
  const bool centreline = o.side == model::Side::Centreline;
  v_.inputs = {
      {"Height of the hole's lowest point",
       o.height_mm ? off_waterline(*o.height_mm) + " the waterline at rest" : unknown},
      {"Loaded sinkage", mm(facts_.vessel.loaded_sinkage_mm)},
      {"Distance from the centreline", o.half_breadth_mm ? mm(*o.half_breadth_mm)
                                       : centreline      ? "on the centreline"
                                                         : unknown},
      {"Worst heel", fmt::format("{:.3g}° ({})", heel_.angle.value(), heel_.why)},
      {"Worst trim", facts_.vessel.trim_deg
                         ? fmt::format("{:.3g}°, bow or stern down", *facts_.vessel.trim_deg)
                         : unknown + ", reckoned as none"},
      {"Seen by eye", seen == model::Waterline::Unknown ? unknown : lower_first(model::label(seen))},
  };
}

void ZoneFinder::set(std::string_view key, Standing standing, std::string headline) {
  v_.answer = key;
  v_.standing = standing;
  v_.headline = std::move(headline);
}

void ZoneFinder::below(std::string headline) {
  set("below-waterline", Standing::Good, std::move(headline));
  v_.caution = kSinkingCaution;
}

void ZoneFinder::heeled(std::string headline) {
  set("wetted-when-heeled", Standing::Good, std::move(headline));
  v_.reasons.emplace_back("For material, strength and shut-off this counts as below the waterline.");
  add_source(v_, "ABYC H-27, as quoted in the trade press");
  v_.caution = kSinkingCaution;
}

// What would settle it: a height known well enough where the other doubts leave room for one, else less doubt
// about those.
std::string settled_by(double gap, double sinkage_u95, double rise_u95) {
  constexpr double kFinestHeight = 1;
  const double others = std::hypot(sinkage_u95, rise_u95);
  const double height = gap > others ? std::floor(std::sqrt(gap * gap - others * others)) : 0;
  if (height >= kFinestHeight) {
    return fmt::format(
        "A height known within ± {}: mark the waterline on a calm day, laden as she sails, and measure from "
        "the mark.",
        mm(height));
  }
  if (rise_u95 > sinkage_u95) {
    return "The distance from the centreline, measured with care: now it leaves more doubt than the height.";
  }
  if (sinkage_u95 > 0) {
    return "The height above the water measured with her laden as she sails, and the loaded sinkage left at "
           "0.";
  }
  return "No finer measuring: the water reaches just to it. Watch it in the water, laden as she sails.";
}

void ZoneFinder::too_close(std::string headline, double gap, const Height& height, double rise_u95) {
  set("too-close-to-tell", Standing::TooCloseToTell, std::move(headline));
  v_.reasons.emplace_back("Until it is settled it counts as the lower of the two.");
  v_.would_change.push_back(settled_by(gap, height.sinkage_u95, rise_u95));
  v_.caution = kSinkingCaution;
}

void ZoneFinder::not_known(std::string headline, std::string needed) {
  set("not-known-yet", Standing::NotKnownYet, std::move(headline));
  v_.would_change.push_back(std::move(needed));
  v_.caution = kSinkingCaution;
}

void ZoneFinder::above(const Height& height) {
  const auto& margin = tables_.threshold("zone.margin");
  if (height.above_water >= margin.value) {
    return set("above", Standing::Good, "It stays above the water at rest and at the worst heel.");
  }
  set("above", Standing::Watch, "It stays above the water, though not by much.");
  v_.reasons.push_back(
      fmt::format("{} above the laden waterline is less than the {} below which rules for small "
                  "passenger vessels ask for a means to stop the water.",
                  mm(height.above_water), limit(margin)));
  add_source(v_, margin.source);
}

void ZoneFinder::explain_rise(const Rise& rise) {
  if (rise.by_trim > 0) {
    v_.reasons.push_back(
        fmt::format("Trimmed {0:.3g}° about the middle of her length, the water rises by {1} x tan {0:.3g}° "
                    "= {2} besides.",
                    *facts_.vessel.trim_deg, mm(rise.from_middle), mm(rise.by_trim)));
  }
  if (rise.most - rise.by_trim < 0.5) {
    v_.reasons.emplace_back("On the centreline the water does not rise when she heels.");
    return;
  }
  const bool bound_by_beam =
      !facts_.opening.half_breadth_mm && facts_.opening.side != model::Side::Centreline;
  v_.reasons.push_back(fmt::format(
      "Heeled {0:.3g}° ({1}), the water on the low side rises by {2} x tan {0:.3g}° = {3}{4}.",
      heel_.angle.value(), heel_.why, mm(rise.from_centreline), mm(rise.most - rise.by_trim),
      bound_by_beam ? ", taking half the beam as the farthest it can be from the centreline" : ""));
}

void ZoneFinder::judge_heeled(const Height& height) {
  constexpr std::string_view kOpen =
      "Above the water at rest; whether it goes under when she heels is not known yet.";
  const auto rise = rise_when_heeled(facts_, tables_, heel_.angle);
  if (!rise) return not_known(std::string(kOpen), "The distance from the centreline, or the vessel's beam.");
  explain_rise(*rise);
  if (!heel_.source.empty()) add_source(v_, heel_.source);
  const double gap = std::abs(height.above_water - rise->most);
  const double guard = std::hypot(height.u95, rise->u95);
  const auto clear = metrology::at_least(height.above_water, guard, rise->most);
  if (!rise->bound_only)
    v_.margin = fmt::format("{} above the water at the worst heel",
                            with_interval(height.above_water - rise->most, guard));
  if (clear == Conformity::Met) return above(height);
  if (rise->bound_only) {
    const bool across = facts_.opening.half_breadth_mm || facts_.opening.side == model::Side::Centreline;
    return not_known(std::string(kOpen),
                     across ? "The distance from the bow." : "The distance from the centreline.");
  }
  if (clear == Conformity::TooCloseToTell) {
    return too_close("Too close to tell whether it goes under at the worst heel.", gap, height, rise->u95);
  }
  heeled(fmt::format("Above the water at rest, {} under at the worst heel.", mm(gap)));
}

void ZoneFinder::judge_height() {
  const auto height = height_over_water(facts_, tables_);
  const double sinkage = facts_.vessel.loaded_sinkage_mm;
  const std::string laden = sinkage > 0
                                ? fmt::format("; laden she floats {} deeper, which leaves it {} the water",
                                              mm(sinkage), off_waterline(height.above_water))
                                : std::string();
  v_.reasons.push_back(
      fmt::format("The hole's lowest point is {} the waterline at rest{}, known within ± {}.",
                  off_waterline(*facts_.opening.height_mm), laden, mm(height.u95)));
  add_source(v_, tables_.threshold("zone.height.u95").source);
  v_.margin = fmt::format("{} above the laden water at rest", with_interval(height.above_water, height.u95));
  switch (metrology::at_least(height.above_water, height.u95, 0)) {
    case Conformity::NotMet:
      return below(fmt::format("Below the waterline, {} under.", mm(-height.above_water)));
    case Conformity::Met:
      return judge_heeled(height);
    case Conformity::TooCloseToTell:
      maybe_below_ = true;
      return too_close("Too close to tell whether it is under water at rest.", std::abs(height.above_water),
                       height, 0);
  }
}

// How deep an answer puts it: what somebody saw in the water is evidence too, and the deeper of the two
// stands.
int depth(std::string_view answer) {
  return answer == "below-waterline" ? 2 : answer == "wetted-when-heeled" ? 1 : 0;
}

void ZoneFinder::weigh_what_was_seen() {
  const auto seen = facts_.observation ? facts_.observation->waterline : model::Waterline::Unknown;
  if (seen == model::Waterline::Unknown) return;
  const std::string in_words = lower_first(model::label(seen));
  const int by_eye = depth(model::key(seen));
  const int by_figures = maybe_below_ ? 1 : depth(v_.answer);
  if (by_eye <= by_figures) {
    if (by_eye < depth(v_.answer)) {
      v_.reasons.push_back(
          fmt::format("By eye it was put down as {}; the figures say lower and stand.", in_words));
    } else if (v_.answer == "not-known-yet") {
      v_.reasons.push_back(
          fmt::format("By eye it was put down as {}; that says nothing about the heel.", in_words));
    }
    return;
  }
  const bool against_figures = v_.answer == "above" || v_.answer == "wetted-when-heeled";
  v_.reasons.push_back(
      fmt::format("By eye it was put down as {}{}.", in_words,
                  against_figures ? "; that is lower than the figures say and stands until settled" : ""));
  if (against_figures) {
    v_.would_change.emplace_back("The height above the waterline at rest, measured again.");
  }
  if (by_eye == 2) {
    below("Below the waterline, by eye.");
  } else {
    heeled("Under water when heeled, by eye.");
  }
}

void ZoneFinder::doubt_the_record() {
  const double beam = facts_.vessel.beam_mm.value_or(0);
  if (beam > 0 && facts_.opening.half_breadth_mm.value_or(0) > beam / 2) {
    v_.reasons.emplace_back(
        "The recorded distance from the centreline is more than half the beam: one of them is wrong.");
  }
  add_source(v_, "common practice");
}

}  // namespace

std::span<const std::string_view> ZoneRule::goes_by() const {
  static constexpr std::array<std::string_view, 2> kRows{"zone.", "heel."};
  return kRows;
}

Verdict ZoneRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict>) const {
  return ZoneFinder(facts, tables, start_verdict(key(), title())).find();
}

}  // namespace spile::rules
