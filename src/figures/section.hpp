// One opening in her section at its station: the water at rest and as it stands when she heels toward it, the
// run inside, the fixture's rim and the loop that is to hold the sea off. Drawn upright, the heeled water
// tilted. The hull is shaped to pass through the opening, not to her lines. Lengths in mm of the boat unless
// they say paper; heights above the waterline at rest, distances from the centreline toward the opening's
// side.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "figures/figure.hpp"
#include "figures/water_figures.hpp"
#include "model/opening.hpp"
#include "model/vessel.hpp"
#include "rules/verdict.hpp"

namespace spile::figures {

// A mark of the drawing with what is said of it under it.
struct SectionMark {
  rules::Standing standing = rules::Standing::NotKnownYet;
  std::string text;  // "S-02: 180 mm under at rest, 792 mm under at 30 degrees"
};

struct OpeningSection {
  std::string tag;
  model::Side side = model::Side::Port;
  std::optional<double> from_bow;
  double height = 0, half_breadth = 0;
  double heel_deg = 0, sinkage = 0;
  SectionMark opening;
  std::vector<RunPoint> run;  // from the fixture to the opening; empty: none recorded
  std::optional<double> rim;  // of the fixture, over the first point of the run
  SectionMark at_rim;
  std::optional<std::size_t> loop;  // point of the run behind a vented loop
  SectionMark at_loop;
};

[[nodiscard]] Figure opening_section(const model::Vessel& vessel, const OpeningSection& section,
                                     double width_paper);

}  // namespace spile::figures
