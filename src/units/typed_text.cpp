#include "units/typed_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace spile::units::typed {

namespace {

constexpr std::string_view kDigits = "0123456789";

// A vulgar fraction gets a space before it, so that "1½" reads as "1 1/2".
constexpr std::array kSpellings = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"½", " 1/2"},   {"¼", " 1/4"},   {"¾", " 3/4"},   {"⅛", " 1/8"},   {"⅜", " 3/8"}, {"⅝", " 5/8"},
    {"⅞", " 7/8"},   {"⅓", " 1/3"},   {"⅔", " 2/3"},   {"⅕", " 1/5"},   {"⅖", " 2/5"}, {"⅗", " 3/5"},
    {"⅘", " 4/5"},   {"⅙", " 1/6"},   {"⅚", " 5/6"},   {"⁄", "/"},      {"∕", "/"},    {"″", "\""},
    {"”", "\""},     {"“", "\""},     {"„", "\""},     {"′′", "\""},    {"''", "\""},  {"′", "'"},
    {"’", "'"},      {"‘", "'"},      {"−", "-"},      {"–", "-"},      {"‐", "-"},    {"‑", "-"},
    {"\u00a0", " "}, {"\u2009", " "}, {"\u202f", " "}, {"\u2007", " "}, {"\t", " "},   {"º", "°"},
    {"³", "3"},      {"∅", ""},       {"⌀", ""},       {"Ø", ""},       {"ø", ""},
});

std::string spell_plainly(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const auto hit = std::find_if(kSpellings.begin(), kSpellings.end(),
                                  [&](const auto& s) { return text.starts_with(s.first); });
    if (hit != kSpellings.end()) {
      out += hit->second;
      text.remove_prefix(hit->first.size());
    } else {
      const char c = text.front();
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
      text.remove_prefix(1);
    }
  }
  return out;
}

}  // namespace

std::string plain(std::string_view text) {
  const std::string spelled = spell_plainly(text);
  const auto first = spelled.find_first_not_of(' ');
  if (first == std::string::npos) return {};
  return spelled.substr(first, spelled.find_last_not_of(' ') - first + 1);
}

void Reader::skip_spaces() {
  rest_.remove_prefix(std::min(rest_.find_first_not_of(' '), rest_.size()));
}

bool Reader::take(char c) {
  if (!rest_.starts_with(c)) return false;
  rest_.remove_prefix(1);
  return true;
}

std::string_view Reader::take_letters() {
  const auto end = std::find_if_not(rest_.begin(), rest_.end(), [](char c) { return c >= 'a' && c <= 'z'; });
  const auto taken = rest_.substr(0, static_cast<std::size_t>(end - rest_.begin()));
  rest_.remove_prefix(taken.size());
  return taken;
}

std::string_view Reader::take_digits() {
  const auto taken = rest_.substr(0, std::min(rest_.find_first_not_of(kDigits), rest_.size()));
  rest_.remove_prefix(taken.size());
  return taken;
}

Result<double> Reader::decimal(std::string_view digits) {
  const bool comma = rest_.starts_with(',');
  rest_.remove_prefix(1);
  const auto after = take_digits();
  if (after.empty()) return fail(ErrorCode::BadInput, "A decimal sign must be followed by a digit.");
  if (rest_.starts_with('.') || rest_.starts_with(',')) {
    return fail(ErrorCode::BadInput, "A number has one decimal sign and no thousands signs.");
  }
  if (comma && after.size() == 3 && !digits.empty() && digits.size() <= 3 && digits.front() != '0') {
    return fail(ErrorCode::BadInput,
                fmt::format("\"{0},{1}\" can be read as {0}.{1} or as {0}{1}.", digits, after));
  }
  const std::string joined = fmt::format("{}.{}", digits.empty() ? "0" : digits, after);
  double value = 0;
  std::from_chars(joined.data(), joined.data() + joined.size(), value);
  return value;
}

Result<double> Reader::over(std::string_view numerator) {
  rest_.remove_prefix(1);
  skip_spaces();
  const auto denominator = take_digits();
  double top = 0, bottom = 0;
  std::from_chars(numerator.data(), numerator.data() + numerator.size(), top);
  std::from_chars(denominator.data(), denominator.data() + denominator.size(), bottom);
  if (!(bottom > 0)) {
    return fail(ErrorCode::BadInput, "A fraction needs a whole number above zero below the line.");
  }
  return top / bottom;
}

// After a whole number: "-1/2", " 1/2", " - 1/2".
bool Reader::fraction_follows() const {
  Reader ahead = *this;
  ahead.skip_spaces();
  const bool apart = ahead.take('-') || ahead.rest_.size() != rest_.size();
  ahead.skip_spaces();
  const auto digits = ahead.take_digits();
  ahead.skip_spaces();
  return apart && !digits.empty() && ahead.rest_.starts_with('/');
}

Result<std::optional<Number>> Reader::number() {
  const auto digits = take_digits();
  if (rest_.starts_with('.') || rest_.starts_with(',')) {
    if (digits.empty() && (rest_.size() < 2 || kDigits.find(rest_[1]) == kDigits.npos)) return std::nullopt;
    return decimal(digits).map([](double v) {
      return std::optional(Number{v, NumberShape::Decimal, false});
    });
  }
  if (digits.empty()) return std::nullopt;
  if (digits.size() > 9) {
    return fail(ErrorCode::BadInput, "The number has too many digits to be a size on a craft.");
  }
  double whole = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), whole);
  const auto as_fraction = [](double v) { return std::optional(Number{v, NumberShape::Fraction, false}); };
  Reader slash = *this;
  slash.skip_spaces();
  if (slash.rest_.starts_with('/')) {
    *this = slash;
    return over(digits).map(as_fraction);
  }
  if (!fraction_follows()) return Number{whole, NumberShape::Decimal, true};
  skip_spaces();
  take('-');
  skip_spaces();
  const auto numerator = take_digits();
  skip_spaces();
  return over(numerator).map([&](double part) { return as_fraction(whole + part); });
}

}  // namespace spile::units::typed
