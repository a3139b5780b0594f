// What a comparison found, in words.
#include <fmt/format.h>

#include <cmath>

#include "app/compare_photos.hpp"
#include "app/wording.hpp"

namespace spile::app {

std::string title_of(const vision::Change& change) {
  if (!change.earlier_area_mm2) return "New " + change.kind;
  std::string kind = change.kind;
  kind[0] = static_cast<char>(kind[0] - 'a' + 'A');
  return kind + ", grown";
}

std::string size_of(const vision::Change& change) {
  if (change.length_mm) return print_interval(*change.length_mm, change.u95, "mm") + " long";
  std::string size = print_interval(change.area_mm2.value_or(0), change.u95, "mm²");
  if (change.earlier_area_mm2)
    size += fmt::format(", was about {} mm²", print_number(*change.earlier_area_mm2, 0));
  return size;
}

std::string sentence(const vision::Change& change) {
  return fmt::format("{}, {}", lower(title_of(change)), size_of(change));
}

std::string summary(const vision::Comparison& comparison) {
  return comparison.changes.empty() ? "No change found" : counted(comparison.changes.size(), "change");
}

std::string growth(const vision::TracedLength& earlier, const vision::TracedLength& later) {
  const double grown = later.length_mm - earlier.length_mm, u95 = std::hypot(earlier.u95_mm, later.u95_mm);
  const std::string by = print_interval(std::abs(grown), u95, "mm");
  if (grown > u95) return "grown by " + by;
  if (grown < -u95) return fmt::format("shorter by {}: cracks do not heal, so check both traces", by);
  return fmt::format("no growth beyond what tracing can tell ({} ± {} mm)", print_number(grown, 1),
                     print_number(u95, 1));
}

}  // namespace spile::app
