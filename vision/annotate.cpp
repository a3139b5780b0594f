#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "vision/measure.hpp"
#include "vision/pen.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {
namespace {

std::string name_of(const Reference& reference) {
  const std::string name = reference.kind == "points"   ? "two points"
                           : reference.kind == "square" ? "sheet"
                                                        : reference.kind;
  return reference.by_hand ? name + ", by hand" : name;
}

std::string with_interval(const char* name, double value, double u95) {
  return fmt::format("{}{:.2f} +- {:.2f} mm", name, value, u95);
}

PixelPoint lowest(const std::vector<PixelPoint>& outline, const PixelPoint& otherwise) {
  if (outline.empty()) return otherwise;
  return *std::max_element(outline.begin(), outline.end(),
                           [](const auto& a, const auto& b) { return a.y < b.y; });
}

void draw_reference(Pen& pen, const Reference& reference) {
  pen.grid(reference.grid);
  pen.polyline(reference.outline, reference.outline.size() > 2,
               reference.by_hand ? kHandColour : kScaleColour);
  if (reference.outline.empty()) return;
  std::vector<std::string> lines{
      name_of(reference), fmt::format("{:.4f} mm a pixel +- {:.2f} %, tilt {:.0f} deg", reference.mm_per_px,
                                      100 * reference.rel_u95, reference.tilt_deg)};
  if (!reference.checked.empty()) lines.push_back(plain(reference.checked));
  if (!reference.grid.empty()) lines.emplace_back("grid 10 mm");
  pen.label(lowest(reference.outline, {}), lines);
}

void draw_hole(Pen& pen, const Hole& hole) {
  const cv::Scalar ink = hole.by_hand ? kHandColour : kFoundColour;
  pen.polyline(hole.outline, true, ink);
  pen.cross(hole.centre_px, ink);
  std::vector<std::string> lines{with_interval("", hole.diameter_mm, hole.u95_mm) +
                                 (hole.by_hand ? ", by hand" : "")};
  if (hole.depth_mm && hole.depth_u95_mm)
    lines.push_back(with_interval("deep ", *hole.depth_mm, *hole.depth_u95_mm));
  for (const Chip& chip : hole.chips) {
    pen.polyline(chip.outline, true, kWarnColour);
    lines.push_back(with_interval("chip ", chip.depth_mm, chip.u95_mm) +
                    fmt::format(", {:.1f} mm wide", chip.width_mm));
  }
  pen.label(lowest(hole.outline, hole.centre_px), lines);
}

void draw_edge(Pen& pen, const Edge& edge) {
  PixelPoint middle;
  for (std::size_t i = 0; i + 1 < edge.lines.size(); i += 2) {
    pen.polyline({edge.lines[i], edge.lines[i + 1]}, false, edge.by_hand ? kHandColour : kFoundColour);
    middle = edge.lines[i];
  }
  std::vector<std::string> lines{with_interval("thick ", edge.thickness_mm, edge.u95_mm) +
                                 (edge.by_hand ? ", by hand" : "")};
  for (const Layer& layer : edge.layers)
    lines.push_back(with_interval((layer.kind + " ").c_str(), layer.thickness_mm, layer.u95_mm));
  if (edge.thinnest) {
    pen.polyline({edge.thinnest->outer, edge.thinnest->inner}, false, kWarnColour);
    lines.push_back(with_interval("thinnest ", edge.thinnest->thickness_mm, edge.thinnest->u95_mm));
  }
  pen.label(middle, lines);
}

void draw_fitting(Pen& pen, const FittingSeen& fitting) {
  pen.polyline(fitting.flange_outline, true, kFoundColour);
  pen.polyline(fitting.bore_outline, true, kFoundColour);
  if (fitting.flange_mm > 0)
    pen.label(lowest(fitting.flange_outline, {}),
              {with_interval("flange ", fitting.flange_mm, fitting.flange_u95_mm)});
  if (const auto& hexagon = fitting.hexagon) {
    pen.polyline(hexagon->corners, true, kFoundColour);
    pen.label(lowest(hexagon->corners, {}),
              {with_interval("across flats ", hexagon->across_flats_mm, hexagon->u95_mm)});
  }
  if (fitting.bore_mm && fitting.bore_u95_mm) {
    pen.label(lowest(fitting.bore_outline, {}),
              {with_interval("bore ", *fitting.bore_mm, *fitting.bore_u95_mm)});
  }
}

}  // namespace

Result<std::vector<std::uint8_t>> annotate(const Picture& picture, const Report& report) {
  std::vector<std::uint8_t> png;
  try {
    cv::Mat canvas = picture.pixels().colour();
    Pen pen(canvas);
    if (report.reference) draw_reference(pen, *report.reference);
    for (const Hole& hole : report.holes) draw_hole(pen, hole);
    if (report.edge) draw_edge(pen, *report.edge);
    if (report.fitting) draw_fitting(pen, *report.fitting);
    const PixelPoint foot{canvas.cols / 2.0, 0.92 * canvas.rows},
        middle{canvas.cols / 2.0, canvas.rows / 2.0};
    if (report.refused)
      pen.label(middle,
                pen.wrapped("Not measured (" + report.refused->code + "): " + plain(report.refused->reason)),
                kWarnColour);
    for (const std::string& warning : report.warnings)
      pen.label(foot, pen.wrapped(plain(warning)), kWarnColour);
    cv::imencode(".png", canvas, png, {cv::IMWRITE_PNG_COMPRESSION, 3});
  } catch (const cv::Exception& trouble) {
    return fail(ErrorCode::Internal, fmt::format("{} could not be drawn on.", picture.name()),
                "Try it again.", trouble.err);
  }
  return png;
}

}  // namespace spile::vision
