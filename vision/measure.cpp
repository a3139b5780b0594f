#include "vision/measure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <exception>
#include <functional>
#include <opencv2/core.hpp>
#include <utility>

#include "vision/camera_profile.hpp"
#include "vision/card.hpp"
#include "vision/disc.hpp"
#include "vision/disc_subject.hpp"
#include "vision/edge.hpp"
#include "vision/exposure.hpp"
#include "vision/fitting.hpp"
#include "vision/hole.hpp"
#include "vision/placing.hpp"
#include "vision/points.hpp"
#include "vision/reference.hpp"
#include "vision/reference_check.hpp"
#include "vision/reference_search.hpp"
#include "vision/rule.hpp"
#include "vision/sharpness.hpp"
#include "vision/sheet.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

// Thrown nowhere, returned everywhere: the person asked to stop.
tl::unexpected<Refusal> cancelled() {
  return refuse("cancelled", "Stopped before it was finished.");
}

tl::unexpected<Refusal> no_reference() {
  return refuse(
      "no-reference",
      "Nothing of known size was found in this photo. Lay the printed card, a steel rule or a coin flat on "
      "the hull beside the opening and take the photo again, or mark two points a known distance apart.");
}

// The kinds that can be found by themselves, in the order of how well they hold the plane. A finder that does
// not see its kind answers "no-reference" and the next one looks; any other refusal is the answer.
Expected<FoundReference> search_any(const Picture::Pixels& pixels, const StopAsked& stop) {
  const std::array<std::function<Expected<FoundReference>()>, 2> finders{
      [&] { return find_card(pixels, CardReference{}, stop); },
      [&] { return find_rule(pixels, RuleReference{}, stop); },
  };
  for (const auto& find : finders) {
    auto found = find();
    if (found || found.error().code != "no-reference") return found;
  }
  if (auto disc = disc_of_unknown_size(pixels)) return tl::unexpected(*std::move(disc));
  return no_reference();
}

struct SearchOf {
  const Picture::Pixels& pixels;
  const Request& request;
  const StopAsked& stop;
  Expected<FoundReference> operator()(const AutoReference&) const { return search_any(pixels, stop); }
  Expected<FoundReference> operator()(const CardReference& card) const {
    return find_card(pixels, card, stop);
  }
  Expected<FoundReference> operator()(const RuleReference& rule) const {
    return find_rule(pixels, rule, stop);
  }
  Expected<FoundReference> operator()(const PointsReference& points) const {
    return place_points(pixels, points, placing_px(request, pixels.info));
  }
  Expected<FoundReference> operator()(const DiscReference& disc) const {
    return find_disc(pixels, disc, stop);
  }
  Expected<FoundReference> operator()(const SquareReference& sheet) const {
    return find_sheet(pixels, sheet, placing_px(request, pixels.info), stop);
  }
};

}  // namespace

// The reference asked for, and what was found of a second one.
Expected<ReferenceCheck> search_reference(const Picture::Pixels& pixels, const Request& request,
                                          const StopAsked& stop) {
  const SearchOf search{pixels, request, stop};
  auto found = std::visit(search, request.reference);
  if (!found) return tl::unexpected(found.error());
  if (!request.check) return ReferenceCheck{*std::move(found), {}};
  const auto second = std::visit(search, *request.check);
  if (second) return checked_against(*found, *second);
  found->warnings.push_back("The second reference could not be used as a check: " + second.error().reason);
  return ReferenceCheck{*std::move(found), {}};
}

