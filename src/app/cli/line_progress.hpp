// How far long work has come, for whoever watches a terminal.
#pragma once

#include <iosfwd>
#include <string>

#include "app/jobs.hpp"

namespace spile::app::cli {

// One line that is written over on a terminal, and wiped at the end; nothing where messages go to a file.
class LineProgress final : public Progress {
 public:
  explicit LineProgress(std::ostream& err);
  ~LineProgress() override;
  LineProgress(const LineProgress&) = delete;
  LineProgress& operator=(const LineProgress&) = delete;
  void at(const std::string& stage, int done, int total) override;
  [[nodiscard]] bool cancelled() const override { return false; }

 private:
  std::ostream& err_;
  bool terminal_;
};

}  // namespace spile::app::cli
