// Of several circles seen about one opening, the one that is its near rim.
#pragma once

#include <vector>

#include "vision/rim.hpp"

namespace spile::vision {

// Whether a fitted circle is clear and round enough to be the rim of something, and not a stain or a shadow.
[[nodiscard]] bool is_rim(const FineRim& rim);

// How well a rim speaks for itself: much of it seen, contrast, little scatter, round. Larger is clearer.
[[nodiscard]] double clearness(const FineRim& rim);

// One rim for each opening. Seen through the bore, the far rim and the borders of layers are circles too:
// smaller, and shifted towards the foot of the camera exactly as far as their size tells. Rings on the hull
// (old bedding, sealant) are larger and about the same centre.
enum class RimRule {
  NearRim,
  NearRimAnyTilt,  // the camera's foot is not known: how far a far rim is shifted tells nothing
  Outermost        // of a disc, whose relief shows circles within its edge
};
[[nodiscard]] std::vector<FineRim> one_rim_each(std::vector<FineRim> rims, const RimPlace& place,
                                                RimRule rule);

}  // namespace spile::vision
