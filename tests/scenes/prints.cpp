#include "prints.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/aruco.hpp>
#include <opencv2/imgproc.hpp>
#include <string>

namespace spile::scenes {

namespace {

constexpr double kDotsPerMm = 16;
constexpr double kCheckLine = 100;
constexpr double kMargin = 8, kStrip = 17, kLineBelow = 7;  // as the printed card is laid out

// From OpenCV's own dictionary, so that a slip in the printed card cannot hide here.
std::array<std::uint16_t, 4> dictionary_cells() {
  const auto dictionary = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50);
  std::array<std::uint16_t, 4> cells{};
  for (int id = 0; id < 4; ++id) {
    const cv::Mat bits =
        cv::aruco::Dictionary::getBitsFromByteList(dictionary->bytesList.rowRange(id, id + 1), 4);
    for (int i = 0; i < 16; ++i)
      if (bits.at<std::uint8_t>(i / 4, i % 4))
        cells.at(static_cast<std::size_t>(id)) |= static_cast<std::uint16_t>(1U << i);
  }
  return cells;
}

constexpr double kNear = 0.35;  // mm: as far as a pixel may reach

// The line across and its ticks, `off` from it.
Ink check_line(double along, double off) {
  const double i = std::nearbyint(along / 10), from_tick = std::abs(along - i * 10);
  const double reach = i <= 0 || i >= 10 ? 2.0 : 0.9, away = std::abs(off);
  const bool beside = along > -kNear && along < kCheckLine + kNear;
  const bool inked = beside && (away < 0.1 || (from_tick < 0.1 && away < reach));
  const bool near = beside && (away < 0.1 + kNear || (from_tick < 0.1 + kNear && away < reach + kNear));
  return {inked ? 1.0 : 0.0, near, false};
}

}  // namespace

CardPrint::CardPrint(const Card& card) : card_(card), cells_(dictionary_cells()) {
  sheet_width_ = std::max(card.width_mm + card.marker_mm, kCheckLine) + 2 * kMargin;
  sheet_height_ = card.height_mm + card.marker_mm + kMargin + kStrip;
  top_ = -(card.height_mm + card.marker_mm) / 2 - kMargin;
  line_y_ = (card.height_mm + card.marker_mm) / 2 + kLineBelow;
}

Ink CardPrint::at(double x, double y) const {
  const int column = x < 0 ? 0 : 1, row = y < 0 ? 0 : 1;
  const double half = card_.marker_mm / 2;
  const double mx = x - (column ? 0.5 : -0.5) * card_.width_mm + half;
  const double my = y - (row ? 0.5 : -0.5) * card_.height_mm + half;
  if (mx >= 0 && my >= 0 && mx < card_.marker_mm && my < card_.marker_mm) {
    const int id = row == 0 ? column : 3 - column;
    const int cx = static_cast<int>(mx / card_.marker_mm * 6) - 1,
              cy = static_cast<int>(my / card_.marker_mm * 6) - 1;
    const bool inner = cx >= 0 && cx < 4 && cy >= 0 && cy < 4;
    const bool white = inner && ((cells_.at(static_cast<std::size_t>(id)) >> (cy * 4 + cx)) & 1);
    return {white ? 0.0 : 1.0, false, !white};
  }
  const double off = y - line_y_;
  return std::abs(off) < 3 ? check_line(x + kCheckLine / 2, off) : Ink{};
}

Lettering::Lettering(double width_mm, double height_mm)
    : columns_(static_cast<int>(width_mm * kDotsPerMm)),
      rows_(static_cast<int>(height_mm * kDotsPerMm)),
      dots_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_)) {}

void Lettering::write(const char* text, double centre_x_mm, double baseline_mm, double height_mm) {
  cv::Mat page(rows_, columns_, CV_8U, dots_.data());
  const double scale = height_mm * kDotsPerMm / 21.0;  // the face's capitals are 21 units high
  const cv::Size size = cv::getTextSize(text, cv::FONT_HERSHEY_SIMPLEX, scale, 4, nullptr);
  const cv::Point at(static_cast<int>(centre_x_mm * kDotsPerMm) - size.width / 2,
                     static_cast<int>(baseline_mm * kDotsPerMm));
  cv::putText(page, text, at, cv::FONT_HERSHEY_SIMPLEX, scale, 255, 4, cv::LINE_AA);
}

double Lettering::at(double x, double y) const {
  const int column = static_cast<int>(x * kDotsPerMm), row = static_cast<int>(y * kDotsPerMm);
  if (column < 0 || row < 0 || column >= columns_ || row >= rows_) return 0;
  return dots_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
               static_cast<std::size_t>(column)] /
         255.0;
}

RulePrint::RulePrint(const Rule& rule) : rule_(rule), numerals_(rule.length_mm, rule.width_mm) {
  for (int cm = 1; cm * 10 < rule.length_mm - 2; ++cm)
    numerals_.write(std::to_string(cm).c_str(), cm * 10.0, 11.5, 3);
}

Ink RulePrint::at(double along, double across) const {
  if (across > 8) return {numerals_.at(along, across), across < 12, false};
  const auto n = static_cast<int>(along + 0.5);
  if (n < 1 || n > rule_.length_mm - 1) return {};
  const double length = n % 10 == 0 ? 7.0 : n % 5 == 0 ? 5.5 : 4.0;
  return {std::abs(along - n) < 0.09 && across < length ? 1.0 : 0.0, across < length + kNear, false};
}

}  // namespace spile::scenes
