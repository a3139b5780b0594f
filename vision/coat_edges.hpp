// Both edges of a thin bright coat at once: gelcoat is a few pixels wide, so its edges blur into one another,
// and often brighter than white, so that what shows of it is cut off; for this folder only.
#pragma once

#include <optional>

#include "vision/edge_profile.hpp"

namespace spile::vision {

struct CoatEdges {
  double outer = 0, inner = 0;      // t of the edges, outer < inner
  double u_outer = 0, u_inner = 0;  // standard uncertainties every profile of this coat shares: of its
                                    // brightness and the blur
};

// The coat expected from `outer` to `inner` along the profile, pixels, with less light on both sides of it.
// `blur_px`: the lens's, good to a sixth. Nothing where the fit does not hold.
[[nodiscard]] std::optional<CoatEdges> fit_coat_edges(const Profile& profile, double outer, double inner,
                                                      double blur_px);

}  // namespace spile::vision
