// Seen obliquely, a hole through a laminate shows its near rim and, through the bore, its far one. Drawn
// scenes in which the far rim, half of each, or an old ring of sealant is the louder circle; the truth is the
// drawing's.
#include <gtest/gtest.h>

#include <cmath>

#include "accuracy/trial.hpp"

namespace spile::accuracy {
namespace {

struct Shown {
  std::uint64_t number;  // of the scene
  const char* what;
  double told_apart_pct;  // what the wrong circle would be off
};

class NearRim : public ::testing::TestWithParam<Shown> {};

TEST_P(NearRim, IsTakenAndNotALouderCircleAboutIt) {
  const Trial trial = run_trials(scenes::Kind::HoleWithCard, GetParam().number, 1).front();
  ASSERT_TRUE(trial.answered()) << trial.refused;
  EXPECT_LT(100 * std::abs(trial.error_mm()) / trial.true_mm, 0.3 * GetParam().told_apart_pct)
      << GetParam().what << ": " << trial.mm << " for " << trial.true_mm;
}

INSTANTIATE_TEST_SUITE_P(
    Drawn, NearRim,
    ::testing::Values(Shown{137, "dark hull from in front, the far rim all round", 8},
                      Shown{361, "dark hull, deep bore, half of the far rim goes on across the hull", 10},
                      Shown{145, "dark hull, the far rim where the wall shows", 6.5},
                      Shown{450, "dark hull at 39 degrees, half of the near rim and half of the far one", 4},
                      Shown{64, "timber, the far rim where the wall shows", 9.5},
                      Shown{138, "bare laminate, whose wall is of the hull's colour", 4},
                      Shown{322, "bare laminate from in front, within a ring of sealant", 4.5},
                      Shown{428, "dark hull within a light ring of sealant", 54}));

}  // namespace
}  // namespace spile::accuracy
