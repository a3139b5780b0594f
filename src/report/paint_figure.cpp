#include "report/paint_figure.hpp"

#include <cmath>
#include <numbers>

namespace spile::report {

namespace {

// Cap to descender is 0.92 of the size a face is set in.
constexpr double kPointsPerMmOfHeight = 72 / 25.4 / 0.92;

Point shifted(figures::At at, Point by) {
  return {at.x + by.x, at.y + by.y};
}

// Water as an area is a wash that lettering and lines stand out on.
constexpr Ink kWash{0.84, 0.90, 0.95};

void paint(Pdf& pdf, const figures::Polyline& line, Point by) {
  std::vector<Point> points;
  points.reserve(line.points.size());
  for (const auto& p : line.points) points.push_back(shifted(p, by));
  const Ink fill = line.fill == figures::Role::Water ? kWash : ink_of(line.fill),
            stroke = ink_of(line.stroke);
  pdf.polygon(points, line.closed, line.filled ? &fill : nullptr, &stroke, line.width, line.dashed);
}

void paint(Pdf& pdf, const figures::Label& label, Point by) {
  const Set set = label.align == figures::Align::Left     ? Set::Left
                  : label.align == figures::Align::Centre ? Set::Centre
                                                          : Set::Right;
  pdf.label(label.text, shifted(label.at, by),
            {label.size * kPointsPerMmOfHeight, label.bold ? Weight::Medium : Weight::Regular,
             ink_of(label.role), set});
}

void paint(Pdf& pdf, const figures::Mark& mark, Point by) {
  paint_mark(pdf, mark.shape, mark.role, shifted(mark.at, by), mark.size);
}

std::vector<Point> corners(Point centre, double radius, int n, double first_deg) {
  std::vector<Point> points;
  for (int i = 0; i < n; ++i) {
    const double angle = (first_deg + 360.0 * i / n) * std::numbers::pi / 180;
    points.push_back({centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)});
  }
  return points;
}

}  // namespace

Ink ink_of(figures::Role role) {
  using figures::Role;
  switch (role) {
    case Role::Ink:
      return kBlack;
    case Role::Faint:
      return {0.55, 0.58, 0.61};
    case Role::Water:
      return {0.18, 0.42, 0.62};
    case Role::Hull:
      return {0.93, 0.94, 0.95};
    case Role::Good:
      return {0.10, 0.47, 0.29};
    case Role::Watch:
      return {0.68, 0.45, 0.02};
    case Role::Act:
      return {0.71, 0.13, 0.10};
    case Role::Unsure:
      return {0.36, 0.25, 0.62};
    case Role::Unknown:
      return {0.36, 0.40, 0.44};
    case Role::Reference:
      return {0.05, 0.38, 0.72};
    case Role::Found:
      return {0.80, 0.05, 0.42};
    case Role::ByHand:
      return {0.85, 0.40, 0.00};
    case Role::Paper:
      break;
  }
  return kWhite;
}

void paint_mark(Pdf& pdf, figures::Shape shape, figures::Role role, Point centre, double size_mm) {
  using figures::Shape;
  const Ink ink = ink_of(role), edge = kWhite;
  const double r = size_mm / 2;
  switch (shape) {
    case Shape::Disc:
      return pdf.disc(centre, r * 0.92, &ink, &edge, 0.15);
    case Shape::Ring:
      return pdf.disc(centre, r * 0.80, &edge, &ink, size_mm * 0.17);
    case Shape::Square:
      return pdf.polygon(corners(centre, r * 1.2, 4, 45), true, &ink, &edge, 0.15);
    case Shape::Diamond:
      return pdf.polygon(corners(centre, r * 1.25, 4, 0), true, &ink, &edge, 0.15);
    case Shape::Triangle:
      return pdf.polygon(corners({centre.x, centre.y + r * 0.2}, r * 1.25, 3, -90), true, &ink, &edge, 0.15);
  }
}

void paint(Pdf& pdf, const figures::Figure& figure, Point top_left) {
  for (const auto& item : figure.items)
    std::visit([&](const auto& thing) { paint(pdf, thing, top_left); }, item);
}

}  // namespace spile::report
