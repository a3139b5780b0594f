#include "hydraulics/backflow.hpp"

#include <cassert>
#include <cmath>
#include <numbers>

namespace spile::hydraulics {

units::Millimetre above_sea(units::Millimetre height, units::Millimetre toward_low_side, units::Degree heel,
                            units::Millimetre sinkage) {
  const double angle = heel.value() * std::numbers::pi / 180;
  return height * std::cos(angle) - toward_low_side * std::sin(angle) - sinkage;
}

Backflow judge_backflow(const RunHeights& heights, const BackflowMargins& margins) {
  const units::Millimetre sea(0);
  assert(margins.rim >= sea && margins.loop >= sea && "margins are not negative");
  if (heights.outlet >= sea) return Backflow::OutletDry;
  if (heights.rim >= margins.rim) return Backflow::Clear;
  if (heights.rim >= sea) return Backflow::Close;
  if (heights.highest <= sea) return Backflow::RunsBack;
  if (!heights.vented) return Backflow::Siphons;
  return heights.highest >= margins.loop ? Backflow::HeldByLoop : Backflow::LoopTooLow;
}

bool dangerous(Backflow answer) {
  return answer == Backflow::LoopTooLow || answer == Backflow::Siphons || answer == Backflow::RunsBack;
}

}  // namespace spile::hydraulics
