#include "vision/pen.hpp"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <sstream>

namespace spile::vision {
namespace {

constexpr double kGridInk = 0.35;
constexpr int kShift = 4;

cv::Point at(const PixelPoint& p) {
  return {cvRound(p.x * (1 << kShift)), cvRound(p.y * (1 << kShift))};
}

}  // namespace

Pen::Pen(cv::Mat& canvas, int side) : canvas_(canvas) {
  if (side == 0) side = std::max(canvas.cols, canvas.rows);
  width_ = std::max(1, side / 700);
  text_ = std::max(0.45, side / 1500.0);
}

// Drawn twice, dark and a little wider first.
void Pen::polyline(const std::vector<PixelPoint>& points, bool closed, const cv::Scalar& colour) {
  std::vector<cv::Point> fixed;
  for (const PixelPoint& p : points) fixed.push_back(at(p));
  if (fixed.size() < 2) return;
  cv::polylines(canvas_, fixed, closed, kDark, width_ + 2, cv::LINE_AA, kShift);
  cv::polylines(canvas_, fixed, closed, colour, width_, cv::LINE_AA, kShift);
}

void Pen::grid(const std::vector<PixelPoint>& ends) {
  if (ends.empty()) return;
  cv::Mat under = canvas_.clone();
  for (std::size_t i = 0; i + 1 < ends.size(); i += 2)
    cv::line(canvas_, at(ends[i]), at(ends[i + 1]), kScaleColour, std::max(1, width_ / 2), cv::LINE_AA,
             kShift);
  cv::addWeighted(canvas_, kGridInk, under, 1 - kGridInk, 0, canvas_);
}

void Pen::cross(const PixelPoint& p, const cv::Scalar& colour) {
  const double arm = 8.0 * width_;
  polyline({{p.x - arm, p.y}, {p.x + arm, p.y}}, false, colour);
  polyline({{p.x, p.y - arm}, {p.x, p.y + arm}}, false, colour);
}

void Pen::label(const PixelPoint& p, const std::vector<std::string>& lines, const cv::Scalar& ink) {
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
    cv::putText(canvas_, line, {plate.x + pad, y}, cv::FONT_HERSHEY_SIMPLEX, text_, ink, pen(), cv::LINE_AA);
    y += step;
  }
}

std::vector<std::string> Pen::wrapped(const std::string& sentence) const {
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

int Pen::pen() const {
  return std::max(1, cvRound(1.4 * text_));
}

std::string plain(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte < 0x80) out += text[i];
    if (byte == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) == 0xB0) out += " deg";
  }
  return out;
}

}  // namespace spile::vision
