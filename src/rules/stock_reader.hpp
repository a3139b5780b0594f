// Inside of src/rules: builds Stock from text, stopping at the first cell that is not what it must be.
#pragma once

#include <optional>

#include "rules/csv.hpp"
#include "rules/stock.hpp"

namespace spile::rules {

class StockReader {
 public:
  explicit StockReader(const Tables::TextOf& text_of) : text_of_(text_of) {}
  [[nodiscard]] Result<Stock> read();

 private:
  void read_losses();
  void read_parts();
  void read_services();
  void read_templates();

  const Tables::TextOf& text_of_;
  Stock stock_;
  std::optional<Error> fault_;
};

}  // namespace spile::rules
