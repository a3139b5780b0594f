// What is printed on the card and engraved on the rule.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "scene.hpp"

namespace spile::scenes {

// Share of ink, 0..1, and whether detail finer than a pixel may be near.
struct Ink {
  double share = 0;
  bool fine = false;
  bool solid = false;  // a marker's black
};

class CardPrint {
 public:
  explicit CardPrint(const Card& card);
  // Nominal mm from the centre of the rectangle of marker centres, as printed.
  [[nodiscard]] Ink at(double x, double y) const;
  [[nodiscard]] double left() const { return -sheet_width_ / 2; }
  [[nodiscard]] double top() const { return top_; }
  [[nodiscard]] double width() const { return sheet_width_; }
  [[nodiscard]] double height() const { return sheet_height_; }

 private:
  Card card_;
  std::array<std::uint16_t, 4> cells_{};
  double sheet_width_ = 0, sheet_height_ = 0, top_ = 0, line_y_ = 0;
};

// Text as a picture, 16 dots to the mm.
class Lettering {
 public:
  Lettering(double width_mm, double height_mm);
  void write(const char* text, double centre_x_mm, double baseline_mm, double height_mm);
  [[nodiscard]] double at(double x, double y) const;

 private:
  int columns_, rows_;
  std::vector<std::uint8_t> dots_;
};

class RulePrint {
 public:
  explicit RulePrint(const Rule& rule);
  [[nodiscard]] Ink at(double along, double across) const;  // nominal mm from the zero

 private:
  Rule rule_;
  Lettering numerals_;
};

}  // namespace spile::scenes
