// Where beside the reference the cut face of a laminate lies, and how its layers read in windows along it;
// for this folder only.
#pragma once

#include <optional>

#include "vision/edge_report.hpp"

namespace spile::vision {

// The camera in the band's own frame: along both axes and above the plane, mm.
[[nodiscard]] Point3 eye_in_band(const Plane& plane, const Band& band);

// Nothing where no cut face is seen, or when asked to stop.
[[nodiscard]] std::optional<FoundFace> find_face(const Scene& scene);

}  // namespace spile::vision
