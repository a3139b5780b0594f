// Inside of src/rules: a table read from RFC 4180 text, and its cells read as what they must be.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "outcome/outcome.hpp"

namespace spile::rules {

struct CsvTable {
  std::string name;  // "services.csv"
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;  // each as wide as `columns`
};

// Errors: BadInput naming the table and the row (the header is row 1), where the text is not RFC 4180, the
// header is not `columns` in this order, a row is too short or too long, or there is no row at all.
[[nodiscard]] Result<CsvTable> read_csv(std::string_view name, std::string_view text,
                                        const std::vector<std::string>& columns);

// The same with whatever columns it has, and back to text.
[[nodiscard]] Result<CsvTable> read_any_csv(std::string_view name, std::string_view text);
[[nodiscard]] std::string write_csv(const CsvTable& table);

// One row. A cell that is not what it must be is noted in `fault` (the first one stays) and read as nothing.
class CsvRow {
 public:
  CsvRow(const CsvTable& table, std::size_t index, std::optional<Error>& fault)
      : table_(table), index_(index), fault_(fault) {}

  [[nodiscard]] std::string optional_text(std::string_view column) const;
  [[nodiscard]] std::string text(std::string_view column) const;  // not empty
  [[nodiscard]] std::string key(std::string_view column) const;   // lower case, digits and hyphens
  [[nodiscard]] std::optional<double> optional_number(std::string_view column) const;
  [[nodiscard]] double number(std::string_view column) const;
  [[nodiscard]] double positive(std::string_view column) const;
  [[nodiscard]] std::string source() const;  // column "source", in one of the forms the tables promise

  template <class T, std::size_t N>
  [[nodiscard]] T one_of(std::string_view column,
                         const std::array<std::pair<std::string_view, T>, N>& words) const {
    const std::string typed = text(column);
    std::string known;
    for (const auto& [word, value] : words) {
      if (word == typed) return value;
      known += (known.empty() ? "" : ", ") + std::string(word);
    }
    note(column, "\"" + typed + "\" is not one of " + known + ".");
    return words.front().second;
  }

  void note(std::string_view column, const std::string& what) const;

 private:
  const CsvTable& table_;
  std::size_t index_;
  std::optional<Error>& fault_;
};

// Calls `read_row` for each row of the table named `name` until one of them notes a fault.
template <class TextOf, class ReadRow>
void each_row(const TextOf& text_of, std::string_view name, const std::vector<std::string>& columns,
              std::optional<Error>& fault, const ReadRow& read_row) {
  if (fault) return;
  const auto table = read_csv(name, text_of(name), columns);
  if (!table) {
    fault = table.error();
    return;
  }
  for (std::size_t i = 0; i < table->rows.size() && !fault; ++i) read_row(CsvRow(*table, i, fault));
}

}  // namespace spile::rules
