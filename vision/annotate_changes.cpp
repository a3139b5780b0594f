// Two seasons side by side, square on to the hull, with what has changed drawn over them.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/laid.hpp"
#include "vision/pen.hpp"
#include "vision/seasons.hpp"

namespace spile::vision {
namespace {

constexpr int kPanel = 1000;       // pixels, the longer side of a panel
constexpr int kGap = 12;           // between the panels
constexpr double kFinestMm = 0.1;  // a pixel; finer than any photo of a whole opening
constexpr double kBarMm = 20;
const cv::Scalar kGround(40, 36, 30);

struct Panel {
  cv::Mat earlier, later;  // of one size
  HullGrid grid;           // they are a part of,
  cv::Point corner;        // beginning at this cell

  [[nodiscard]] PixelPoint at(const Point2& grid_mm) const {
    const Point2 cell = grid.cell_of(grid_mm);
    return {cell.x() - corner.x, cell.y() - corner.y};
  }
};

// What both photos show of the hull, cells of `grid`.
cv::Rect shown_by_both(const cv::Mat& earlier, const cv::Mat& later) {
  const cv::Rect box = cv::boundingRect(earlier & later);
  return box.empty() ? cv::Rect(0, 0, later.cols, later.rows) : box;
}

Panel panel_of(const Picture& earlier, const Picture& later, const Comparison::Laid& laid) {
  const auto colour = [&](const Picture& picture, Season of, const HullGrid& grid) {
    return hull_colour(picture.pixels(), *laid.reference(of), laid.plane_from_grid(of), grid);
  };
  const HullGrid coarse = HullGrid::about_opening(1);
  const cv::Rect box = shown_by_both(colour(earlier, Season::Earlier, coarse).inside,
                                     colour(later, Season::Later, coarse).inside);
  Panel out;
  out.grid = HullGrid::about_opening(std::max(kFinestMm, 1.0 * std::max(box.width, box.height) / kPanel));
  const Point2 top_left = out.grid.cell_of(coarse.mm_of(box.x - 0.5, box.y - 0.5));
  const Point2 low_right = out.grid.cell_of(coarse.mm_of(box.br().x - 0.5, box.br().y - 0.5));
  const cv::Rect part = cv::Rect(cv::Point(cvRound(top_left.x()), cvRound(top_left.y())),
                                 cv::Point(cvRound(low_right.x()), cvRound(low_right.y()))) &
                        cv::Rect(0, 0, out.grid.cols, out.grid.rows);
  out.corner = part.tl();
  out.earlier = colour(earlier, Season::Earlier, out.grid).bgr(part).clone();
  out.later = colour(later, Season::Later, out.grid).bgr(part).clone();
  return out;
}

const cv::Scalar& ink_of(const Change& change) {
  if (change.kind == "crack") return kFoundColour;
  if (change.kind == "stain") return kStainColour;
  return change.kind == "chip" ? kChipColour : kOtherColour;
}

std::string size_of(const Change& change) {
  if (change.length_mm) return fmt::format("{:.1f} +- {:.1f} mm long", *change.length_mm, change.u95);
  return fmt::format("{:.0f} +- {:.0f} mm2", change.area_mm2.value_or(0), change.u95);
}

std::string named(const Change& change) {
  if (change.earlier_area_mm2) return change.kind + ", grown";
  return "new " + change.kind;
}

// A patch's outline about the patch, a crack's course beside the crack: what is drawn must not hide it.
std::vector<PixelPoint> drawn_about(const Change& change, const Panel& panel, const Comparison::Laid& laid) {
  constexpr double kBesideMm = 2.2;
  const FoundReference& later = *laid.later;
  const Eigen::Matrix3d grid_from_plane = laid.match->later_from_grid.inverse();
  std::vector<Point2> mm;
  for (const PixelPoint& p : change.outline_px)
    if (const auto on_plane = later.plane.mm_from_px(point(p), later.hull_z()))
      mm.push_back(moved(grid_from_plane, *on_plane));
  std::vector<PixelPoint> out;
  if (mm.size() < 2) return out;
  if (!change.length_mm) {
    Point2 middle = Point2::Zero();
    for (const Point2& p : mm) middle += p / static_cast<double>(mm.size());
    for (const Point2& p : mm) out.push_back(panel.at(p + 1.2 * (p - middle).normalized()));
    return out;
  }
  // Along one side, round the end, back along the other.
  const auto side = [&](std::size_t i) -> Point2 {
    const Point2 along = (mm[std::min(i + 1, mm.size() - 1)] - mm[i > 0 ? i - 1 : 0]).normalized();
    return Point2(-along.y(), along.x()) * kBesideMm;
  };
  const auto beyond = [&](const Point2& end, const Point2& before) -> Point2 {
    return end + kBesideMm * (end - before).normalized();
  };
  for (std::size_t i = 0; i < mm.size(); ++i) out.push_back(panel.at(mm[i] + side(i)));
  out.push_back(panel.at(beyond(mm.back(), mm[mm.size() - 2])));
  for (std::size_t i = mm.size(); i-- > 0;) out.push_back(panel.at(mm[i] - side(i)));
  out.push_back(panel.at(beyond(mm.front(), mm[1])));
  return out;
}

PixelPoint foot_of(const std::vector<PixelPoint>& outline) {
  const auto lower = [](const PixelPoint& a, const PixelPoint& b) { return a.y < b.y; };
  return *std::max_element(outline.begin(), outline.end(), lower);
}

void draw_bar(Pen& pen, const cv::Mat& panel, double cell_mm) {
  const double long_px = kBarMm / cell_mm, x = 24, y = panel.rows - 64.0;
  pen.polyline({{x, y}, {x + long_px, y}}, false, kScaleColour);
  for (const double end : {x, x + long_px}) pen.polyline({{end, y - 8}, {end, y + 8}}, false, kScaleColour);
  pen.label({x + 0.5 * long_px, y + 6}, {fmt::format("{:.0f} mm", kBarMm)});
}

std::string titled(const char* season, const Picture& picture) {
  const std::string& taken = picture.info().taken_at;
  return plain(
      fmt::format("{}: {}{}", season, picture.name(), taken.empty() ? "" : ", " + taken.substr(0, 10)));
}

void draw_season(cv::Mat& canvas, const Panel& panel, const Comparison& comparison, Season season,
                 const std::string& title) {
  Pen pen(canvas);
  pen.label({canvas.cols / 2.0, 2}, {title});
  draw_bar(pen, canvas, panel.grid.cell_mm);
  int number = 0;
  for (const Change& change : comparison.changes) {
    ++number;
    const auto outline = drawn_about(change, panel, *comparison.laid);
    if (outline.empty()) continue;
    pen.polyline(outline, true, ink_of(change));
    std::vector<std::string> lines{fmt::format("{}", number)};
    if (season == Season::Later) {
      lines = {fmt::format("{} {}", number, named(change)), size_of(change)};
    } else if (change.earlier_area_mm2) {
      lines = {fmt::format("{} was about {:.0f} mm2", number, *change.earlier_area_mm2)};
    }
    pen.label(foot_of(outline), lines, ink_of(change));
  }
}

// Below the panels: what was found, in one line.
void draw_foot(cv::Mat& foot, const std::string& sentence) {
  Pen pen(foot, kPanel);
  pen.label({foot.cols / 2.0, 0}, pen.wrapped(sentence));
}

std::string summary_of(const Comparison& comparison) {
  const std::size_t n = comparison.changes.size();
  const std::string found = n == 0   ? "No change found on the hull that both photos show."
                            : n == 1 ? "1 change found."
                                     : fmt::format("{} changes found.", n);
  return fmt::format("{} Both square on to the hull, at one scale; they lie on one another within {:.1f} px.",
                     found, comparison.residual_px);
}

cv::Mat side_by_side(const cv::Mat& left, const cv::Mat& right, int foot) {
  const int high = std::max(left.rows, right.rows);
  cv::Mat out(high + foot, left.cols + kGap + right.cols, CV_8UC3, kGround);
  left.copyTo(out(cv::Rect(0, 0, left.cols, left.rows)));
  right.copyTo(out(cv::Rect(left.cols + kGap, 0, right.cols, right.rows)));
  return out;
}

constexpr int kFoot = 60;

cv::Mat aligned_sheet(const Picture& earlier, const Picture& later, const Comparison& comparison) {
  Panel panel = panel_of(earlier, later, *comparison.laid);
  draw_season(panel.earlier, panel, comparison, Season::Earlier, titled("Earlier", earlier));
  draw_season(panel.later, panel, comparison, Season::Later, titled("Later", later));
  cv::Mat out = side_by_side(panel.earlier, panel.later, kFoot);
  cv::Mat foot = out.rowRange(out.rows - kFoot, out.rows);
  draw_foot(foot, summary_of(comparison));
  return out;
}

cv::Mat refused_sheet(const Picture& earlier, const Picture& later, const Refusal& refusal) {
  const auto small = [](const Picture& picture, const char* season) {
    const cv::Mat whole = picture.pixels().colour();
    const double scale = std::min(1.0, static_cast<double>(kPanel) / std::max(whole.cols, whole.rows));
    cv::Mat out;
    cv::resize(whole, out, cv::Size(), scale, scale, cv::INTER_AREA);
    Pen(out).label({out.cols / 2.0, 2}, {titled(season, picture)});
    return out;
  };
  cv::Mat out = side_by_side(small(earlier, "Earlier"), small(later, "Later"), 2 * kFoot);
  Pen pen(out, kPanel);
  pen.label({out.cols / 2.0, out.rows - 2.0 * kFoot},
            pen.wrapped("Not compared (" + refusal.code + "): " + plain(refusal.reason)), kWarnColour);
  return out;
}

}  // namespace

Result<std::vector<std::uint8_t>> annotate(const Picture& earlier, const Picture& later,
                                           const Comparison& comparison) {
  std::vector<std::uint8_t> png;
  try {
    const cv::Mat sheet = comparison.refused ? refused_sheet(earlier, later, *comparison.refused)
                                             : aligned_sheet(earlier, later, comparison);
    cv::imencode(".png", sheet, png, {cv::IMWRITE_PNG_COMPRESSION, 3});
  } catch (const cv::Exception& trouble) {
    return fail(ErrorCode::Internal,
                fmt::format("{} and {} could not be drawn on.", earlier.name(), later.name()),
                "Try it again.", trouble.err);
  }
  return png;
}

}  // namespace spile::vision
