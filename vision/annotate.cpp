#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/measure.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {
namespace {

const cv::Scalar kRimColour(70, 60, 240), kReferenceColour(60, 190, 70), kGridColour(200, 190, 80);
const cv::Scalar kLayerColour(40, 170, 250), kTextColour(255, 255, 255), kDark(25, 20, 15);

// Everything is drawn twice, dark and a little wider first, so that it can be seen on any hull.
class Pen {
 public:
  explicit Pen(cv::Mat& canvas) : canvas_(canvas) {
    const int side = std::max(canvas.cols, canvas.rows);
    width_ = std::max(1, side / 900);
    text_ = std::max(0.4, side / 1700.0);
  }

  void polyline(const std::vector<PixelPoint>& points, bool closed, const cv::Scalar& colour) {
    std::vector<cv::Point> fixed;
    for (const PixelPoint& p : points) fixed.push_back(at(p));
    if (fixed.size() < 2) return;
    cv::polylines(canvas_, fixed, closed, kDark, width_ + 2, cv::LINE_AA, kShift);
    cv::polylines(canvas_, fixed, closed, colour, width_, cv::LINE_AA, kShift);
  }

  void thin_line(const PixelPoint& a, const PixelPoint& b) {
    cv::line(canvas_, at(a), at(b), kGridColour, 1, cv::LINE_AA, kShift);
  }

  void cross(const PixelPoint& p, const cv::Scalar& colour) {
    const double arm = 8.0 * width_;
    polyline({{p.x - arm, p.y}, {p.x + arm, p.y}}, false, colour);
    polyline({{p.x, p.y - arm}, {p.x, p.y + arm}}, false, colour);
  }

  // Lines of text below each other, their middle at `p`, kept within the picture.
  void label(PixelPoint p, const std::vector<std::string>& lines) {
    for (const std::string& line : lines) {
      int below = 0;
      const cv::Size size = cv::getTextSize(line, cv::FONT_HERSHEY_SIMPLEX, text_, width_, &below);
      const int x = std::clamp(cvRound(p.x) - size.width / 2, 4, std::max(4, canvas_.cols - size.width - 4));
      const int y = std::clamp(cvRound(p.y) + size.height, size.height + 4,
                               std::max(size.height + 4, canvas_.rows - below - 4));
      const cv::Rect plate = cv::Rect(x - 6, y - size.height - 6, size.width + 12, size.height + below + 10) &
                             cv::Rect(0, 0, canvas_.cols, canvas_.rows);
      cv::Mat under = canvas_(plate);
      cv::addWeighted(under, 0.35, cv::Mat(under.size(), under.type(), kDark), 0.65, 0, under);
      cv::putText(canvas_, line, {x, y}, cv::FONT_HERSHEY_SIMPLEX, text_, kTextColour, width_, cv::LINE_AA);
      p.y += size.height + below + 12;
    }
  }

 private:
  static constexpr int kShift = 4;
  static cv::Point at(const PixelPoint& p) {
    return {cvRound(p.x * (1 << kShift)), cvRound(p.y * (1 << kShift))};
  }
  cv::Mat& canvas_;
  int width_ = 1;
  double text_ = 1;
};

std::string with_interval(const char* name, double value, double u95) {
  return fmt::format("{}{:.2f} +- {:.2f} mm", name, value, u95);
}

PixelPoint lowest(const std::vector<PixelPoint>& outline, const PixelPoint& otherwise) {
  if (outline.empty()) return otherwise;
  return *std::max_element(outline.begin(), outline.end(),
                           [](const auto& a, const auto& b) { return a.y < b.y; });
}

void draw_reference(Pen& pen, const Reference& reference) {
  for (std::size_t i = 0; i + 1 < reference.grid.size(); i += 2)
    pen.thin_line(reference.grid[i], reference.grid[i + 1]);
  pen.polyline(reference.outline, reference.outline.size() > 2, kReferenceColour);
  if (reference.outline.empty()) return;
  pen.label(lowest(reference.outline, {}),
            {fmt::format("{}: {:.4f} mm a pixel, scale +- {:.2f} %", reference.kind, reference.mm_per_px,
                         100 * reference.rel_u95)});
}

void draw_hole(Pen& pen, const Hole& hole) {
  pen.polyline(hole.outline, true, kRimColour);
  pen.cross(hole.centre_px, kRimColour);
  std::vector<std::string> lines{with_interval("", hole.diameter_mm, hole.u95_mm) +
                                 (hole.by_hand ? ", by hand" : "")};
  if (hole.depth_mm && hole.depth_u95_mm)
    lines.push_back(with_interval("deep ", *hole.depth_mm, *hole.depth_u95_mm));
  if (hole.edge_damage_mm > 0) lines.push_back(fmt::format("chip {:.1f} mm", hole.edge_damage_mm));
  pen.label(lowest(hole.outline, hole.centre_px), lines);
}

void draw_edge(Pen& pen, const Edge& edge) {
  PixelPoint middle;
  for (std::size_t i = 0; i + 1 < edge.lines.size(); i += 2) {
    pen.polyline({edge.lines[i], edge.lines[i + 1]}, false, kLayerColour);
    middle = edge.lines[i];
  }
  std::vector<std::string> lines{with_interval("thick ", edge.thickness_mm, edge.u95_mm)};
  for (const Layer& layer : edge.layers)
    lines.push_back(with_interval((layer.kind + " ").c_str(), layer.thickness_mm, layer.u95_mm));
  pen.label(middle, lines);
}

void draw_fitting(Pen& pen, const FittingSeen& fitting) {
  pen.polyline(fitting.flange_outline, true, kRimColour);
  pen.polyline(fitting.bore_outline, true, kRimColour);
  pen.label(lowest(fitting.flange_outline, {}),
            {with_interval("flange ", fitting.flange_mm, fitting.flange_u95_mm)});
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
    if (report.refused)
      pen.label({canvas.cols / 2.0, canvas.rows / 2.0}, {"not measured: " + report.refused->code});
    cv::imencode(".png", canvas, png, {cv::IMWRITE_PNG_COMPRESSION, 3});
  } catch (const cv::Exception& trouble) {
    return fail(ErrorCode::Internal, fmt::format("{} could not be drawn on.", picture.name()),
                "Try it again.", trouble.err);
  }
  return png;
}

}  // namespace spile::vision
