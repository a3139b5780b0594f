// Runs the real binary and gives back what it printed and how it ended.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace spile::cli::test {

struct Ran {
  int status = -1;
  std::string out, err;
};

[[nodiscard]] Ran spile(const std::vector<std::string>& arguments);
// Standard output goes to `out`, e.g. a device that is always full.
[[nodiscard]] Ran spile_into(const std::filesystem::path& out, const std::vector<std::string>& arguments);

// The log is on, and goes to this state folder.
[[nodiscard]] Ran spile_logging_to(const std::filesystem::path& state,
                                   const std::vector<std::string>& arguments);

// One sentence for people: "spile: ..." on one line, and nothing that looks like a library talking.
[[nodiscard]] bool is_one_sentence(const std::string& err);

// Everything a person can see of a logbook, and every original in it.
[[nodiscard]] std::string state_of(const std::filesystem::path& logbook);

}  // namespace spile::cli::test
