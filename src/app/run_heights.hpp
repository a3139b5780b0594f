// Heights along a run: what was typed, and the rest spread over the hose that is left. For this folder only.
#pragma once

#include "app/run_view.hpp"

namespace spile::app {

struct RunHeights {
  std::vector<HeightPoint> points;  // before each part and behind the last; empty: not known
  std::string missing;              // what is not known, a sentence; else empty
  std::string gap;                  // where the typed rises do not lead to the opening; else empty
};
[[nodiscard]] RunHeights heights_of(const model::Run& run, const rules::PlacedRun& placed,
                                    const RunPlace& place);

}  // namespace spile::app
