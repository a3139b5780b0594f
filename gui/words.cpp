#include "gui/words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "app/wording.hpp"
#include "model/names.hpp"

namespace spile::gui {

using units::LengthSystem;
using units::Millimetre;

namespace {
LengthSystem other(LengthSystem lengths) {
  return lengths == LengthSystem::Metric ? LengthSystem::Inch : LengthSystem::Metric;
}
}  // namespace

std::string show_length(double mm, LengthSystem lengths, Size size) {
  if (lengths == LengthSystem::Inch) return units::print_length(Millimetre(mm), lengths);
  if (size == Size::Hull) return fmt::format("{:.2f} m", mm / 1000);
  return app::print_mm(mm);
}

std::string show_other(double mm, LengthSystem lengths, Size size) {
  return show_length(mm, other(lengths), size);
}

Result<units::TypedLength> read_length(std::string_view typed, LengthSystem lengths, Size size) {
  auto read = units::parse_length(typed, lengths);
  if (!read || read->stated || size == Size::Small || read->system != lengths) return read;
  return units::parse_length(std::string(typed) + (lengths == LengthSystem::Metric ? " m" : " ft"), lengths);
}

std::string reading_of(std::string_view typed, LengthSystem lengths, Size size, bool& trouble) {
  trouble = false;
  if (typed.find_first_not_of(' ') == std::string_view::npos) return {};
  const auto read = read_length(typed, lengths, size);
  if (!read) {
    trouble = true;
    return read.error().what;
  }
  const double mm = read->length.value();
  return fmt::format("{} = {}", show_length(mm, LengthSystem::Metric, size),
                     show_length(mm, LengthSystem::Inch, size));
}

std::string show_interval_mm(double value, double u95, LengthSystem lengths) {
  if (lengths == LengthSystem::Metric) return app::print_interval(value, u95, "mm");
  return app::print_interval(units::in_inches(Millimetre(value)), units::in_inches(Millimetre(u95)), "in");
}

std::string show_interval(double value, double u95, model::Quantity quantity, LengthSystem lengths) {
  const std::string_view unit = model::unit_of(quantity);
  if (unit == "mm") return show_interval_mm(value, u95, lengths);
  return app::print_interval(value, u95, unit);
}

std::string show_interval_bare(double value_mm, double u95_mm, LengthSystem lengths) {
  if (lengths == LengthSystem::Metric) return app::print_interval(value_mm, u95_mm, "");
  return app::print_interval(units::in_inches(Millimetre(value_mm)), units::in_inches(Millimetre(u95_mm)),
                             "");
}

const char* unit_word(LengthSystem lengths) {
  return lengths == LengthSystem::Metric ? "mm" : "in";
}

}  // namespace spile::gui
