#include "app/log.hpp"

#include <spdlog/sinks/rotating_file_sink.h>
#include <spdlog/spdlog.h>

#include <cstdlib>
#include <filesystem>
#include <optional>
#include <string>

namespace spile::app {

namespace {

constexpr std::size_t kFileBytes = 1 << 20;
constexpr std::size_t kFiles = 3;
constexpr const char* kLogger = "spile";

std::string environment(const char* name) {
  const char* value = std::getenv(name);  // NOLINT(concurrency-mt-unsafe): before any thread is started
  return value == nullptr ? std::string() : std::string(value);
}

// XDG Base Directory Specification: $XDG_STATE_HOME, else $HOME/.local/state; relative paths are ignored.
std::optional<std::filesystem::path> state_folder() {
  const std::filesystem::path state = environment("XDG_STATE_HOME");
  if (state.is_absolute()) return state / "spile";
  const std::filesystem::path home = environment("HOME");
  if (home.is_absolute()) return home / ".local" / "state" / "spile";
  return std::nullopt;
}

}  // namespace

void start_log(std::string_view program) {
  if (environment("SPILE_LOG") == "off") return;
  const auto folder = state_folder();
  std::error_code failed;
  if (!folder || (std::filesystem::create_directories(*folder, failed), failed)) return;
  try {
    auto logger =
        spdlog::rotating_logger_mt(kLogger, (*folder / "spile.log").string(), kFileBytes, kFiles - 1);
    logger->set_error_handler([](const std::string&) {});  // a full disk must not spoil the answer on screen
    logger->flush_on(spdlog::level::err);
    logger->set_pattern(fmt::format("%Y-%m-%dT%H:%M:%S.%e%z %P {} %l %v", program));
  } catch (const spdlog::spdlog_ex&) {
    // A log that cannot be written is no reason not to work.
  }
}

void log_error(const Error& error) {
  const auto logger = spdlog::get(kLogger);
  if (!logger) return;
  logger->error("[{}] {}{}{}", static_cast<int>(error.code), error.what, error.detail.empty() ? "" : " | ",
                error.detail);
}

}  // namespace spile::app
