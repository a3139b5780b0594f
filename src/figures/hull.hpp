// The vessel seen from above, from the side and in section, with her openings marked by shape, word and
// colour. The hull is drawn from length, beam, draught and freeboard alone: a map for finding openings, not
// her lines.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "figures/figure.hpp"
#include "model/opening.hpp"
#include "model/vessel.hpp"
#include "rules/verdict.hpp"

namespace spile::figures {

// One opening on the drawing; positions as in model::Opening, absent where nobody has recorded them.
struct OpeningMark {
  std::string tag;
  model::Side side = model::Side::Port;
  std::optional<double> from_bow_mm, height_mm, half_breadth_mm;
  rules::Standing standing = rules::Standing::NotKnownYet;
};

// Bow to the right, port up. Openings without a distance from the bow are named under the drawing.
[[nodiscard]] Figure hull_plan(const model::Vessel& vessel, std::span<const OpeningMark> openings,
                               double width_mm);

// Starboard side, bow to the right, with the waterline at rest and, where she sinks deeper laden, that one
// too. Openings without a distance from the bow or a height are named under the drawing.
[[nodiscard]] Figure hull_profile(const model::Vessel& vessel, std::span<const OpeningMark> openings,
                                  double width_mm);

// Looking forward at the widest section, port on the left, with the waterline at rest and at `heel_deg` to
// either side. Openings without a height are named under the drawing.
[[nodiscard]] Figure hull_section(const model::Vessel& vessel, std::span<const OpeningMark> openings,
                                  std::optional<double> heel_deg, double width_mm);

// Shape, word and meaning of every standing that occurs, in one or two rows.
[[nodiscard]] Figure standing_legend(std::span<const OpeningMark> openings, double width_mm);

}  // namespace spile::figures
