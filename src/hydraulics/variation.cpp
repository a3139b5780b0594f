#include "hydraulics/variation.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace spile::hydraulics {

namespace {

using units::Millimetre;

constexpr double kLeastBore = 0.05;  // share of the stated bore; a doubt never closes the hose

template <class One, class Other>
Variation moved(const Pipeline& pipeline, std::size_t i, const char* what, const One& one,
                const Other& other) {
  Variation v{fmt::format("{} of {}", what, pipeline.stretches[i].name), pipeline, pipeline};
  one(v.one.stretches[i]);
  other(v.other.stretches[i]);
  return v;
}

void add_stretch(std::vector<Variation>& all, const Pipeline& pipeline, std::size_t i) {
  const Stretch& s = pipeline.stretches[i];
  const Millimetre none(0);
  const auto add = [&](const char* what, const auto& one, const auto& other) {
    all.push_back(moved(pipeline, i, what, one, other));
  };
  if (s.bore_u95 > none)
    add(
        "Bore", [](Stretch& p) { p.bore = std::max(p.bore - p.bore_u95, p.bore * kLeastBore); },
        [](Stretch& p) { p.bore = p.bore + p.bore_u95; });
  if (s.length_u95 > none)
    add(
        "Length", [](Stretch& p) { p.length = p.length + p.length_u95; },
        [none](Stretch& p) { p.length = std::max(p.length - p.length_u95, none); });
  if (s.losses_u95 > 0)
    add(
        "Loss", [](Stretch& p) { p.losses += p.losses_u95; },
        [](Stretch& p) { p.losses = std::max(p.losses - p.losses_u95, 0.0); });
  if (s.length > none && s.rough_most > s.rough_least)
    add(
        "Roughness", [](Stretch& p) { p.rough = p.rough_most; }, [](Stretch& p) { p.rough = p.rough_least; });
}

}  // namespace

std::vector<Variation> variations(const Pipeline& pipeline) {
  std::vector<Variation> all;
  for (std::size_t i = 0; i < pipeline.stretches.size(); ++i) add_stretch(all, pipeline, i);
  return all;
}

}  // namespace spile::hydraulics
