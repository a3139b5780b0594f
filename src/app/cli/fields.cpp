#include "app/cli/fields.hpp"

#include <algorithm>
#include <charconv>

#include "units/text.hpp"

namespace spile::app::cli {

namespace {

bool same_word(std::string_view a, std::string_view b) {
  return folded(a) == folded(b);
}

bool clears(const std::string& text) {
  return trimmed(text).empty() || same_word(trimmed(text), "unknown");
}

}  // namespace

Fields& Fields::text(const Given& given, std::string& into) {
  if (!given || error_) return *this;
  given_ = true;
  into = *given;
  return *this;
}

Fields& Fields::length(const Given& given, std::optional<double>& into) {
  if (!given || error_) return *this;
  given_ = true;
  if (clears(*given)) {
    into.reset();
    return *this;
  }
  const auto read = units::parse_length(*given);
  if (read) {
    into = read->length.value();
  } else {
    error_ = read.error();
  }
  return *this;
}

Fields& Fields::angle(const Given& given, std::optional<double>& into) {
  if (!given || error_) return *this;
  given_ = true;
  if (clears(*given)) {
    into.reset();
    return *this;
  }
  const auto read = units::parse_angle(*given);
  if (read) {
    into = read->value();
  } else {
    error_ = read.error();
  }
  return *this;
}

Fields& Fields::number(const Given& given, std::string_view what, std::optional<double>& into) {
  if (!given || error_) return *this;
  given_ = true;
  into.reset();
  if (clears(*given)) return *this;
  const auto word = trimmed(*given);
  double read = 0;
  const auto end = std::from_chars(word.data(), word.data() + word.size(), read);
  if (end.ec == std::errc() && end.ptr == word.data() + word.size()) {
    into = read;
  } else {
    error_ = Error{ErrorCode::BadInput,
                   fmt::format("\"{}\" is not a number of {}.", *given, what),
                   "Write it in digits, such as 2 or 0.5.",
                   {}};
  }
  return *this;
}

Fields& Fields::rows(const Given& given, std::string_view what, const std::vector<rules::Choice>& choices,
                     std::vector<std::string>& into) {
  if (!given || error_) return *this;
  given_ = true;
  std::vector<std::string> picked;
  std::string_view left = *given;
  while (!clears(std::string(left))) {
    const auto end = std::min(left.find(','), left.size());
    std::string key;
    if (!pick(std::string(left.substr(0, end)), what, choices, key)) return *this;
    if (std::find(picked.begin(), picked.end(), key) == picked.end()) picked.push_back(key);
    left.remove_prefix(std::min(end + 1, left.size()));
  }
  into = std::move(picked);
  return *this;
}

Fields& Fields::row(const Given& given, std::string_view what, const std::vector<rules::Choice>& choices,
                    std::string& into) {
  if (!given || error_) return *this;
  if (clears(*given)) {
    given_ = true;
    into.clear();
    return *this;
  }
  pick(*given, what, choices, into);
  return *this;
}

bool Fields::pick(const std::string& given, std::string_view what, const std::vector<rules::Choice>& choices,
                  std::string& into) {
  given_ = true;
  const auto word = trimmed(given);
  std::string keys;
  for (const auto& choice : choices) {
    if (same_word(choice.key, word) || same_word(choice.label, word)) {
      into = choice.key;
      return true;
    }
    keys += (keys.empty() ? "" : ", ") + choice.key;
  }
  error_ = Error{ErrorCode::BadInput,
                 fmt::format("\"{}\" is not a known {}.", given, what),
                 fmt::format("It is one of: {}.", keys),
                 {}};
  return false;
}

Result<void> Fields::understood() const {
  if (error_) return tl::unexpected(*error_);
  return {};
}

}  // namespace spile::app::cli
