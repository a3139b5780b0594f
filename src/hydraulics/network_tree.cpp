#include "hydraulics/network_tree.hpp"

#include <algorithm>
#include <cmath>

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;
using units::Millimetre;

constexpr double kStart = 10;   // L/min, to begin with
constexpr double kShut = 1e11;  // mm for each L/min through a valve that is shut: less than a drop in a year
constexpr double kLeastSlope = 1e-6;  // mm for each L/min; without friction nothing holds a flow near zero
constexpr double kClosed = 1e-11;     // of the largest head; the balance closes to this
constexpr double kGoodEnough = 1e-9;  // where rounding lets it come no closer
constexpr int kRounds = 200, kHalvings = 60;

double size(const std::vector<double>& v) {
  double most = 0;
  for (const double x : v) most = std::max(most, std::abs(x));
  return most;
}

}  // namespace

BothWays::BothWays(const Leg& leg, const Pipeline& pipe)
    : ahead(pipe), back(pipe), leaves_ahead(!leg.into), leaves_back(leg.source.has_value()) {
  std::reverse(back.stretches.begin(), back.stretches.end());
  if (!leg.source) ahead.entrance = 0;
  if (leg.into) back.entrance = 0;
}

double BothWays::lost(double flow) const {
  const bool forward = flow >= 0;
  const Flowing at = at_flow(forward ? ahead : back, LitrePerMinute(std::abs(flow)));
  const bool leaves = forward ? leaves_ahead : leaves_back;
  const double head = (leaves ? at.lost() : at.lost() - at.exit).value();
  return forward ? head : -head;
}

Tree::Tree(const std::vector<Leg>& legs) : legs_(legs), shut_(legs.size()), flow_(legs.size()) {
  for (std::size_t i = 0; i < legs.size(); ++i) {
    ways_.emplace_back(legs[i], legs[i].pipe);
    scale_ = std::max({scale_, std::abs(drive(i)), legs[i].pump ? legs[i].pump->shut_off().value() : 0});
  }
}

bool Tree::put_in_order() {
  std::vector<std::size_t> feeders(legs_.size());
  for (const auto& leg : legs_)
    if (leg.into) ++feeders[*leg.into];
  for (std::size_t i = 0; i < legs_.size(); ++i)
    if (feeders[i] == 0) order_.push_back(i);
  for (std::size_t k = 0; k < order_.size(); ++k)
    if (const auto into = legs_[order_[k]].into; into && --feeders[*into] == 0) order_.push_back(*into);
  return order_.size() == legs_.size();
}

bool Tree::balance() {
  for (std::size_t round = 0; round <= legs_.size(); ++round) {
    if (!settle()) return false;
    if (!shut_what_runs_back()) return true;
  }
  return false;
}

std::vector<LegFlow> Tree::answer() const {
  std::vector<LegFlow> all(legs_.size());
  for (auto it = order_.rbegin(); it != order_.rend(); ++it) {
    const std::size_t i = *it;
    LegFlow& leg = all[i];
    leg.shut = shut_[i];
    leg.flow = LitrePerMinute(leg.shut ? 0 : flow_[i]);
    leg.head_out = legs_[i].into ? all[*legs_[i].into].head_in : Millimetre(0);
    leg.pump_head = legs_[i].pump ? legs_[i].pump->head_at(leg.flow) : Millimetre(0);
    leg.lost = Millimetre(cost(i, flow_[i])) + leg.pump_head;
    leg.head_in =
        legs_[i].source && !given(i) ? legs_[i].source->head : leg.head_out + leg.lost - leg.pump_head;
  }
  return all;
}

void Tree::take(const std::vector<LegFlow>& solved) {
  for (std::size_t i = 0; i < solved.size(); ++i) {
    flow_[i] = solved[i].flow.value();
    shut_[i] = solved[i].shut;
  }
}

double Tree::change(std::size_t watched, std::size_t leg, double more) const {
  Each costs = costs_at(flow_);
  costs[leg] += more;
  return step(costs)[watched] - flow_[watched];
}

bool Tree::given(std::size_t leg) const {
  return legs_[leg].source && legs_[leg].source->given;
}

double Tree::drive(std::size_t leg) const {
  return legs_[leg].source && !given(leg) ? legs_[leg].source->head.value() : 0;
}

double Tree::cost(std::size_t leg, double flow) const {
  if (shut_[leg]) return kShut * flow;
  const auto& pump = legs_[leg].pump;
  return ways_[leg].lost(flow) - (pump ? pump->head_at(LitrePerMinute(flow)).value() : 0);
}

