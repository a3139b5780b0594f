// Inside of src/figures: a pair of axes with round ticks, and the way from values to paper.
#pragma once

#include <string>

#include "figures/figure.hpp"

namespace spile::figures {

struct Span2 {
  double from = 0, to = 1;
};

class Plot {
 public:
  // `area` of the paper is inside the labels; values beyond a span are drawn where they fall.
  Plot(Figure& figure, Span2 x, Span2 y, double left, double top, double width, double height);
  void axes(const std::string& x_label, const std::string& y_label);
  void y_axis(const std::string& label);  // with the frame; what lies along x is the caller's
  [[nodiscard]] At at(double x, double y) const;
  [[nodiscard]] Span2 x() const { return x_; }
  [[nodiscard]] Span2 y() const { return y_; }
  void level(double y, Role role, bool dashed, const std::string& word);  // a line across, with its word

 private:
  Figure& figure_;
  Span2 x_, y_;
  double left_, top_, width_, height_;
};

// A step of 1, 2 or 5 times a power of ten that cuts the span into about `parts`.
[[nodiscard]] double round_step(double span, int parts);
[[nodiscard]] std::string tick_text(double value);

}  // namespace spile::figures
