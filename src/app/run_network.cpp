#include "app/run_network.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "app/run_flow.hpp"
#include "app/wording.hpp"
#include "hydraulics/network.hpp"

namespace spile::app {

namespace {

using hydraulics::Leg;
using rules::PartKind;
using units::LitrePerMinute;
using units::Millimetre;

struct Member {
  std::size_t run = 0;            // index among all runs
  std::set<std::size_t> tees;     // its parts that others join at
  std::vector<std::size_t> legs;  // of the network, in the direction of flow
};

// The runs that leave together, the one that ends in the hull first.
using Group = std::vector<std::size_t>;

std::vector<Group> groups(const std::vector<RunView>& runs) {
  std::map<model::RunId, std::size_t> index;
  for (std::size_t i = 0; i < runs.size(); ++i) index[runs[i].run.id] = i;
  std::map<std::size_t, Group> by_last;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (!runs[i].faults.empty()) continue;  // among them tees that go round
    std::size_t last = i;
    while (runs[last].run.joins && index.contains(runs[last].run.joins->run))
      last = index[runs[last].run.joins->run];
    auto& group = by_last[last];
    group.insert(i == last ? group.begin() : group.end(), i);
  }
  std::vector<Group> all;
  for (auto& [last, group] : by_last)
    if (group.size() > 1 && group.front() == last && !runs[last].run.joins) all.push_back(std::move(group));
  return all;
}

class Network {
 public:
  Network(const std::vector<RunView>& runs, const std::vector<RunPlace>& places, const RunWorkshop& shop,
          const Group& group, double heel_deg)
      : runs_(runs), places_(places), shop_(shop), heel_deg_(heel_deg) {
    for (const auto i : group) members_.push_back({i, {}, {}});
    for (const auto& m : members_)
      if (const auto& joins = runs[m.run].run.joins)
        member(joins->run).tees.insert(static_cast<std::size_t>(joins->behind_part));
  }

  // Empty, or why it cannot be worked out.
  [[nodiscard]] std::string build() {
    for (const auto& m : members_)
      if (runs_[m.run].profile.empty()) return fmt::format("the heights of {} are not known", name_of(m.run));
    for (auto& m : members_) number_legs(m);
    for (auto& m : members_)
      if (!add_legs(m)) return fmt::format("{} has a vented loop between two tees", name_of(m.run));
    count_from_the_end();
    return {};
  }

  [[nodiscard]] const std::vector<Leg>& legs() const { return legs_; }
  [[nodiscard]] std::size_t first_leg(std::size_t run) const {
    const auto m =
        std::find_if(members_.begin(), members_.end(), [&](const Member& x) { return x.run == run; });
    return m->legs.front();
  }
  [[nodiscard]] std::size_t last_leg() const { return members_.front().legs.back(); }
  [[nodiscard]] bool drawn() const {
    return service_flow(facts(members_.front().run)) == rules::Flow::Intake;
  }
  [[nodiscard]] double start_height(std::size_t run) const {
    return sea_height(runs_[run].profile.front(), 0, facts(run));
  }
  [[nodiscard]] std::string others(std::size_t run) const {
    std::string names;
    for (const auto& m : members_)
      if (m.run != run) names += (names.empty() ? "" : " and ") + name_of(m.run);
    return names;
  }

 private:
  [[nodiscard]] FlowCase facts(std::size_t run) const { return {runs_[run], places_[run], shop_, heel_deg_}; }
  [[nodiscard]] const FlowView& alone(std::size_t run) const {
    return heel_deg_ > 0 ? runs_[run].heeled : runs_[run].at_rest;
  }
  [[nodiscard]] std::string name_of(std::size_t run) const {
    return runs_[run].run.name.empty() ? std::string("the other run") : runs_[run].run.name;
  }
  Member& member(model::RunId id) {
    return *std::find_if(members_.begin(), members_.end(),
                         [&](const Member& m) { return runs_[m.run].run.id == id; });
  }

  void number_legs(Member& m) {
    for (std::size_t k = 0; k <= m.tees.size(); ++k) {
      m.legs.push_back(legs_.size());
      legs_.emplace_back();
    }
    for (std::size_t k = 0; k + 1 < m.legs.size(); ++k) legs_[m.legs[k]].into = m.legs[k + 1];
  }

