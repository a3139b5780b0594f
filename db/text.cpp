#include "db/text.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <ctime>
#include <nlohmann/json.hpp>

namespace spile::db {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

// ASCII only: tags are compared the way SQLite's NOCASE compares them, whatever the locale.
char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

std::string_view take_number(std::string_view& text) {
  const auto end = std::find_if_not(text.begin(), text.end(), is_digit);
  const auto n = static_cast<std::size_t>(end - text.begin());
  auto digits = text.substr(0, n);
  text.remove_prefix(n);
  digits.remove_prefix(std::min(digits.find_first_not_of('0'), digits.size()));
  return digits;
}

int compare_numbers(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return a.size() < b.size() ? -1 : 1;
  return a.compare(b);
}

}  // namespace

std::string utc_now() {
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::time(nullptr)));
}

std::string valid_utf8(std::string_view raw) {
  const auto quoted = nlohmann::json(raw).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  return nlohmann::json::parse(quoted).get<std::string>();
}

std::string as_sentence(std::string_view phrase) {
  std::string text(phrase);
  if (text.empty()) return text;
  if (text.front() >= 'a' && text.front() <= 'z') text.front() = static_cast<char>(text.front() - 'a' + 'A');
  if (text.back() != '.') text += '.';
  return text;
}

bool natural_less(std::string_view a, std::string_view b) {
  const auto whole_a = a, whole_b = b;
  while (!a.empty() && !b.empty()) {
    if (is_digit(a.front()) && is_digit(b.front())) {
      const int order = compare_numbers(take_number(a), take_number(b));
      if (order != 0) return order < 0;
      continue;
    }
    const auto x = static_cast<unsigned char>(lower(a.front())),
               y = static_cast<unsigned char>(lower(b.front()));
    if (x != y) return x < y;
    a.remove_prefix(1);
    b.remove_prefix(1);
  }
  if (a.empty() != b.empty()) return a.empty();
  return whole_a < whole_b;
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    if (end > 0) words.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return words;
}

std::string joined_words(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& word : words) {
    if (!text.empty()) text.push_back(' ');
    text.append(word);
  }
  return text;
}

std::string plural(std::int64_t n, std::string_view noun) {
  return fmt::format("{} {}{}", n, noun, n == 1 ? "" : "s");
}

}  // namespace spile::db
