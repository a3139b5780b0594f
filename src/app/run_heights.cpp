#include "app/run_heights.hpp"

#include <fmt/format.h>

#include <cmath>

#include "app/wording.hpp"

namespace spile::app {

namespace {

constexpr double kCloses = 50;  // mm; tape and waterline know no better (common practice)

double length_left(const rules::PlacedRun& placed) {
  double sum = 0;
  for (const auto& part : placed.parts)
    if (!part.rise_mm) sum += part.length_mm;
  return sum;
}

std::vector<double> rises(const rules::PlacedRun& placed, double whole, std::string& gap) {
  double left = whole;
  for (const auto& part : placed.parts) left -= part.rise_mm.value_or(0);
  const double length = length_left(placed);
  if (length <= 0 && std::abs(left) > kCloses)
    gap = fmt::format("The rises as typed miss the opening by {} mm; measure them again.",
                      print_number(std::abs(left), 0));
  std::vector<double> each;
  for (const auto& part : placed.parts)
    each.push_back(part.rise_mm ? *part.rise_mm : length > 0 ? left * part.length_mm / length : 0);
  return each;
}

}  // namespace

RunHeights heights_of(const model::Run& run, const rules::PlacedRun& placed, const RunPlace& place) {
  RunHeights heights;
  if (!run.outlet_height_mm) {
    heights.missing = "How high the run starts above the waterline is not recorded.";
  } else if (!place.height_mm) {
    heights.missing = fmt::format("How high {} lies is not recorded.", place.tag);
  }
  if (!heights.missing.empty() || placed.parts.empty()) return heights;
  const double outside = place.half_breadth_mm.value_or(0);
  const double inside = run.from_centreline_mm.value_or(outside);
  double whole = 0;
  for (const auto& part : placed.parts) whole += part.length_mm;
  HeightPoint point{0, *run.outlet_height_mm, inside};
  heights.points.push_back(point);
  const auto each = rises(placed, *place.height_mm - *run.outlet_height_mm, heights.gap);
  for (std::size_t i = 0; i < each.size(); ++i) {
    point.along_mm += placed.parts[i].length_mm;
    point.height_mm += each[i];
    point.toward_low_side_mm = whole > 0 ? std::lerp(inside, outside, point.along_mm / whole) : outside;
    heights.points.push_back(point);
  }
  return heights;
}

}  // namespace spile::app
