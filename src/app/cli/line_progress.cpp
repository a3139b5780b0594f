#include "app/cli/line_progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <ostream>

namespace spile::app::cli {

LineProgress::LineProgress(std::ostream& err) : err_(err), terminal_(::isatty(STDERR_FILENO) == 1) {}

LineProgress::~LineProgress() {
  if (terminal_) err_ << "\r\033[K" << std::flush;
}

void LineProgress::at(const std::string& stage, int done, int total) {
  if (!terminal_) return;
  const std::string count = total > 0 ? fmt::format(" ({} of {})", done, total) : "";
  err_ << "\r\033[K" << stage << count << std::flush;
}

}  // namespace spile::app::cli
