#include "rules/shut_off.hpp"

#include <fmt/format.h>

#include <array>

#include "model/names.hpp"
#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using model::ValveState;

constexpr std::string_view kH27 = "ABYC H-27, as quoted in the trade press";
constexpr std::string_view kDirective = "EU Recreational Craft Directive, annex I A";

class ShutOffJudge {
 public:
  ShutOffJudge(const Case& facts, const Tables& tables, Zone zone, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        zone_(zone),
        service_(service_of(facts, tables)),
        state_(facts.observation ? facts.observation->valve : ValveState::Unknown),
        kind_(facts.observation ? tables.valve_kind(facts.observation->valve_kind) : nullptr),
        v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find();

 private:
  void add_inputs();
  void closed_by_design();
  void never();
  void vent_under_water();
  void not_needed();
  void needed();
  void judge_state();
  void judge_kind();
  void judge_threads();
  void judge_clips_and_plug();
  void set(std::string_view key, Standing standing, std::string headline);

  const Case& facts_;
  const Tables& tables_;
  Zone zone_;
  const Service& service_;
  ValveState state_;
  const ValveKind* kind_;
  Verdict v_;
};

void ShutOffJudge::set(std::string_view key, Standing standing, std::string headline) {
  v_.answer = key;
  v_.standing = standing;
  v_.headline = std::move(headline);
}

void ShutOffJudge::add_inputs() {
  const auto thread_label = [&](const std::string& key) {
    const auto* thread = tables_.thread(key);
    return thread ? thread->choice.label : std::string(kNotRecorded);
  };
  const model::Observation seen = facts_.observation.value_or(model::Observation{});
  v_.inputs = {
      {"Service", lower_first(service_.choice.label)},
      {"Zone", zone_in_words(zone_)},
      {"Valve",
       state_ == ValveState::Unknown ? std::string(kNotRecorded) : lower_first(model::label(state_))},
      {"Kind of valve", kind_ ? lower_first(kind_->choice.label) : std::string(kNotRecorded)},
      {"Thread of the stem", thread_label(facts_.fitting ? facts_.fitting->thread : std::string())},
      {"Thread of the valve", thread_label(facts_.fitting ? facts_.fitting->valve_thread : std::string())},
      {"Hose clips", seen.clips ? plain_number(*seen.clips) : std::string(kNotRecorded)},
      {"Plug",
       seen.plug == model::Plug::Unknown ? std::string(kNotRecorded) : lower_first(model::label(seen.plug))},
  };
}

Verdict ShutOffJudge::find() {
  add_inputs();
  add_source(v_, service_.choice.source);
  const auto* fitting = facts_.fitting ? tables_.fitting_kind(facts_.fitting->kind) : nullptr;
  const bool takes_none = fitting && !fitting->takes_valve && service_.shut_off == ShutOff::Valve;
  const bool by_design = service_.shut_off == ShutOff::Plug || service_.shut_off == ShutOff::Gland ||
                         service_.shut_off == ShutOff::Riser || service_.flow == Flow::Closed;
  if (service_.shut_off == ShutOff::Never) {
    never();
  } else if (by_design) {
    closed_by_design();
  } else if (counts_as_below(zone_) && service_.shut_off == ShutOff::None && service_.flow != Flow::Drain) {
    vent_under_water();
  } else if (counts_as_below(zone_)) {
    needed();
  } else if (zone_ == Zone::Above) {
    not_needed();
  } else if (state_ == ValveState::Seized || state_ == ValveState::Stiff) {
    judge_state();
  } else {
    set("not-known-yet", Standing::NotKnownYet,
        "Whether it needs a seacock hangs on its zone, which is not known yet.");
  }
  if (v_.answer == "met" || v_.answer == "repair" || v_.answer == "not-known-yet") judge_threads();
  if (v_.answer != "not-applicable") judge_clips_and_plug();
  if (zone_ != Zone::Above && v_.caution.empty()) v_.caution = kSinkingCaution;
  if (zone_ == Zone::Unknown && v_.answer != "not-applicable") {
    v_.would_change.emplace_back("The zone: record the height above the waterline.");
  }
  if (takes_none && v_.answer == "needed") {
    v_.reasons.push_back(
        fmt::format("The fitting recorded ({}) takes no valve.", lower_first(fitting->choice.label)));
  }
  return std::move(v_);
}

void ShutOffJudge::closed_by_design() {
  const auto& name = service_.choice.label;
  switch (service_.shut_off) {
    case ShutOff::Plug:
      set("not-applicable", Standing::NotApplicable, fmt::format("{}: a plug shuts it, not a valve.", name));
      v_.actions.emplace_back("Keep its plug or blank tied beside it.");
      break;
    case ShutOff::Gland:
      set("not-applicable", Standing::NotApplicable,
          fmt::format("{}: its gland or seal keeps the water out.", name));
      v_.actions.emplace_back(
          "Look at the gland with the shaft still and turning; a drip is set by its maker's word.");
      break;
    case ShutOff::Riser:
      set("not-applicable", Standing::NotApplicable,
          fmt::format("{}: its riser keeps the water out, not a valve.", name));
      v_.actions.emplace_back("See that the riser stands above every heeled waterline.");
      break;
    default:
      set("not-applicable", Standing::NotApplicable, fmt::format("{}: there is no bore to shut.", name));
  }
}

void ShutOffJudge::never() {
  v_.caution =
      "Gas that cannot run overboard explodes. Have the gas locker and its drain checked by a licensed gas "
      "fitter.";
  const bool valve =
      state_ == ValveState::Works || state_ == ValveState::Stiff || state_ == ValveState::Seized;
  if (valve) {
    set("remove", Standing::Act, "A gas locker drain must never have a valve: take it out.");
    v_.actions.emplace_back("Remove the valve, so that leaking gas is always free to run overboard.");
    return;
  }
  if (counts_as_below(zone_)) {
    set("move", Standing::Act,
        "A gas locker drain under water, even when heeled, cannot drain: lead it out higher.");
    v_.actions.emplace_back("Lead the drain out above every waterline and close this hole with laminate.");
    return;
  }
  if (zone_ == Zone::Unknown) {
    return set("not-known-yet", Standing::NotKnownYet,
               "A gas locker drain must come out above every waterline.");
  }
  set("not-needed", Standing::Good, "No valve, as it must be: gas is free to run overboard.");
}

// A valve would only hide the fault: shut it and the tank or the heater cannot breathe.
void ShutOffJudge::vent_under_water() {
  set("move", Standing::Act,
      fmt::format("{}: it lets the sea in when it goes under, so lead it higher.", service_.choice.label));
  v_.reasons.emplace_back("It must stay open to do its work, so a valve is no answer here.");
  v_.actions.emplace_back("Lead it out above the heeled waterline and close this hole with laminate.");
}

void ShutOffJudge::not_needed() {
  set("not-needed", Standing::Good, "It needs no seacock: it stays above the water.");
  if (state_ == ValveState::Seized || state_ == ValveState::Stiff) {
    v_.standing = Standing::Watch;
    v_.actions.emplace_back("It has a valve all the same: free it or take it out, so that nobody trusts it.");
  }
  if (service_.shut_off != ShutOff::Loop) return;
  const auto& height = tables_.threshold("valve.bilge-discharge.height");
  v_.reasons.push_back(
      fmt::format("A bilge discharge should come out {} above the heeled waterline, or have a seacock "
                  "and a vented loop; a non-return valve does not count.",
                  limit(height)));
  add_source(v_, height.source);
}

void ShutOffJudge::needed() {
  const bool heeled_only = zone_ == Zone::Heeled;
  v_.reasons.emplace_back(
      heeled_only ? "It goes under when she heels: a seacock is asked for on what lies below the heeled "
                    "waterline; the European directive asks for it below the laden waterline only."
                  : "What lies below the waterline must have a shut-off within reach.");
  const bool line_may_do = heeled_only && service_.flow != Flow::Intake;
  if (line_may_do) {
    v_.reasons.emplace_back(
        "A discharge above the water at rest may do without where its whole line inside is as strong as the "
        "hull.");
  }
  if (service_.shut_off == ShutOff::Loop) {
    v_.reasons.emplace_back(
        "A bilge discharge that goes under needs a vented loop besides; a non-return valve does not count.");
  }
  add_source(v_, heeled_only ? std::string(kH27) + ", 27.5.1" : std::string(kH27));
  add_source(v_, kDirective);
  if (line_may_do && service_.shut_off == ShutOff::None && state_ == ValveState::None) {
    set("not-needed", Standing::Watch,
        "It goes under when she heels and has no valve: its line is all that keeps water out.");
    v_.actions.emplace_back(
        "Look along the whole line inside: tube or reinforced hose, double clamps, nothing that shakes.");
    return;
  }
  judge_state();
}

void ShutOffJudge::judge_state() {
  switch (state_) {
    case ValveState::Unknown:
      set("not-known-yet", Standing::NotKnownYet,
          "It needs a seacock; whether it has one that works is not recorded.");
      v_.would_change.emplace_back("Work the valve through its whole travel and record how it goes.");
      return;
    case ValveState::None:
      set("needed", Standing::Act, "It needs a seacock and has none.");
      v_.actions.emplace_back(
          "Fit a seacock: quarter turn, lever that shows open or shut, its base bolted to a backing "
          "block, within reach without tools.");
      v_.actions.emplace_back(
          "Until then: a tapered softwood plug tied beside it, and somebody who knows where it is.");
      return;
    case ValveState::Seized:
      set("repair", Standing::Act, "Its valve is seized: it counts as having none.");
      v_.actions.emplace_back("Ashore: strip, grease and lap it, or renew it. Never force a lever afloat.");
      return;
    case ValveState::Stiff:
      set("repair", Standing::Watch, "Its valve is stiff: free it before it seizes.");
      v_.actions.emplace_back("Strip and grease it at this haul-out; work it every month afterwards.");
      return judge_kind();
    case ValveState::Works:
      set("met", Standing::Good, "It needs a seacock and has one that works.");
      v_.actions.emplace_back("Work it every month, grease it every year, shut it when nobody is aboard.");
      v_.reasons.emplace_back(
          "To be seen at work: the lever through its whole quarter turn by one hand, open and shut told at a "
          "glance, "
          "no water past it when shut.");
      add_source(v_, "common practice");
      return judge_kind();
  }
}

// A valve carried by the stem alone hangs on the first turns of the thread.
void ShutOffJudge::judge_threads() {
  const auto* male = facts_.fitting ? tables_.thread(facts_.fitting->thread) : nullptr;
  const auto* female = facts_.fitting ? tables_.thread(facts_.fitting->valve_thread) : nullptr;
  if (!male || !female || state_ == ValveState::None) return;
  if (male->size_in != female->size_in) {
    set("threads-differ", Standing::Act,
        fmt::format("Stem and valve are of two sizes, {} and {}.", male->choice.label, female->choice.label));
    v_.actions.insert(v_.actions.begin(), "Read both threads again; renew the one that does not belong.");
    return;
  }
  for (const auto& joint : tables_.thread_joints()) {
    if (joint.male != male->form || joint.female != female->form) continue;
    v_.reasons.push_back(fmt::format("{} stem in {} valve: {}", male->choice.label, female->choice.label,
                                     lower_first(joint.why)));
    add_source(v_, joint.source);
    if (joint.verdict == Suitability::Accept) return;
    const bool reject = joint.verdict == Suitability::Reject && counts_as_below(zone_);
    if (reject) {
      set("threads-differ", Standing::Act,
          "Its valve does not belong on this stem: the threads do not match.");
      v_.actions.insert(v_.actions.begin(),
                        "Fit a valve of the stem's own thread: straight on straight, taper on taper.");
    } else if (v_.standing == Standing::Good) {
      v_.standing = Standing::Watch;
      v_.headline = "It has a valve that works, on a thread that is no proper pair.";
    }
    return;
  }
}

void ShutOffJudge::judge_clips_and_plug() {
  if (!facts_.observation || !counts_as_below(zone_) || service_.flow == Flow::Closed) return;
  const auto& o = *facts_.observation;
  const auto& wanted = tables_.threshold("valve.clips");
  if (o.clips && *o.clips < wanted.value) {
    v_.reasons.push_back(fmt::format("Its tail has {:.0f} hose clip{}; below the waterline it wants {}.",
                                     *o.clips, *o.clips == 1 ? "" : "s", plain_number(wanted.value)));
    v_.actions.emplace_back(
        "Fit a second clip at each end, all stainless, where the tail is long enough for two.");
    add_source(v_, wanted.source);
    if (v_.standing == Standing::Good) {
      v_.standing = Standing::Watch;
      v_.headline.back() = ';';
      v_.headline += " its hose wants a second clip.";
    }
  }
  if (o.plug == model::Plug::None) {
    v_.actions.emplace_back("Tie a tapered softwood plug of its size beside it.");
    if (v_.standing == Standing::Good) {
      v_.standing = Standing::Watch;
      v_.headline.back() = ';';
      v_.headline += " no plug is tied beside it.";
    }
  }
}

void ShutOffJudge::judge_kind() {
  if (!kind_) {
    v_.would_change.emplace_back("The kind of valve: lever and quarter turn, or a wheel.");
    return;
  }
  add_source(v_, kind_->choice.source);
  const std::string name = lower_first(kind_->choice.label);
  if (!kind_->choice.note.empty()) {
    v_.reasons.push_back(fmt::format("{}: {}", kind_->choice.label, kind_->choice.note));
  }
  if (kind_->as_seacock == Suitability::Reject && counts_as_below(zone_)) {
    set("needed", Standing::Act, fmt::format("What it has does not count as a seacock: {}.", name));
    v_.actions.insert(v_.actions.begin(),
                      "Replace it with a seacock: quarter turn, lever that shows open or shut.");
  } else if (kind_->as_seacock == Suitability::Conditional && v_.standing == Standing::Good) {
    v_.standing = Standing::Watch;
    v_.headline = fmt::format("It has a valve that works, which counts on a condition: {}.", name);
  }
}

}  // namespace

std::span<const std::string_view> ShutOffRule::goes_by() const {
  static constexpr std::array<std::string_view, 5> kRows{"valve.", "services.csv", "valve_kinds.csv",
                                                         "thread_joints.csv", "threads.csv"};
  return kRows;
}

Verdict ShutOffRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier) const {
  return ShutOffJudge(facts, tables, zone_of(earlier), start_verdict(key(), title())).find();
}

}  // namespace spile::rules
