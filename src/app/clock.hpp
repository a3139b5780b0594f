// Now, as the use cases need it; replaced in tests and by the demo so that what they write never changes.
#pragma once

#include <functional>
#include <string>

namespace spile::app {

struct Clock {
  std::function<std::string()> today;    // local civil date: 2026-04-12
  std::function<std::string()> now_utc;  // 2026-04-12T09:30:00Z

  [[nodiscard]] static Clock system();
  [[nodiscard]] static Clock stopped_at(std::string utc);  // both from one instant written as above
};

}  // namespace spile::app
