// Inside of src/figures: tags in rows beside a drawing, each joined to its mark, none over another.
#pragma once

#include <string>
#include <vector>

#include "figures/figure.hpp"

namespace spile::figures {

struct Callout {
  At mark;  // on the drawing, mm
  std::string tag;
  Shape shape = Shape::Ring;
  Role role = Role::Unknown;
};

inline constexpr double kTagSize = 2.5;

// Height the rows of these tags need over `width`.
[[nodiscard]] double callout_height(const std::vector<Callout>& callouts, double width);

// Draws leaders, tags and marks. The rows start at `row_y` and go on away from the drawing (up when `up`).
void add_callouts(Figure& figure, std::vector<Callout> callouts, double left, double right, double row_y,
                  bool up);

// The same in two columns: what lies left of `middle_x` gets its tag at the left edge, the rest at the right
// one, each as near the height of its mark as its neighbours allow. Returns the y below the lowest tag.
double add_side_callouts(Figure& figure, std::vector<Callout> callouts, double middle_x, double top);

// About how wide a text is set, mm; enough to keep tags apart.
[[nodiscard]] double text_width(const std::string& utf8, double size);

}  // namespace spile::figures