  // The parts of the run itself, the hull's fitting with the last one; then the branch of the tee it ends in.
  [[nodiscard]] std::vector<rules::PlacedPart> own_parts(const Member& m) const {
    const auto& view = runs_[m.run];
    auto parts = view.placed.parts;
    if (!view.run.joins) return parts;
    parts.resize(view.run.parts.size() + 1);
    parts.back().branch = true;
    return parts;
  }

  bool add_legs(Member& m) {
    const auto parts = own_parts(m);
    if (const auto& joins = runs_[m.run].run.joins) {
      const Member& host = member(joins->run);
      const auto tee = host.tees.find(static_cast<std::size_t>(joins->behind_part));
      const auto number = static_cast<std::size_t>(std::distance(host.tees.begin(), tee));
      legs_[m.legs.back()].into = host.legs[number + 1];
    }
    std::size_t from = 0, k = 0;
    for (const auto tee : m.tees) {
      if (!add_leg(m, k, std::span(parts).subspan(from, tee + 1 - from), from)) return false;
      from = tee + 1;
      ++k;
    }
    return add_leg(m, k, std::span(parts).subspan(from), from);
  }

  // False where water would have to stop at a vented loop with tees before and behind it.
  bool add_leg(const Member& m, std::size_t k, std::span<const rules::PlacedPart> parts, std::size_t from) {
    Leg& leg = legs_[m.legs[k]];
    std::optional<std::size_t> vent;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      if (parts[i].stock->vented) vent = i + 1;
      if (parts[i].stock->kind == PartKind::NonReturn) leg.one_way = true;
      if (parts[i].stock->kind == PartKind::Pump && !drawn()) add_pump(leg, parts[i]);
    }
    const bool last = !leg.into;
    if (k == 0) add_source(leg, m.run);
    if (vent && last && !drawn()) {
      parts = parts.first(*vent);
      end_height_ = sea_height(runs_[m.run].profile[from + *vent], 0, facts(m.run));
    } else if (vent && !drawn()) {
      if (k > 0) return false;
      leg.source = hydraulics::Source{Millimetre(0), LitrePerMinute(alone(m.run).lpm)};
      leg.pump.reset();
      parts = parts.subspan(*vent);
    }
    if (k > 0) leg.pipe.stretches.push_back(outlet_of(runs_[m.run].placed.parts[from - 1]));
    const auto own = pipeline_of(parts, shop_.stock);
    leg.pipe.stretches.insert(leg.pipe.stretches.end(), own.stretches.begin(), own.stretches.end());
    return true;
  }

  // The bore that the common hose starts from; the tee's loss is counted where water comes in.
  static hydraulics::Stretch outlet_of(const rules::PlacedPart& tee) {
    hydraulics::Stretch s;
    s.name = tee.stock->choice.label;
    s.bore = Millimetre(tee.bore_mm);
    return s;
  }

  static void add_pump(Leg& leg, const rules::PlacedPart& part) {
    if (auto curve = hydraulics::PumpCurve::parse(part.curve)) leg.pump = std::move(*curve);
  }

  // A run that brings nothing by itself brings nothing here either.
  void add_source(Leg& leg, std::size_t run) {
    const FlowCase f = facts(run);
    leg.source.emplace();
    if (drawn()) {
      const auto* service = shop_.stock.service(places_[run].service);
      leg.source->given = LitrePerMinute(service == nullptr ? 0 : -service->flow_to_lpm);
      return;
    }
    const bool pumped = pump_of(runs_[run]) != nullptr;
    const double depth = pumped ? 0 : runs_[run].run.basin_depth_mm.value_or(0);
    leg.source->head = Millimetre(sea_height(runs_[run].profile.front(), depth, f));
    if (!alone(run).flows()) leg.source->given = LitrePerMinute(0);
  }

  // Heads are counted from where the last leg ends: the opening, the sea over it, or a vented loop.
  void count_from_the_end() {
    const auto last = members_.front().run;
    const double end =
        drawn() ? 0
                : end_height_.value_or(std::max(0.0, sea_height(runs_[last].profile.back(), 0, facts(last))));
    for (auto& leg : legs_)
      if (leg.source) leg.source->head = leg.source->head - Millimetre(end);
  }

