// Inside of src/units: typed text brought to plain ASCII, and a reader for the numbers in it.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "outcome/outcome.hpp"

namespace spile::units::typed {

// Lower case; typographic quotes, dashes, spaces, fraction slashes and vulgar fractions as plain ASCII;
// trimmed. Bytes without a plain spelling stay as they are, so that they are refused later.
[[nodiscard]] std::string plain(std::string_view text);

enum class NumberShape { Decimal, Fraction };

struct Number {
  double value = 0;  // never negative: signs are read apart
  NumberShape shape = NumberShape::Decimal;
  bool whole = false;  // typed without a decimal sign and without a fraction
};

class Reader {
 public:
  explicit Reader(std::string_view plain_text) : rest_(plain_text) {}

  void skip_spaces();
  [[nodiscard]] bool at_end() const { return rest_.empty(); }
  [[nodiscard]] std::string_view rest() const { return rest_; }
  bool take(char c);
  std::string_view take_letters();

  // "38", "3.8", "3,8", ".5", "3/4", "1 1/2", "1-1/2". No number here: nothing. A number that can be read two
  // ways
  // ("1,500") or not at all ("3/0"): BadInput.
  [[nodiscard]] Result<std::optional<Number>> number();

 private:
  [[nodiscard]] std::string_view take_digits();
  [[nodiscard]] Result<double> decimal(std::string_view digits);
  [[nodiscard]] Result<double> over(std::string_view numerator);
  [[nodiscard]] bool fraction_follows() const;

  std::string_view rest_;
};

}  // namespace spile::units::typed
