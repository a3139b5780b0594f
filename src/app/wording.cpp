#include "app/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "model/names.hpp"

namespace spile::app {

std::string trimmed(std::string_view text) {
  constexpr std::string_view kBlank = " \t\r\n";
  const auto first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return std::string(text.substr(first, text.find_last_not_of(kBlank) - first + 1));
}

std::string folded(std::string_view text) {
  std::string lowered(text);
  for (char& c : lowered)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return lowered;
}

std::string lower(std::string_view label) {
  std::string text(label);
  if (!text.empty()) text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
  return text;
}

std::string with_article(std::string_view noun) {
  const bool vowel = !noun.empty() && std::string_view("aeiou").find(noun[0]) != std::string_view::npos;
  return fmt::format("{} {}", vowel ? "an" : "a", noun);
}

std::string counted(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string print_number(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string print_mm(double mm) {
  return print_number(mm, 2) + " mm";
}

std::string print_measurement(const model::Measurement& m) {
  const std::string layer = m.label.empty() ? "" : fmt::format(" ({})", m.label);
  return fmt::format("{}{} {}", lower(model::label(m.quantity)), layer,
                     print_interval(m.value, m.u95, model::unit_of(m.quantity)));
}

}  // namespace spile::app
