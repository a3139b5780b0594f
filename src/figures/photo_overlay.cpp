#include "figures/photo_overlay.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "figures/callouts.hpp"
#include "metrology/print.hpp"
#include "model/names.hpp"

namespace spile::figures {

namespace {

using model::Measurement;
using model::PixelPoint;
using model::Quantity;

constexpr double kSize = 2.9;

bool drawn_as_pairs(Quantity quantity, const model::Trace& trace) {
  // Edge lines are kept as pairs of ends; a rim seen through its bore is an outline.
  const bool thickness = quantity == Quantity::LaminateThickness || quantity == Quantity::LayerThickness;
  return thickness && trace.outline.size() < 24;
}

class Drawing {
 public:
  Drawing(int width_px, int height_px, double width_mm)
      : k_(width_mm / width_px), figure_{width_mm, height_px * width_mm / width_px, "", {}} {}

  // A light line under the coloured one keeps it visible on any hull.
  void line(const std::vector<PixelPoint>& pixels, bool closed, Role role, double width,
            bool dashed = false) {
    std::vector<At> points;
    for (const auto& p : pixels) points.push_back(at(p));
    figure_.items.emplace_back(Polyline{points, closed, Role::Paper, width * 2.4});
    figure_.items.emplace_back(Polyline{std::move(points), closed, role, width, false, Role::Paper, dashed});
  }
  void cross(PixelPoint centre, Role role) {
    const double r = 1.6 / k_;
    line({{centre.x - r, centre.y}, {centre.x + r, centre.y}}, false, role, 0.25);
    line({{centre.x, centre.y - r}, {centre.x, centre.y + r}}, false, role, 0.25);
  }
  void pairs(const std::vector<PixelPoint>& ends, Role role) {
    for (std::size_t i = 0; i + 1 < ends.size(); i += 2) line({ends[i], ends[i + 1]}, false, role, 0.3);
  }
  void points(const std::vector<PixelPoint>& placed) {
    for (const auto& p : placed) figure_.items.emplace_back(Mark{at(p), Shape::Ring, 2.2, Role::ByHand, ""});
  }
  void keep_clear(const std::vector<PixelPoint>& around) { taken_.push_back(box_of(around)); }
  // Beside what was measured, on a plate of its own, on the first side that hides nothing.
  void value(const std::vector<PixelPoint>& around, const std::string& text) {
    const Box subject = box_of(around);
    const double width = text_width(text, kSize) + 2.4, height = kSize + 2, gap = 1.6;
    const double middle_x = subject.x + (subject.width - width) / 2;
    const double middle_y = subject.y + (subject.height - height) / 2;
    const At sides[] = {{subject.x + subject.width + gap, middle_y},
                        {middle_x, subject.y - gap - height},
                        {middle_x, subject.y + subject.height + gap},
                        {subject.x - gap - width, middle_y}};
    Box plate{};
    double least = 1e9;
    for (const At& side : sides) {
      const Box tried{std::clamp(side.x, 0.3, std::max(0.3, figure_.width - width - 0.3)),
                      std::clamp(side.y, 0.3, std::max(0.3, figure_.height - height - 0.3)), width, height};
      const double hidden = hides(tried, subject);
      if (hidden >= least) continue;
      least = hidden;
      plate = tried;
    }
    taken_.push_back(plate);
    figure_.items.emplace_back(Polyline{{{plate.x, plate.y},
                                         {plate.x + width, plate.y},
                                         {plate.x + width, plate.y + height},
                                         {plate.x, plate.y + height}},
                                        true,
                                        Role::Ink,
                                        0.15,
                                        true,
                                        Role::Paper});
    figure_.items.emplace_back(
        Label{{plate.x + 1.2, plate.y + height - 1.5}, text, kSize, Role::Ink, Align::Left, true});
  }
  [[nodiscard]] Figure take() { return std::move(figure_); }

