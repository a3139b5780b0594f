#include "vision/edge.hpp"

#include <algorithm>
#include <cmath>

#include "vision/cut_face.hpp"
#include "vision/edge_by_hand.hpp"
#include "vision/edge_report.hpp"
#include "vision/face_points.hpp"
#include "vision/face_search.hpp"
#include "vision/face_sides.hpp"
#include "vision/thinnest.hpp"

namespace spile::vision {
namespace {

Expected<Edge> edge_by_itself(const Scene& scene) {
  const auto nothing = [] {
    return refuse(
        "nothing-found",
        "No cut edge of a laminate was found beside the reference. Lay the cut-out on its side, or the "
        "panel with its cut face up, close to the reference and level with it, or mark its two outer "
        "faces by hand.");
  };
  const auto found = find_face(scene);
  if (scene.stopped()) return refuse("cancelled", "Stopped before it was finished.");
  if (!found) return nothing();
  const Point3 eye = eye_in_band(scene.reference.plane, found->band);
  const auto points = boundary_points(scene, *found);
  auto face = fit_cut_face(points, found->windows.front().reading.stretches.size() + 1, eye);
  if (!face) return nothing();
  for (const bool first : {true, false}) settle_side(*found, *face, first, eye);
  return described(scene, *found, *face, thinnest_of(points, *face));
}

}  // namespace

Expected<Edge> measure_edge(const Scene& scene) {
  return scene.request.edge_by_hand.size() == 4 ? edge_by_hand(scene) : edge_by_itself(scene);
}

}  // namespace spile::vision