  const std::vector<RunView>& runs_;
  const std::vector<RunPlace>& places_;
  const RunWorkshop& shop_;
  double heel_deg_;
  std::vector<Member> members_;
  std::vector<Leg> legs_;
  std::optional<double> end_height_;
};

std::string text_of(const TogetherView& t, const hydraulics::LegFlow& flow, const FlowView& alone,
                    const std::string& others, bool drawn) {
  if (drawn)
    return fmt::format("While {} draws too, {} mm of head are needed instead of {}.", others,
                       print_number(t.needed_mm, 0), print_number(alone.needed_mm, 0));
  if (flow.shut)
    return fmt::format(
        "While {} runs too, nothing gets out of this one: the water in the tee stands too high.", others);
  if (t.lpm < -0.05)
    return fmt::format("While {} runs too, water is pushed back up into this fixture: {} L/min.", others,
                       print_number(-t.lpm, 1));
  const std::string instead =
      alone.flows() ? fmt::format(" instead of {}", print_number(alone.lpm, 1)) : std::string();
  return fmt::format("While {} runs too: {} L/min ({} to {}){}, {} L/min at the opening.", others,
                     print_number(t.lpm, 1), print_number(t.low_lpm, 1), print_number(t.high_lpm, 1), instead,
                     print_number(t.opening_lpm, 1));
}

TogetherView not_worked_out(const std::string& others, const std::string& why) {
  TogetherView t;
  t.worked_out = false;
  t.text = fmt::format("What flows while {} runs too is not worked out: {}.", others, why);
  return t;
}

void flow_together(std::vector<RunView>& runs, const std::vector<RunPlace>& places, const RunWorkshop& shop,
                   const Group& group, bool heeled) {
  const auto alone = [&](std::size_t i) -> const FlowView& {
    return heeled ? runs[i].heeled : runs[i].at_rest;
  };
  if (std::none_of(group.begin(), group.end(), [&](std::size_t i) { return alone(i).flows(); })) return;
  const double heel = heeled ? runs[group.front()].heel_deg : 0;
  Network network(runs, places, shop, group, heel);
  std::string why = network.build();
  Result<std::vector<hydraulics::LegFlow>> solved;
  if (why.empty() && !(solved = hydraulics::solve(network.legs()))) why = lower(solved.error().what);
  for (const auto i : group) {
    auto& into = heeled ? runs[i].together_heeled : runs[i].together_at_rest;
    if (!why.empty()) {
      into = not_worked_out(network.others(i), why.ends_with('.') ? why.substr(0, why.size() - 1) : why);
      continue;
    }
    const auto leg = network.first_leg(i);
    const auto& flow = (*solved)[leg];
    const auto range = hydraulics::range_of(
        network.legs(), *solved, leg,
        {Millimetre(std::sqrt(2.0) * shop.tables.threshold("zone.height.u95").value), kPumpDoubt});
    TogetherView t;
    t.lpm = std::abs(flow.flow.value()) * (network.drawn() || flow.flow.value() >= 0 ? 1 : -1);
    const bool given = network.legs()[leg].source->given.has_value();
    t.low_lpm = given ? alone(i).low_lpm : std::max(range.low.value(), std::min(t.lpm, 0.0));
    t.high_lpm = given ? alone(i).high_lpm : range.high.value();
    t.opening_lpm = std::abs((*solved)[network.last_leg()].flow.value());
    t.needed_mm = network.drawn() ? network.start_height(i) - flow.head_in.value() : 0;
    t.text = text_of(t, flow, alone(i), network.others(i), network.drawn());
    into = t;
  }
}

void watch_what_is_pushed_back(RunView& run) {
  using rules::Standing;
  if (run.standing != Standing::Good && run.standing != Standing::NotKnownYet) return;
  for (const auto* together : {&run.together_at_rest, &run.together_heeled}) {
    if (!*together || (*together)->lpm > -0.05) continue;
    run.standing = Standing::Watch;
    run.headline = (*together)->text;
    return;
  }
}

}  // namespace

void join_flows(std::vector<RunView>& runs, const std::vector<RunPlace>& places, const RunWorkshop& shop) {
  for (const auto& group : groups(runs)) {
    flow_together(runs, places, shop, group, false);
    if (runs[group.front()].heel_deg > 0) flow_together(runs, places, shop, group, true);
    for (const auto i : group) watch_what_is_pushed_back(runs[i]);
  }
}

}  // namespace spile::app
