#include "vision/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/hole.hpp"
#include "vision/hull_changes.hpp"
#include "vision/hull_match.hpp"
#include "vision/reference_search.hpp"

namespace spile::vision {
namespace {

constexpr double kFinestCellMm = 0.18, kCoarsestCellMm = 0.5;

Refusal of_photo(const char* which, Refusal refusal) {
  refusal.reason = fmt::format("In the {} photo: {}", which, refusal.reason);
  return refusal;
}

Expected<HullPhoto> prepared(const Picture::Pixels& pixels, const ReferenceRequest& asked, const char* which,
                             const StopAsked& stop) {
  Request request;
  request.reference = asked;
  auto found = search_reference(pixels, request, stop);
  if (!found) return tl::unexpected(of_photo(which, found.error()));
  FoundReference settled = found->reference;
  const auto holes = measure_holes(Scene{pixels, request, found->reference, stop}, settled);
  if (!holes) return tl::unexpected(of_photo(which, holes.error()));
  HullPhoto out{pixels, std::move(settled), {}};
  for (const Hole& hole : *holes) {
    const auto mm = out.reference.plane.mm_from_px(point(hole.centre_px), out.reference.hull_z());
    if (mm) out.openings.push_back({*mm, hole.diameter_mm});
  }
  return out;
}

// The sharper view softened to the other's resolution: what only one could show is no change.
void made_equally_sharp(HullView& view, double own_mm, double other_mm) {
  if (own_mm >= other_mm) return;
  const double sigma = std::sqrt(other_mm * other_mm - own_mm * own_mm) / view.grid.cell_mm;
  if (sigma > 0.3) cv::GaussianBlur(view.log_light, view.log_light, cv::Size(), sigma);
}

double mm_per_px(const HullPhoto& photo, const PlaneFromGrid& plane_from_grid) {
  return photo.reference.plane.mm_per_px(px_of(photo.reference, plane_from_grid, Point2::Zero()),
                                         photo.reference.hull_z());
}

double blur_mm(const HullPhoto& photo, const PlaneFromGrid& plane_from_grid) {
  return mm_per_px(photo, plane_from_grid) * std::max(0.5, photo.reference.blur_px);
}

Change told(const HullChange& found, const HullPhoto& earlier, const HullPhoto& later,
            const HullMatch& match) {
  Change out;
  out.kind = found.kind;
  Point2 middle = Point2::Zero();
  for (const Point2& p : found.points) {
    out.outline_px.push_back(pixel(px_of(later.reference, match.later_from_grid, p)));
    out.earlier_px.push_back(pixel(px_of(earlier.reference, match.earlier_from_grid, p)));
    middle += p / static_cast<double>(found.points.size());
  }
  out.centre_px = pixel(px_of(later.reference, match.later_from_grid, middle));
  const auto scale = [&](const Plane& plane, double z) {
    return plane.mm_per_px(px_of(later.reference, match.later_from_grid, middle), z);
  };
  double relative2 = 0;
  for (const LengthTerm& term : reference_terms(later.reference, scale)) {
    const double rel = term.u / mm_per_px(later, match.later_from_grid);
    relative2 += rel * rel;
  }
  const bool line = found.kind == "crack";
  const double u_scale = (line ? 1 : 2) * std::sqrt(relative2) * found.size;
  out.u95 = 1.96 * std::hypot(found.u_size, u_scale);
  (line ? out.length_mm : out.area_mm2) = found.size;
  if (!line && found.earlier_size > 0) out.earlier_area_mm2 = found.earlier_size;
  return out;
}

std::array<PixelPoint, 4> corners_of(const HullPhoto& photo, const PlaneFromGrid& plane_from_grid) {
  std::array<PixelPoint, 4> out;
  const std::array<Point2, 4> mm{Point2(-kHullReachMm, kHullReachMm), Point2(kHullReachMm, kHullReachMm),
                                 Point2(kHullReachMm, -kHullReachMm), Point2(-kHullReachMm, -kHullReachMm)};
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = pixel(px_of(photo.reference, plane_from_grid, mm[i]));
  return out;
}

void compared(const Picture& earlier_picture, const Picture& later_picture, const CompareRequest& request,
              const StopAsked& stop, Comparison& out) {
  const auto earlier = prepared(earlier_picture.pixels(), request.earlier_reference, "earlier", stop);
  if (!earlier) return void(out.refused = earlier.error());
  const auto later = prepared(later_picture.pixels(), request.later_reference, "later", stop);
  if (!later) return void(out.refused = later.error());
  const auto match = match_hulls(*earlier, *later, stop);
  if (!match) return void(out.refused = match.error());
  out.aligned = true;
  const double later_mm = mm_per_px(*later, match->later_from_grid);
  out.residual_px = match->residual_mm / later_mm;
  out.earlier_corners = corners_of(*earlier, match->earlier_from_grid);
  out.later_corners = corners_of(*later, match->later_from_grid);
  const double cell = std::clamp(std::max(later_mm, mm_per_px(*earlier, match->earlier_from_grid)),
                                 kFinestCellMm, kCoarsestCellMm);
  const HullGrid grid = HullGrid::about_opening(cell);
  HullPair pair{hull_view(earlier->pixels, earlier->reference, match->earlier_from_grid, grid),
                hull_view(later->pixels, later->reference, match->later_from_grid, grid), match->radius_mm,
                match->residual_mm};
  const double before = blur_mm(*earlier, match->earlier_from_grid),
               after = blur_mm(*later, match->later_from_grid);
  made_equally_sharp(pair.earlier, before, after);
  made_equally_sharp(pair.later, after, before);
  if (stop && stop()) return;
  const auto patches = changed_patches(pair);
  auto found = without_edges_of(patches, new_cracks(pair));
  found.insert(found.end(), patches.begin(), patches.end());
  for (const HullChange& change : found) out.changes.push_back(told(change, *earlier, *later, *match));
}

}  // namespace

Comparison compare(const Picture& earlier, const Picture& later, const CompareRequest& request,
                   const StopAsked& stop) {
  Comparison out;
  try {
    compared(earlier, later, request, stop, out);
    if (!stop || !stop()) return out;
    out = {};
    out.refused = Refusal{"cancelled", "Stopped before it was finished."};
  } catch (const std::exception& trouble) {
    out = {};
    out.refused =
        Refusal{"unreadable", fmt::format("The two photos could not be worked on ({}). Close other programs "
                                          "to free memory and compare them again.",
                                          trouble.what())};
  }
  return out;
}

}  // namespace spile::vision