double Tree::slope(std::size_t leg) const {
  if (given(leg)) return 0;
  const double q = flow_[leg], h = 1e-5 * std::max(std::abs(q), 0.1);
  return std::max((cost(leg, q + h) - cost(leg, q - h)) / (2 * h), kLeastSlope);
}

Tree::Each Tree::costs_at(const Each& flows) const {
  Each costs(legs_.size());
  for (std::size_t i = 0; i < legs_.size(); ++i) costs[i] = cost(i, flows[i]);
  return costs;
}

// By how much each free source drives more than is lost on the way out.
Tree::Each Tree::surplus(const Each& costs) const {
  Each head_in(legs_.size()), over(legs_.size());
  for (auto it = order_.rbegin(); it != order_.rend(); ++it) {
    const std::size_t i = *it;
    head_in[i] = (legs_[i].into ? head_in[*legs_[i].into] : 0) + costs[i];
    if (legs_[i].source && !given(i)) over[i] = drive(i) - head_in[i];
  }
  return over;
}

// The answer if every cost went straight: each subtree brings a - b times the head it flows against.
Tree::Each Tree::step(const Each& costs) const {
  const std::size_t n = legs_.size();
  Each a(n), b(n), brings(n), yields(n), slopes(n), flows(n), head_in(n);
  for (const std::size_t i : order_) {
    slopes[i] = slope(i);
    if (given(i)) {
      a[i] = flow_[i];
    } else if (legs_[i].source) {
      a[i] = flow_[i] + (drive(i) - costs[i]) / slopes[i];
      b[i] = 1 / slopes[i];
    } else {
      const double whole = 1 + yields[i] * slopes[i];
      a[i] = (brings[i] - yields[i] * (costs[i] - slopes[i] * flow_[i])) / whole;
      b[i] = yields[i] / whole;
    }
    if (!legs_[i].into) continue;
    brings[*legs_[i].into] += a[i];
    yields[*legs_[i].into] += b[i];
  }
  for (auto it = order_.rbegin(); it != order_.rend(); ++it) {
    const std::size_t i = *it;
    const double out = legs_[i].into ? head_in[*legs_[i].into] : 0;
    flows[i] = a[i] - b[i] * out;
    head_in[i] = out + costs[i] + slopes[i] * (flows[i] - flow_[i]);
  }
  return flows;
}

void Tree::start() {
  std::fill(flow_.begin(), flow_.end(), 0);
  for (const std::size_t i : order_) {
    if (given(i)) {
      flow_[i] = legs_[i].source->given->value();
    } else if (legs_[i].source) {
      flow_[i] = shut_[i] ? 0 : kStart;
    }
    if (legs_[i].into) flow_[*legs_[i].into] += flow_[i];
  }
}

bool Tree::settle() {
  start();
  Each costs = costs_at(flow_), over = surplus(costs);
  for (int round = 0; round < kRounds && size(over) > kClosed * scale_; ++round) {
    Each way = step(costs);
    for (std::size_t i = 0; i < way.size(); ++i) way[i] -= flow_[i];
    if (!go(way, costs, over)) break;
  }
  return size(over) <= kGoodEnough * scale_;
}

// As far along `way` as leaves clearly less surplus, or as has not yet passed the least of the convex
// function.
bool Tree::go(const Each& way, Each& costs, Each& over) {
  double share = 1;
  for (int i = 0; i < kHalvings; ++i, share /= 2) {
    Each flows(flow_);
    for (std::size_t k = 0; k < flows.size(); ++k) flows[k] += share * way[k];
    Each new_costs = costs_at(flows), new_over = surplus(new_costs);
    double still = 0;
    for (std::size_t k = 0; k < way.size(); ++k) still += new_over[k] * way[k];
    if (size(new_over) > 0.95 * size(over) && still < 0) continue;
    if (flows == flow_) return false;
    flow_ = std::move(flows);
    costs = std::move(new_costs);
    over = std::move(new_over);
    return true;
  }
  return false;
}

// Shutting one only raises what stands against the others, so none of them opens again.
bool Tree::shut_what_runs_back() {
  bool any = false;
  for (std::size_t i = 0; i < legs_.size(); ++i) {
    if (!(legs_[i].one_way || legs_[i].pump) || shut_[i] || flow_[i] >= 0) continue;
    shut_[i] = any = true;
  }
  return any;
}

}  // namespace spile::hydraulics
