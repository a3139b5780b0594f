#include "rules/csv.hpp"

#include <csv.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace spile::rules {

namespace {

constexpr std::string_view kRemedy = "Correct the table and load it again.";

class Parser {
 public:
  Parser() { failed_ = csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI) != 0; }
  ~Parser() { csv_free(&parser_); }
  Parser(const Parser&) = delete;
  Parser& operator=(const Parser&) = delete;

  // Every record, or nothing where the text breaks RFC 4180; records read so far stay in records().
  bool parse(std::string_view text) {
    if (failed_) return false;
    if (csv_parse(&parser_, text.data(), text.size(), on_field, on_record, this) != text.size()) return false;
    return csv_fini(&parser_, on_field, on_record, this) == 0;
  }
  [[nodiscard]] std::vector<std::vector<std::string>>& records() { return records_; }

 private:
  static void on_field(void* bytes, std::size_t size, void* self) {
    static_cast<Parser*>(self)->record_.emplace_back(static_cast<const char*>(bytes), size);
  }
  static void on_record(int, void* self) {
    auto& parser = *static_cast<Parser*>(self);
    parser.records_.push_back(std::exchange(parser.record_, {}));
  }

  csv_parser parser_{};
  bool failed_ = false;
  std::vector<std::string> record_;
  std::vector<std::vector<std::string>> records_;
};

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const auto& word : words) out += (out.empty() ? "" : ",") + word;
  return out;
}

}  // namespace

Result<CsvTable> read_csv(std::string_view name, std::string_view text,
                          const std::vector<std::string>& columns) {
  const auto refuse = [&](std::size_t row, std::string_view why) {
    return fail(ErrorCode::BadInput, fmt::format("Table {}, row {}: {}", name, row, why),
                std::string(kRemedy));
  };
  Parser parser;
  const bool whole = parser.parse(text);
  auto& records = parser.records();
  if (!whole) return refuse(records.size() + 1, "a quotation mark is out of place.");
  if (records.empty() || records.front() != columns) {
    return refuse(1, fmt::format("the columns must be {}.", joined(columns)));
  }
  if (records.size() == 1) return refuse(2, "there is no row below the header.");
  for (std::size_t i = 1; i < records.size(); ++i) {
    if (records[i].size() != columns.size()) {
      return refuse(i + 1,
                    fmt::format("{} columns where there must be {}.", records[i].size(), columns.size()));
    }
  }
  records.erase(records.begin());
  return CsvTable{std::string(name), columns, std::move(records)};
}

Result<CsvTable> read_any_csv(std::string_view name, std::string_view text) {
  Parser parser;
  (void)parser.parse(text);
  const auto& records = parser.records();
  return read_csv(name, text, records.empty() ? std::vector<std::string>{"key"} : records.front());
}

namespace {

std::string quoted(const std::string& cell) {
  if (cell.find_first_of(",\"\r\n") == cell.npos) return cell;
  std::string out(1, '"');
  for (const char c : cell) {
    if (c == '"') out.push_back(c);
    out.push_back(c);
  }
  out.push_back('"');
  return out;
}

void write_row(std::string& out, const std::vector<std::string>& cells) {
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) out.push_back(',');
    out.append(quoted(cells[i]));
  }
  out.push_back('\n');
}

}  // namespace

std::string write_csv(const CsvTable& table) {
  std::string out;
  write_row(out, table.columns);
  for (const auto& row : table.rows) write_row(out, row);
  return out;
}

void CsvRow::note(std::string_view column, const std::string& what) const {
  if (fault_) return;
  fault_ = Error{ErrorCode::BadInput,
                 fmt::format("Table {}, row {}, column {}: {}", table_.name, index_ + 2, column, what),
                 std::string(kRemedy),
                 {}};
}

std::string CsvRow::optional_text(std::string_view column) const {
  const auto at = std::find(table_.columns.begin(), table_.columns.end(), column);
  return table_.rows[index_][static_cast<std::size_t>(at - table_.columns.begin())];
}

std::string CsvRow::text(std::string_view column) const {
  std::string cell = optional_text(column);
  if (cell.empty()) note(column, "it is empty.");
  return cell;
}

std::string CsvRow::key(std::string_view column) const {
  std::string cell = text(column);
  const bool plain = cell.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-.") == cell.npos;
  if (!plain) note(column, fmt::format("\"{}\" must be lower-case letters, digits, dots and hyphens.", cell));
  return cell;
}

std::optional<double> CsvRow::optional_number(std::string_view column) const {
  const std::string cell = optional_text(column);
  if (cell.empty()) return std::nullopt;
  double value = 0;
  const auto [end, code] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (code == std::errc() && end == cell.data() + cell.size() && std::isfinite(value)) return value;
  note(column, fmt::format("\"{}\" is not a number.", cell));
  return std::nullopt;
}

double CsvRow::number(std::string_view column) const {
  if (text(column).empty()) return 0;
  return optional_number(column).value_or(0);
}

double CsvRow::positive(std::string_view column) const {
  const double value = number(column);
  if (!(value > 0)) note(column, fmt::format("{} is not above zero.", value));
  return value;
}

std::string CsvRow::source() const {
  std::string cell = text("source");
  constexpr std::string_view kMemory = "from memory";
  const auto at = cell.find(kMemory);
  const bool document_missing = at != cell.npos && (cell.compare(at + kMemory.size(), 2, ": ") != 0 ||
                                                    cell.size() < at + kMemory.size() + 4);
  if (document_missing) note("source", "\"from memory\" must name its document: \"from memory: ISO 7-1\".");
  return cell;
}

}  // namespace spile::rules
