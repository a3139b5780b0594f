// Inside of src/rules: builds Tables from text, stopping at the first cell that is not what it must be.
#pragma once

#include <set>

#include "rules/csv.hpp"
#include "rules/tables.hpp"

namespace spile::rules {

class TableReader {
 public:
  explicit TableReader(const Tables::TextOf& text_of) : text_of_(text_of) {}
  [[nodiscard]] Result<Tables> read();

 private:
  template <class ReadRow>
  void each_row(std::string_view name, const std::vector<std::string>& columns, const ReadRow& read_row);
  [[nodiscard]] Choice choice(const CsvRow& row, std::string group);
  void unique(const CsvRow& row, std::string_view column, const std::string& key);

  void read_services();
  void read_materials();
  void read_fitting_kinds();
  void read_valve_kinds();
  void read_backing_materials();
  void read_instruments();
  void read_thresholds();
  void read_threads();
  void read_hole_saws();
  void read_nominal_sizes();
  void read_beddings();
  void read_findings();
  void read_thread_joints();
  void read_removals();
  void read_intervals();
  void read_trend_limits();
  void check_usual_kinds();
  void check_needed_thresholds();

  [[nodiscard]] bool removal_applies_to_something(std::string_view when) const;

  const Tables::TextOf& text_of_;
  Tables tables_;
  std::optional<Error> fault_;
  std::set<std::string> keys_;  // of the table being read
};

template <class ReadRow>
void TableReader::each_row(std::string_view name, const std::vector<std::string>& columns,
                           const ReadRow& read_row) {
  keys_.clear();
  rules::each_row(text_of_, name, columns, fault_, [&](const CsvRow& row) {
    read_row(row);
    if (!fault_) tables_.sources_.emplace_back(name, row.source());
  });
}

}  // namespace spile::rules
