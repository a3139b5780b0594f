#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <sstream>

#include "vision/measure.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {
namespace {

// As in the window (gui/LOOK.md), B, G, R: sky blue for what gives the scale, yellow for what was found, rose
// for what a person placed; over all of it a dark halo.
const cv::Scalar kScaleColour(240, 198, 57), kFoundColour(63, 210, 255), kHandColour(198, 122, 255);
const cv::Scalar kTextColour(255, 255, 255), kWarnColour(90, 190, 255), kDark(28, 24, 16);
constexpr double kGridInk = 0.35;

// Everything is drawn twice, dark and a little wider first, so that it can be seen on any hull.
class Pen {
 public:
  explicit Pen(cv::Mat& canvas) : canvas_(canvas) {
    const int side = std::max(canvas.cols, canvas.rows);
    width_ = std::max(1, side / 700);
    text_ = std::max(0.45, side / 1500.0);
  }

  void polyline(const std::vector<PixelPoint>& points, bool closed, const cv::Scalar& colour) {
    std::vector<cv::Point> fixed;
    for (const PixelPoint& p : points) fixed.push_back(at(p));
    if (fixed.size() < 2) return;
    cv::polylines(canvas_, fixed, closed, kDark, width_ + 2, cv::LINE_AA, kShift);
    cv::polylines(canvas_, fixed, closed, colour, width_, cv::LINE_AA, kShift);
  }

  // Pairs of ends, faint, so that what lies below stays visible.
  void grid(const std::vector<PixelPoint>& ends) {
    if (ends.empty()) return;
    cv::Mat under = canvas_.clone();
    for (std::size_t i = 0; i + 1 < ends.size(); i += 2)
      cv::line(canvas_, at(ends[i]), at(ends[i + 1]), kScaleColour, std::max(1, width_ / 2), cv::LINE_AA,
               kShift);
    cv::addWeighted(canvas_, kGridInk, under, 1 - kGridInk, 0, canvas_);
  }

  void cross(const PixelPoint& p, const cv::Scalar& colour) {
    const double arm = 8.0 * width_;
    polyline({{p.x - arm, p.y}, {p.x + arm, p.y}}, false, colour);
    polyline({{p.x, p.y - arm}, {p.x, p.y + arm}}, false, colour);
  }

  // Lines of text below each other, their middle at `p`, kept within the picture and off other labels.
  void label(const PixelPoint& p, const std::vector<std::string>& lines,
             const cv::Scalar& ink = kTextColour) {
    int wide = 0, below = 0, high = 0;
    for (const std::string& line : lines) {
      const cv::Size size = cv::getTextSize(line, cv::FONT_HERSHEY_SIMPLEX, text_, pen(), &below);
      wide = std::max(wide, size.width);
      high = std::max(high, size.height);
    }
    const int pad = std::max(4, high / 3), step = high + below + pad;
    cv::Rect plate(cvRound(p.x) - wide / 2 - pad, cvRound(p.y) + pad, wide + 2 * pad,
                   step * static_cast<int>(lines.size()) + pad);
    const auto keep_inside = [&] {
      plate.x = std::clamp(plate.x, 0, std::max(0, canvas_.cols - plate.width));
      plate.y = std::clamp(plate.y, 0, std::max(0, canvas_.rows - plate.height));
    };
    keep_inside();
    for (int tries = 0; tries < 12; ++tries) {
      const auto other = std::find_if(plates_.begin(), plates_.end(),
                                      [&](const cv::Rect& used) { return (used & plate).area() > 0; });
      if (other == plates_.end()) break;
      const bool room = other->y + other->height + plate.height < canvas_.rows;
      plate.y = room ? other->y + other->height + 1 : other->y - plate.height - 1;
      keep_inside();
    }
    plates_.push_back(plate);
    cv::Mat under = canvas_(plate & cv::Rect(0, 0, canvas_.cols, canvas_.rows));
    cv::addWeighted(under, 0.25, cv::Mat(under.size(), under.type(), kDark), 0.75, 0, under);
    int y = plate.y + pad + high;
    for (const std::string& line : lines) {
      cv::putText(canvas_, line, {plate.x + pad, y}, cv::FONT_HERSHEY_SIMPLEX, text_, ink, pen(),
                  cv::LINE_AA);
      y += step;
    }
  }

  // A sentence broken into lines that fit the picture.
  [[nodiscard]] std::vector<std::string> wrapped(const std::string& sentence) const {
    std::vector<std::string> lines(1);
    std::istringstream words(sentence);
    for (std::string word; words >> word;) {
      const std::string longer = lines.back().empty() ? word : lines.back() + " " + word;
      const int width = cv::getTextSize(longer, cv::FONT_HERSHEY_SIMPLEX, text_, pen(), nullptr).width;
      if (width < 0.85 * canvas_.cols || lines.back().empty()) {
        lines.back() = longer;
      } else {
        lines.push_back(word);
      }
    }
    return lines;
  }

 private:
  static constexpr int kShift = 4;
  static cv::Point at(const PixelPoint& p) {
    return {cvRound(p.x * (1 << kShift)), cvRound(p.y * (1 << kShift))};
  }
  [[nodiscard]] int pen() const { return std::max(1, cvRound(1.4 * text_)); }
  cv::Mat& canvas_;
  int width_ = 1;
  double text_ = 1;
  std::vector<cv::Rect> plates_;
};

// The letters drawn are plain ASCII.
std::string plain(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte < 0x80) out += text[i];
    if (byte == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) == 0xB0) out += " deg";
  }
  return out;
}

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
  if (hole.edge_damage_mm > 0) lines.push_back(fmt::format("chip {:.1f} mm", hole.edge_damage_mm));
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
  pen.label(middle, lines);
}

void draw_fitting(Pen& pen, const FittingSeen& fitting) {
  pen.polyline(fitting.flange_outline, true, kFoundColour);
  pen.polyline(fitting.bore_outline, true, kFoundColour);
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
