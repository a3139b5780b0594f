// Rows of the yard's own, laid over a table of the trade that comes with the program.
#pragma once

#include <string>

namespace spile::model {

struct YardTable {
  std::string name;  // of the table: "thresholds.csv"
  std::string csv;   // RFC 4180, with the header of that table; at least one row
  friend bool operator==(const YardTable&, const YardTable&) = default;
};

}  // namespace spile::model