 private:
  struct Box {
    double x, y, width, height;
  };
  [[nodiscard]] At at(PixelPoint p) const { return {(p.x + 0.5) * k_, (p.y + 0.5) * k_}; }
  [[nodiscard]] Box box_of(const std::vector<PixelPoint>& points) const {
    double left = figure_.width, right = 0, top = figure_.height, bottom = 0;
    for (const auto& p : points) {
      const At a = at(p);
      left = std::min(left, a.x);
      right = std::max(right, a.x);
      top = std::min(top, a.y);
      bottom = std::max(bottom, a.y);
    }
    return {left, top, right - left, bottom - top};
  }
  // Area of what is shown that a plate would cover; another plate counts tenfold, what it belongs to
  // threefold.
  [[nodiscard]] double hides(const Box& plate, const Box& subject) const {
    const auto common = [&](const Box& b) {
      const double w = std::min(plate.x + plate.width, b.x + b.width) - std::max(plate.x, b.x);
      const double h = std::min(plate.y + plate.height, b.y + b.height) - std::max(plate.y, b.y);
      return w > 0 && h > 0 ? w * h : 0.0;
    };
    double area = 3 * common(subject);
    for (const auto& b : taken_) area += (b.height <= kSize + 2.01 ? 10 : 1) * common(b);
    return area;
  }
  double k_;
  Figure figure_;
  std::vector<Box> taken_;
};

// Layers share the lines of the whole thickness; a plate each would hide the edge they are read from.
std::string words(const Measurement& m) {
  const std::string interval = metrology::print_interval(m.value, m.u95, model::unit_of(m.quantity));
  switch (m.quantity) {
    case Quantity::HoleDiameter:
      return "Ø " + interval;
    case Quantity::FlangeDiameter:
      return "flange Ø " + interval;
    case Quantity::BoreDiameter:
      return "bore Ø " + interval;
    case Quantity::EdgeDamage:
      return "chip " + interval;
    case Quantity::LaminateThickness:
      return "thickness " + interval;
    default:
      return {};
  }
}

void draw(Drawing& drawing, const Measurement& m, std::vector<std::vector<PixelPoint>>& drawn) {
  const model::Trace& trace = *m.trace;
  const std::string text = words(m);
  if (text.empty() || trace.outline.empty()) return;
  const Role role = m.method == model::Method::PhotoByHand ? Role::ByHand : Role::Found;
  if (std::find(drawn.begin(), drawn.end(), trace.outline) == drawn.end()) {
    drawn.push_back(trace.outline);
    if (drawn_as_pairs(m.quantity, trace)) {
      drawing.pairs(trace.outline, role);
    } else {
      drawing.line(trace.outline, true, role, 0.35);
      if (trace.centre) drawing.cross(*trace.centre, role);
    }
    drawing.points(trace.by_hand);
  }
  drawing.value(trace.outline, text);
}

}  // namespace

Figure photo_overlay(int width_px, int height_px, std::span<const Measurement> measurements,
                     double width_mm) {
  Drawing drawing(width_px, height_px, width_mm);
  std::vector<std::vector<PixelPoint>> references, drawn;
  for (const auto& m : measurements) {
    if (!m.trace || m.trace->reference_outline.size() < 2) continue;
    const auto& outline = m.trace->reference_outline;
    if (std::find(references.begin(), references.end(), outline) != references.end()) continue;
    references.push_back(outline);
    drawing.line(outline, outline.size() > 2, Role::Reference, 0.3, true);
    if (outline.size() > 2) drawing.keep_clear(outline);
  }
  for (const auto& m : measurements)
    if (m.trace) draw(drawing, m, drawn);
  return drawing.take();
}

PixelBox part_that_matters(int width_px, int height_px, std::span<const Measurement> measurements,
                           double margin) {
  double left = width_px, right = 0, top = height_px, bottom = 0;
  for (const auto& m : measurements) {
    if (!m.trace) continue;
    for (const auto* points : {&m.trace->outline, &m.trace->reference_outline})
      for (const auto& p : *points) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
        top = std::min(top, p.y);
        bottom = std::max(bottom, p.y);
      }
  }
  if (left >= right || top >= bottom)
    return {0, 0, static_cast<double>(width_px), static_cast<double>(height_px)};
  const double room = margin * std::max(right - left, bottom - top);
  left = std::clamp(left - room, 0.0, width_px - 1.0);
  top = std::clamp(top - room, 0.0, height_px - 1.0);
  right = std::clamp(right + room, left + 1, static_cast<double>(width_px));
  bottom = std::clamp(bottom + room, top + 1, static_cast<double>(height_px));
  return {left, top, right - left, bottom - top};
}

}  // namespace spile::figures
