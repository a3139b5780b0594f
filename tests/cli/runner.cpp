#include "runner.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <stdexcept>

#include "../app/support.hpp"

namespace spile::cli::test {

namespace fs = std::filesystem;

namespace {

constexpr auto kMode = 0600;

std::vector<char*> pointers(std::vector<std::string>& texts) {
  std::vector<char*> all;
  for (auto& text : texts) all.push_back(text.data());
  all.push_back(nullptr);
  return all;
}

std::vector<std::string> environment_with(const std::string& setting) {
  std::vector<std::string> all = {setting};
  for (const char* name : {"PATH", "HOME", "LANG", "ASAN_OPTIONS", "TMPDIR"})
    if (const char* value = std::getenv(name); value != nullptr)
      all.push_back(std::string(name) + "=" + value);
  return all;
}

int run(std::vector<std::string> arguments, const fs::path& out, const fs::path& err,
        const std::string& setting = "SPILE_LOG=off") {
  arguments.insert(arguments.begin(), SPILE_BINARY);
  auto environment = environment_with(setting);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 1, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, kMode);
  posix_spawn_file_actions_addopen(&actions, 2, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, kMode);
  pid_t child = 0;
  const int failed = posix_spawn(&child, SPILE_BINARY, &actions, nullptr, pointers(arguments).data(),
                                 pointers(environment).data());
  posix_spawn_file_actions_destroy(&actions);
  if (failed != 0) throw std::runtime_error(std::string("could not run ") + SPILE_BINARY);
  int ended = 0;
  waitpid(child, &ended, 0);
  return WIFEXITED(ended) ? WEXITSTATUS(ended) : 128 + WTERMSIG(ended);
}

}  // namespace

Ran spile(const std::vector<std::string>& arguments) {
  const app::test::TempFolder folder;
  Ran ran = spile_into(folder / "out", arguments);
  ran.out = app::test::read_text(folder / "out");
  return ran;
}

Ran spile_into(const fs::path& out, const std::vector<std::string>& arguments) {
  const app::test::TempFolder folder;
  Ran ran;
  ran.status = run(arguments, out, folder / "err");
  ran.err = app::test::read_text(folder / "err");
  return ran;
}

Ran spile_logging_to(const fs::path& state, const std::vector<std::string>& arguments) {
  const app::test::TempFolder folder;
  Ran ran;
  ran.status = run(arguments, folder / "out", folder / "err", "XDG_STATE_HOME=" + state.string());
  ran.out = app::test::read_text(folder / "out");
  ran.err = app::test::read_text(folder / "err");
  return ran;
}

bool is_one_sentence(const std::string& err) {
  if (!err.starts_with("spile: ") || std::count(err.begin(), err.end(), '\n') != 1) return false;
  if (err.size() < 30 || err[err.size() - 2] != '.') return false;
  constexpr std::array kLibraries = {
      "exception", "SQLITE", "sqlite3", "cv::", "OpenCV", "std::", "errno", "terminate"};
  return std::none_of(kLibraries.begin(), kLibraries.end(),
                      [&](const char* word) { return err.find(word) != std::string::npos; });
}

std::string state_of(const fs::path& logbook) {
  std::string state =
      spile({"show", logbook.string(), "--json"}).out + spile({"history", logbook.string()}).out;
  std::vector<fs::path> originals;
  for (const auto& entry : fs::recursive_directory_iterator(logbook / "photos"))
    if (entry.is_regular_file()) originals.push_back(entry.path());
  std::sort(originals.begin(), originals.end());
  for (const auto& original : originals) state += original.string() + app::test::read_text(original);
  return state;
}

}  // namespace spile::cli::test
