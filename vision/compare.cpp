#include "vision/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <future>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/camera_profile.hpp"
#include "vision/hole.hpp"
#include "vision/hull_changes.hpp"
#include "vision/hull_match.hpp"
#include "vision/laid.hpp"
#include "vision/reference_search.hpp"

namespace spile::vision {
namespace {

constexpr double kSearchCellMm = 0.36;  // changes are looked for on these, or on coarser ones
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

class Stages {
 public:
  Stages(const StopAsked& stop, const StageTold& told) : stop_(stop), told_(told) {}
  // True: stop.
  bool next(const char* stage) {
    constexpr int kAll = 3;
    if (told_) told_(stage, done_++, kAll);
    return stop_ && stop_();
  }

 private:
  const StopAsked& stop_;
  const StageTold& told_;
  int done_ = 0;
};

using Prepared = Expected<HullPhoto>;

// Each on its own core, where there are two.
std::pair<Prepared, Prepared> both_prepared(const Picture& earlier, const Picture& later,
                                            const CompareRequest& request, const StopAsked& stop) {
  auto other = std::async(std::launch::async, [&] {
    return prepared(earlier.pixels(), request.earlier_reference, "earlier", stop);
  });
  Prepared mine = prepared(later.pixels(), request.later_reference, "later", stop);
  return {other.get(), std::move(mine)};
}

HullPair pair_on(const HullGrid& grid, const HullPhoto& earlier, const HullPhoto& later,
                 const HullMatch& match) {
  HullPair pair{hull_view(earlier.pixels, earlier.reference, match.earlier_from_grid, grid),
                hull_view(later.pixels, later.reference, match.later_from_grid, grid), match.radius_mm,
                match.residual_mm};
  const double before = blur_mm(earlier, match.earlier_from_grid),
               after = blur_mm(later, match.later_from_grid);
  made_equally_sharp(pair.earlier, before, after);
  made_equally_sharp(pair.later, after, before);
  return pair;
}

std::vector<HullChange> changes_between(const HullPhoto& earlier, const HullPhoto& later,
                                        const HullMatch& match, double pixel_mm) {
  const double cell = std::clamp(pixel_mm, kSearchCellMm, kCoarsestCellMm),
               fine_cell = std::clamp(pixel_mm, kFinestCellMm, kCoarsestCellMm);
  const HullGrid grid = HullGrid::about_opening(cell);
  const HullPair pair = pair_on(grid, earlier, later, match);
  const auto fine = [&](const cv::Rect& cells, double margin_mm) {
    return pair_on(grid.part(cells, margin_mm, fine_cell), earlier, later, match);
  };
  auto lines = std::async(std::launch::async, [&] { return new_cracks(pair, fine); });
  const auto patches = changed_patches(pair);
  auto found = without_edges_of(patches, lines.get());
  found.insert(found.end(), patches.begin(), patches.end());
  return found;
}

void compared(const Picture& earlier_picture, const Picture& later_picture, const CompareRequest& request,
              const StopAsked& stop, Stages& stages, Comparison& out) {
  auto laid = std::make_shared<Comparison::Laid>();
  laid->earlier_lens = lens_words(earlier_picture.info());
  laid->later_lens = lens_words(later_picture.info());
  out.laid = laid;
  if (stages.next("Finding reference and opening in both photos")) return;
  const auto [earlier, later] = both_prepared(earlier_picture, later_picture, request, stop);
  if (earlier) laid->earlier = earlier->reference;
  if (later) laid->later = later->reference;
  if (!earlier) return void(out.refused = earlier.error());
  if (!later) return void(out.refused = later.error());
  if (stages.next("Laying the two photos on one another")) return;
  const auto match = match_hulls(*earlier, *later, stop);
  if (!match) return void(out.refused = match.error());
  laid->match = *match;
  out.aligned = true;
  out.earlier_mm_per_px = mm_per_px(*earlier, match->earlier_from_grid);
  out.later_mm_per_px = mm_per_px(*later, match->later_from_grid);
  out.residual_px = match->residual_mm / out.later_mm_per_px;
  if (stages.next("Looking for what has changed")) return;
  const double pixel_mm = std::max(out.later_mm_per_px, out.earlier_mm_per_px);
  for (const HullChange& change : changes_between(*earlier, *later, *match, pixel_mm))
    out.changes.push_back(told(change, *earlier, *later, *match));
}

}  // namespace

Comparison compare(const Picture& earlier, const Picture& later, const CompareRequest& request,
                   const StopAsked& stop, const StageTold& told) {
  Comparison out;
  try {
    Stages stages(stop, told);
    compared(earlier, later, request, stop, stages, out);
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
