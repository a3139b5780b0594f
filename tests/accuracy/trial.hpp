// One random scene drawn, photographed and measured: what was said against what is true.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "model/measurement.hpp"
#include "scenes/draw.hpp"

namespace spile::accuracy {

struct Trial {
  std::uint64_t number = 0;
  double tilt_deg = 0, blur_px = 0;
  double radius_px = 0;  // of the hole, in the picture
  double true_mm = 0;    // diameter
  double mm = 0, u95_mm = 0;
  std::string refused;  // the code; "not found" when other holes were; empty when answered
  std::vector<model::BudgetTerm> budget;

  [[nodiscard]] bool answered() const { return refused.empty(); }
  [[nodiscard]] double error_mm() const { return mm - true_mm; }
  // Error in units of the standard uncertainty the interval stands for.
  [[nodiscard]] double z() const { return 1.96 * error_mm() / u95_mm; }
  [[nodiscard]] bool held() const { return error_mm() <= u95_mm && -error_mm() <= u95_mm; }
};

// Scenes `first`, `first` + 1 ... of a kind with a hole; the same numbers give the same trials, on any number
// of threads.
[[nodiscard]] std::vector<Trial> run_trials(scenes::Kind kind, std::uint64_t first, int count,
                                            const scenes::Priors& priors = {});

}  // namespace spile::accuracy
