// What a comparison lets one do with its two photos: find a point of one in the other, see the earlier one as
// the later one's camera would have seen it, measure along a course drawn by hand, and draw what has changed.
// Pixels are upright, origin at the top-left pixel's centre; lengths are mm on the hull.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/compare.hpp"

namespace spile::vision {

// The same point of the hull in the other photo; nothing where the two are not aligned, or the point is above
// the hull's horizon.
[[nodiscard]] std::optional<PixelPoint> in_other(const Comparison& comparison, Season of,
                                                 const PixelPoint& point);

// The earlier photo drawn into the later one's pixels, grey where it shows nothing. The comparison must be
// aligned.
[[nodiscard]] Picture as_seen_later(const Picture& earlier, const Picture& later,
                                    const Comparison& comparison);

struct TracedLength {
  double length_mm = 0, u95_mm = 0;
  std::vector<model::BudgetTerm> budget;  // standard uncertainties, mm, largest first
  std::string reference_kind;             // card, disc, rule, square, points
  std::vector<PixelPoint> reference_outline;
  std::string lens;  // "assumed" or "calibrated 2026-04-12"
};

// Along two or more points that a person placed on a photo, each with the standard uncertainty `placed_px` in
// that photo's pixels, independently in x and y. Uncertainty by the law of propagation (JCGM 100:2008,
// 5.1.2), and what the course does between the points. Nothing where that photo's reference was not found.
[[nodiscard]] std::optional<TracedLength> traced_length(const Comparison& comparison, Season on,
                                                        const std::vector<PixelPoint>& points,
                                                        double placed_px);

// Both photos square on to the hull at one scale, side by side, with what has changed outlined, named and
// sized: PNG bytes. Refused: as they are, with the reason.
[[nodiscard]] Result<std::vector<std::uint8_t>> annotate(const Picture& earlier, const Picture& later,
                                                         const Comparison& comparison);

}  // namespace spile::vision
