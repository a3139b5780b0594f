#include <algorithm>

#include "app/run_view.hpp"

namespace spile::app {

namespace {

using units::Millimetre;

// A tape along a hose that bends (common practice).
constexpr double kLengthShare = 0.05;
constexpr double kLengthLeast = 20;  // mm

hydraulics::Stretch stretch(const rules::PlacedPart& part, const rules::Stock& stock) {
  hydraulics::Stretch s;
  s.name = part.stock->choice.label;
  s.bore = Millimetre(part.bore_mm);
  s.bore_u95 = Millimetre(part.bore_u95_mm);
  s.length = Millimetre(part.length_mm);
  if (part.stock->kind == rules::PartKind::Hose)
    s.length_u95 = Millimetre(std::max(kLengthLeast, kLengthShare * part.length_mm));
  const auto& own = stock.loss(part.branch ? "tee-branch" : part.stock->loss);
  const auto& bend = stock.loss("bend-90");
  const double own_k = own.at(part.bore_mm), bends_k = part.bends * bend.at(part.bore_mm);
  s.losses = own_k + bends_k;
  s.losses_u95 = own.spread * own_k + bend.spread * bends_k;
  s.rough = Millimetre(part.stock->rough_mm);
  s.rough_least = Millimetre(part.stock->rough_least_mm);
  s.rough_most = Millimetre(part.stock->rough_most_mm);
  return s;
}

}  // namespace

hydraulics::Pipeline pipeline_of(std::span<const rules::PlacedPart> parts, const rules::Stock& stock,
                                 bool from_the_sea) {
  hydraulics::Pipeline pipeline;
  for (const auto& part : parts) pipeline.stretches.push_back(stretch(part, stock));
  if (from_the_sea) std::reverse(pipeline.stretches.begin(), pipeline.stretches.end());
  return pipeline;
}

}  // namespace spile::app
