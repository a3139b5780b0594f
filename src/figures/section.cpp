#include "figures/section.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "figures/hull_form.hpp"
#include "figures/section_shape.hpp"
#include "figures/standing.hpp"

namespace spile::figures {

namespace {

constexpr double kText = 2.5, kTextLine = 4;
constexpr double kMark = 2.8;
constexpr double kAround = 0.22;  // water beside the hull, as a share of its half-breadth
constexpr double kBasin = 110;    // half the width a fixture's basin is drawn
constexpr double kHullApart = 0.39, kHullShare = 0.22;  // of the beam, of two hulls

class Drawing {
 public:
  Drawing(const model::Vessel& vessel, const OpeningSection& section, double width)
      : section_(section),
        form_(vessel, section.from_bow.value_or(0)),
        shape_(form_, section),
        slope_(std::tan(section.heel_deg * std::numbers::pi / 180)),
        low_side_(section.side == model::Side::Port ? -1 : 1) {
    double widest = std::max(shape_.widest(), form_.two_hulls() ? form_.beam() / 2 : 0);
    for (const auto& p : section.run) widest = std::max(widest, std::abs(p.toward_low_side) + kBasin);
    reach_ = widest * (1 + kAround);
    k_ = width / (2 * reach_);
    figure_.width = width;
    figure_.caption =
        "The section at the opening, looking forward; the hull drawn from her numbers, not her lines";
  }

  Figure draw() {
    const double top = highest(), bottom = std::min(-shape_.depth() * 1.12, water(-reach_) - 0.02 * reach_);
    zero_ = top * k_ + 7;
    draw_water(bottom);
    draw_hull();
    draw_waterlines();
    draw_run();
    figure_.height = zero_ - bottom * k_ + 2;
    write_sides();
    mark(at(section_.half_breadth, section_.height), section_.opening, Shape::Disc, section_.tag, true);
    write_legend();
    return std::move(figure_);
  }

 private:
  // `out` toward the low side.
  [[nodiscard]] At at(double out, double height) const {
    return {figure_.width / 2 + low_side_ * out * k_, zero_ - height * k_};
  }
  // Height in the boat at which the heeled sea stands.
  [[nodiscard]] double water(double out) const {
    return out * slope_ + section_.sinkage * std::sqrt(1 + slope_ * slope_);
  }
  [[nodiscard]] double highest() const {
    double top = std::max({shape_.sheer(), water(reach_), section_.rim.value_or(0)});
    for (const auto& p : section_.run) top = std::max(top, p.height);
    return top + 0.04 * reach_;
  }

  void line(std::vector<At> points, Role role, double width, bool dashed = false) {
    Polyline l{std::move(points), false, role, width};
    l.dashed = dashed;
    figure_.items.emplace_back(std::move(l));
  }
  void area(std::vector<At> points, Role fill, Role stroke) {
    Polyline l{std::move(points), true, stroke, 0.35, true};
    l.fill = fill;
    figure_.items.emplace_back(std::move(l));
  }
  void word(At where, std::string text, Role role, Align align = Align::Left, bool bold = false) {
    figure_.items.emplace_back(Label{where, std::move(text), kText, role, align, bold});
  }

  void draw_hull() {
    auto outline = shape_.outline();
    if (!form_.two_hulls()) return add_hull(outline, 1, 0);
    const double apart = kHullApart * form_.beam(), share = kHullShare * form_.beam() / 2 / shape_.widest();
    line({at(-apart, shape_.sheer()), at(apart, shape_.sheer())}, Role::Ink, 0.35);
    add_hull(outline, share, apart);
    add_hull(outline, share, -apart);
  }
  void add_hull(const std::vector<At>& outline, double share, double middle) {
    std::vector<At> points;
    for (const auto& p : outline) points.push_back(at(middle + share * p.x, p.y));
    area(std::move(points), Role::Hull, Role::Ink);
  }