namespace {

// A stretch of the hull, ruled every 10 mm, about a pixel.
std::vector<PixelPoint> grid_about(const FoundReference& found, const PixelPoint& where) {
  constexpr double kStep = 10, kReach = 50;
  const auto middle = found.plane.mm_from_px(point(where), found.hull_z());
  std::vector<PixelPoint> out;
  if (!middle) return out;
  const Point2 start(std::round(middle->x() / kStep) * kStep, std::round(middle->y() / kStep) * kStep);
  const auto add = [&](double x, double y) {
    out.push_back(pixel(found.plane.px_from_mm(Point3(start.x() + x, start.y() + y, found.hull_z()))));
  };
  for (double away = -kReach; away <= kReach; away += kStep) {
    add(away, -kReach);
    add(away, kReach);
    add(-kReach, away);
    add(kReach, away);
  }
  return out;
}

Reference described(const FoundReference& found, const PixelPoint& where) {
  Reference out;
  out.kind = found.kind;
  out.mm_per_px = found.plane.mm_per_px(point(where), found.hull_z());
  out.tilt_deg = found.plane.tilt_deg();
  const auto scale = [&](const Plane& plane, double z) { return plane.mm_per_px(point(where), z); };
  double variance = 0;
  for (const LengthTerm& term : reference_terms(found, scale)) variance += term.u * term.u;
  out.rel_u95 = out.mm_per_px > 0 ? 1.96 * std::sqrt(variance) / out.mm_per_px : 0;
  out.outline = found.outline;
  out.by_hand = found.by_hand;
  out.grid = grid_about(found, where);
  return out;
}

PixelPoint middle_of(const std::vector<PixelPoint>& outline) {
  PixelPoint sum;
  for (const PixelPoint& p : outline) sum = {sum.x + p.x, sum.y + p.y};
  const double n = outline.empty() ? 1 : static_cast<double>(outline.size());
  return {sum.x / n, sum.y / n};
}

// One value into its place in the report, with its budget when it is the first answered.
template <class T>
std::optional<Refusal> answer(Expected<T> found, std::optional<T>& place, Report& report) {
  if (!found) return std::move(found).error();
  if (report.budget.empty()) report.budget = found->budget;
  place = *std::move(found);
  return std::nullopt;
}

std::optional<Refusal> answer_holes(Expected<std::vector<Hole>> holes, Report& report) {
  if (!holes) return std::move(holes).error();
  report.holes = *std::move(holes);
  report.budget = report.holes.front().budget;
  return std::nullopt;
}

// A flange and its bore look like holes too: those that belong to the fitting are not reported as such.
void leave_out_of(std::vector<Hole>& holes, const FittingSeen& fitting) {
  const PixelPoint middle = middle_of(fitting.flange_outline), rim = fitting.flange_outline.front();
  const double radius = std::hypot(rim.x - middle.x, rim.y - middle.y);
  std::erase_if(holes, [&](const Hole& hole) {
    return std::hypot(hole.centre_px.x - middle.x, hole.centre_px.y - middle.y) < radius;
  });
}

// Nobody said what the photo shows. Holes are looked for first; a fitting shows as one or two of them, a cut
// edge as none.
std::optional<Refusal> measure_whatever(const Scene& scene, FoundReference& held, Report& report) {
  auto holes = measure_holes(scene, held);
  if (holes) {
    if (auto fitting = fitting_about(scene, *holes)) {
      leave_out_of(*holes, *fitting);
      (void)answer(Expected<FittingSeen>(*std::move(fitting)), report.fitting, report);
      report.holes = *std::move(holes);
      return std::nullopt;
    }
    return answer_holes(std::move(holes), report);
  }
  if (holes.error().code != "nothing-found") return holes.error();
  if (!answer(measure_fitting(scene), report.fitting, report)) return std::nullopt;
  if (!answer(measure_edge(scene), report.edge, report)) return std::nullopt;
  return holes.error();
}

// Fills the report with what the request asks for; a refusal when none of it could be measured.
std::optional<Refusal> measure_subject(const Scene& scene, FoundReference& held, Report& report) {
  const Request& request = scene.request;
  if (request.subject == Subject::Edge || !request.edge_by_hand.empty())
    return answer(measure_edge(scene), report.edge, report);
  if (request.subject == Subject::Fitting) return answer(measure_fitting(scene), report.fitting, report);
  const bool asked = !request.at.empty() || !request.rim_by_hand.empty();
  if (request.subject == Subject::Auto && !asked) return measure_whatever(scene, held, report);
  if (request.subject == Subject::Disc && request.rim_by_hand.empty())
    return answer_holes(measure_discs(scene, held), report);
  return answer_holes(measure_holes(scene, held), report);
}

constexpr double kLargestTiltDeg = 65;

Refusal too_blurred(double blur_px) {
  return {"too-blurred", fmt::format("The photo is blurred over about {:.0f} pixels, too much to measure in. "
                                     "Hold the camera still, let it "
                                     "focus on the hull, and take the photo again in better light.",
                                     2 * blur_px)};
}

// What the reference's own edges say of the photo.
std::optional<Refusal> unfit(const FoundReference& found, const Picture::Pixels& pixels) {
  if (found.blur_px > largest_blur(pixels)) return too_blurred(found.blur_px);
  const double tilt = found.plane.tilt_deg();
  if (tilt < kLargestTiltDeg) return std::nullopt;
  return Refusal{"too-tilted",
                 fmt::format("The camera looks along the hull at {:.0f} degrees from square. Take the photo "
                             "again from more nearly in front of the opening.",
                             tilt)};
}

// A reference that was not seen because nothing could be.
Refusal not_seen(Refusal refusal, const Picture::Pixels& pixels) {
  if (refusal.code != "no-reference" && refusal.code != "reference-too-small" &&
      refusal.code != "ambiguous-reference")
    return refusal;
  const auto blur = sharpest_blur(pixels);
  return blur && *blur > largest_blur(pixels) ? too_blurred(*blur) : refusal;
}

// Glare or darkness, where it may be why something was not seen.
Refusal with_light(Refusal refusal, const Picture::Pixels& pixels) {
  if (refusal.code == "no-reference" || refusal.code == "nothing-found" ||
      refusal.code == "reference-cropped")
    refusal.reason += light_advice(exposure_of(pixels));
  return refusal;
}

void run(const Picture& picture, const Request& request, const StopAsked& stop, Report& report) {
  const auto searched = search_reference(picture.pixels(), request, stop);
  if (stop && stop()) return;
  if (!searched) {
    report.refused = with_light(not_seen(searched.error(), picture.pixels()), picture.pixels());
    return;
  }
  const FoundReference* found = &searched->reference;
  report.warnings = found->warnings;
  if (auto refusal = unfit(*found, picture.pixels())) {
    report.refused = *std::move(refusal);
    return;
  }
  FoundReference held = *found;
  report.refused = measure_subject(Scene{picture.pixels(), request, *found, stop}, held, report);
  if (report.refused) report.refused = with_light(*std::move(report.refused), picture.pixels());
  const PixelPoint where = report.holes.empty() ? middle_of(found->outline) : report.holes.front().centre_px;
  report.reference = described(held, where);
  report.reference->lens = lens_words(picture.info());
  report.reference->checked = searched->agreed;
}

}  // namespace

