#include "hydraulics/network.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "hydraulics/network_tree.hpp"
#include "hydraulics/variation.hpp"

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;

constexpr const char* kHowToJoin = "Let each run end in a tee of the next, and the last one in the hull.";

Result<void> check_ends(const std::vector<Leg>& legs) {
  std::size_t last = 0;
  std::vector<bool> fed(legs.size());
  for (const auto& leg : legs) {
    if (leg.into) fed[*leg.into] = true;
    last += leg.into ? 0 : 1;
  }
  for (std::size_t i = 0; i < legs.size(); ++i)
    if (legs[i].source.has_value() == fed[i])
      return fail(
          ErrorCode::BadInput,
          fmt::format("{} has {}.", legs[i].pipe.stretches.front().name,
                      fed[i] ? "a source of its own and others that join it" : "nothing that feeds it"),
          "Give where each run starts.");
  if (last > 1)
    return fail(ErrorCode::BadInput, "The runs that join do not leave by one opening.", kHowToJoin);
  return {};
}

Result<void> check_parts(const std::vector<Leg>& legs) {
  for (const auto& leg : legs) {
    if (auto ok = check(leg.pipe); !ok) return ok;
    if (leg.into && *leg.into >= legs.size())
      return fail(ErrorCode::BadInput, "A run joins another one that is not there.",
                  "Choose the run it joins.");
  }
  return {};
}

// Root sum of squares of how one flow moves, each figure's two ends apart.
struct Moves {
  double less = 0, more = 0;
  void note(double one, double other) {
    const auto [low, high] = std::minmax(one, other);
    less = std::hypot(less, std::min(low, 0.0));
    more = std::hypot(more, std::max(high, 0.0));
  }
};

}  // namespace

Result<std::vector<LegFlow>> solve(const std::vector<Leg>& legs) {
  if (auto ok = check_parts(legs); !ok) return tl::unexpected(std::move(ok.error()));
  Tree tree(legs);
  if (!tree.put_in_order()) return fail(ErrorCode::BadInput, "The tees go round in a loop.", kHowToJoin);
  if (auto ok = check_ends(legs); !ok) return tl::unexpected(std::move(ok.error()));
  if (!tree.balance())
    return fail(ErrorCode::Internal, "The flow in the joined runs did not settle.",
                "Please report it with the runs as they are.");
  return tree.answer();
}

LegRange range_of(const std::vector<Leg>& legs, const std::vector<LegFlow>& solved, std::size_t leg,
                  const DriveDoubt& doubt) {
  Tree tree(legs);
  [[maybe_unused]] const bool ordered = tree.put_in_order();
  tree.take(solved);
  Moves moves;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    if (solved[i].shut) continue;
    const double flow = solved[i].flow.value(), now = tree.lost(i), per_mm = tree.change(leg, i, 1);
    const auto costing = [&](const Pipeline& pipe) {
      return per_mm * (BothWays(legs[i], pipe).lost(flow) - now);
    };
    for (const auto& v : variations(legs[i].pipe)) moves.note(costing(v.one), costing(v.other));
    const double fall = legs[i].source && !legs[i].source->given ? doubt.fall_u95.value() : 0;
    const double pump = legs[i].pump ? doubt.pump_u95 * solved[i].pump_head.value() : 0;
    for (const double mm : {fall, pump}) moves.note(per_mm * mm, -per_mm * mm);
  }
  return {LitrePerMinute(solved[leg].flow.value() - moves.less),
          LitrePerMinute(solved[leg].flow.value() + moves.more)};
}

}  // namespace spile::hydraulics
