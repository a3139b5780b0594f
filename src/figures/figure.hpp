// A picture as data, described once and painted twice: by the window and by the report. Lengths in mm on
// paper, origin top left, y down. Colours are roles; each painter has its own palette for them.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace spile::figures {

struct At {
  double x = 0, y = 0;
};

enum class Role {
  Ink,
  Faint,
  Water,
  Hull,
  Good,
  Watch,
  Act,
  Unsure,
  Unknown,
  Reference,
  Found,
  ByHand,
  Paper
};
enum class Align { Left, Centre, Right };

struct Polyline {
  std::vector<At> points;
  bool closed = false;
  Role stroke = Role::Ink;
  double width = 0.25;
  bool filled = false;
  Role fill = Role::Paper;
  bool dashed = false;
};

struct Label {
  At at;              // baseline
  std::string text;   // UTF-8
  double size = 2.8;  // cap-to-descender height, mm
  Role role = Role::Ink;
  Align align = Align::Left;
  bool bold = false;
};

// A state by shape and word as well as colour: circle, square, triangle, diamond, ring.
enum class Shape { Disc, Square, Triangle, Diamond, Ring };
struct Mark {
  At at;
  Shape shape = Shape::Disc;
  double size = 3;
  Role role = Role::Ink;
  std::string tag;  // hit-testing and tooltips: the opening's tag
};

using Item = std::variant<Polyline, Label, Mark>;

struct Figure {
  double width = 0, height = 0;
  std::string caption;
  std::vector<Item> items;
};

}  // namespace spile::figures