  void draw_water(double bottom) {
    area({at(-reach_, section_.sinkage), at(reach_, section_.sinkage), at(reach_, bottom),
          at(-reach_, bottom)},
         Role::Water, Role::Paper);
    if (slope_ > 0)
      area({at(reach_, section_.sinkage), at(reach_, water(reach_)), at(0, section_.sinkage)}, Role::Water,
           Role::Paper);
  }

  void draw_waterlines() {
    line({at(-reach_, section_.sinkage), at(reach_, section_.sinkage)}, Role::Water, 0.4);
    const bool port_low = low_side_ < 0;
    const At rest = at(-reach_, section_.sinkage);
    word({rest.x, rest.y - 1}, section_.sinkage > 0 ? "water at rest, laden" : "water at rest", Role::Water,
         port_low ? Align::Right : Align::Left);
    if (slope_ <= 0) return;
    line({at(-reach_, water(-reach_)), at(reach_, water(reach_))}, Role::Water, 0.5, true);
    const At high = at(reach_, water(reach_));
    word({high.x, high.y - 1.2}, fmt::format("water at {:.0f}° heel", section_.heel_deg), Role::Water,
         port_low ? Align::Left : Align::Right);
  }

  void draw_run() {
    if (section_.run.empty()) return;
    std::vector<At> way;
    for (const auto& p : section_.run) way.push_back(at(p.toward_low_side, p.height));
    line(std::move(way), Role::Ink, 0.8);
    const auto& first = section_.run.front();
    if (section_.rim && *section_.rim > first.height) draw_basin(first, *section_.rim);
    if (section_.rim)
      mark(at(first.toward_low_side, *section_.rim), section_.at_rim, Shape::Square, "rim", false);
    if (section_.loop && *section_.loop < section_.run.size()) {
      const auto& p = section_.run[*section_.loop];
      mark(at(p.toward_low_side, p.height), section_.at_loop, Shape::Diamond, "loop", false);
    }
  }
  void draw_basin(const RunPoint& outlet, double rim) {
    const double y = outlet.toward_low_side;
    line({at(y - kBasin, rim), at(y - 0.8 * kBasin, outlet.height), at(y + 0.8 * kBasin, outlet.height),
          at(y + kBasin, rim)},
         Role::Ink, 0.5);
  }

  // The shape says which mark it is, the colour how it stands; the words are under the drawing.
  void mark(At where, const SectionMark& said, Shape shape, const std::string& name, bool outside) {
    const Role role = look_of(said.standing).role;
    figure_.items.emplace_back(Mark{where, shape, kMark, role, name});
    const bool right = outside == (low_side_ > 0);
    word({where.x + (right ? 2.2 : -2.2), where.y + (outside ? 3.2 : 0.9)}, name, Role::Ink,
         right ? Align::Left : Align::Right, true);
    legend_.push_back({shape, role, said.text});
  }

  void write_sides() {
    const double y = 3;
    word({0, y}, "PORT", Role::Faint);
    word({figure_.width, y}, "STARBOARD", Role::Faint, Align::Right);
  }

  void write_legend() {
    for (auto it = legend_.rbegin(); it != legend_.rend(); ++it) {
      if (it->text.empty()) continue;
      figure_.height += kTextLine;
      const double y = figure_.height - 1;
      figure_.items.emplace_back(Mark{{1.6, y - 0.9}, it->shape, kMark, it->role, {}});
      word({4.2, y}, it->text, Role::Ink);
    }
    if (form_.assumed().empty()) return;
    figure_.height += kTextLine;
    word({0, figure_.height - 1}, form_.assumed(), Role::Faint);
  }

  struct Said {
    Shape shape;
    Role role;
    std::string text;
  };

  const OpeningSection& section_;
  HullForm form_;
  SectionShape shape_;
  double slope_, low_side_, reach_ = 0, k_ = 1, zero_ = 0;
  Figure figure_;
  std::vector<Said> legend_;
};

}  // namespace

Figure opening_section(const model::Vessel& vessel, const OpeningSection& section, double width_paper) {
  return Drawing(vessel, section, width_paper).draw();
}

}  // namespace spile::figures
