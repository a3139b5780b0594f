// Small works on text that the stores share.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace spile::db {

[[nodiscard]] std::string utc_now();                             // 2026-04-12T09:30:00Z
[[nodiscard]] std::string valid_utf8(std::string_view raw);      // bytes that are not UTF-8 become U+FFFD
[[nodiscard]] std::string as_sentence(std::string_view phrase);  // capital and full stop
// Natural order: runs of digits compare as numbers, letters without regard to case: P-2 before P-10.
[[nodiscard]] bool natural_less(std::string_view a, std::string_view b);
// Keys kept in one cell, one space between two.
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);
[[nodiscard]] std::string joined_words(const std::vector<std::string>& words);
// plural(1, "photo") is "1 photo", plural(2, "photo") is "2 photos".
[[nodiscard]] std::string plural(std::int64_t n, std::string_view noun);

}  // namespace spile::db
