#include "app/clock.hpp"

#include <fmt/chrono.h>

#include <ctime>

namespace spile::app {

Clock Clock::system() {
  Clock clock;
  clock.today = [] {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    localtime_r(&now, &local);
    return fmt::format("{:%Y-%m-%d}", local);
  };
  clock.now_utc = [] {
    const std::time_t now = std::time(nullptr);
    std::tm utc{};
    gmtime_r(&now, &utc);
    return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", utc);
  };
  return clock;
}

Clock Clock::stopped_at(std::string utc) {
  Clock clock;
  clock.today = [utc] { return utc.substr(0, 10); };
  clock.now_utc = [utc = std::move(utc)] { return utc; };
  return clock;
}

}  // namespace spile::app