std::vector<std::string> parts_by_hand(const Report& report) {
  std::vector<std::string> out;
  if (report.reference && report.reference->by_hand) out.emplace_back("reference");
  const auto placed = [](const Hole& hole) { return hole.by_hand; };
  if (std::any_of(report.holes.begin(), report.holes.end(), placed)) out.emplace_back("rim");
  if (report.edge && report.edge->by_hand) out.emplace_back("edge");
  return out;
}

std::string engine_name() {
  return "spile " SPILE_VERSION;
}

Report measure(const Picture& picture, const Request& request, const StopAsked& stop) {
  Report report;
  report.width_px = picture.info().width_px;
  report.height_px = picture.info().height_px;
  const Report empty = report;
  try {
    if (!stop || !stop()) run(picture, request, stop, report);
    // A stage told to stop says what it says when it finds nothing.
    if (!stop || !stop()) return report;
    report = empty;
    report.refused = cancelled().value();
  } catch (const cv::Exception& trouble) {
    report = empty;
    report.refused =
        Refusal{"unreadable", fmt::format("{} could not be worked on ({}).", picture.name(), trouble.err)};
  } catch (const std::exception& trouble) {
    report = empty;
    report.refused =
        Refusal{"unreadable", fmt::format("{} could not be worked on ({}). Close other programs to "
                                          "free memory and measure it again.",
                                          picture.name(), trouble.what())};
  }
  return report;
}

}  // namespace spile::vision
