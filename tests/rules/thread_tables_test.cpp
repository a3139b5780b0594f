#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "shipped.hpp"
#include "units/quantity.hpp"

using namespace spile;
using namespace spile::rules;

namespace {

constexpr double kInch = units::kMillimetresPerInch;

const PipeThread& thread(const std::string& form, std::string size) {
  std::replace(size.begin(), size.end(), '/', '-');
  const auto* row = shipped().thread(form + "-" + size);
  EXPECT_NE(row, nullptr) << form << " " << size;
  return *row;
}

template <class Check>
void each(std::string_view form, const Check& check) {
  int seen = 0;
  for (const auto& row : shipped().threads()) {
    if (row.form != form) continue;
    SCOPED_TRACE(row.choice.key);
    check(row);
    ++seen;
  }
  EXPECT_EQ(seen, 9) << form;
}

HoleSaw saw(std::string_view size) {
  for (const auto& row : shipped().hole_saws())
    if (row.size_in == size) return row;
  ADD_FAILURE() << size;
  return {};
}

}  // namespace

// ASME B1.20.1, formulas of the basic dimensions: E0 = D - (0.05 D + 1.1)/n; E1 = E0 + L1/16; L2 = (0.8 D
// + 6.8)/n.
TEST(ThreadTables, NptFollowsItsFormulas) {
  each("npt", [](const PipeThread& row) {
    const double d = row.major_mm / kInch, n = row.threads_per_inch;
    const double l1 = *row.hand_tight_mm / kInch;
    const double e0 = d - (0.05 * d + 1.1) / n;
    EXPECT_NEAR(*row.pitch_diameter_mm / kInch, e0 + l1 / 16, 2e-5);
    EXPECT_NEAR(*row.effective_mm / kInch, (0.8 * d + 6.8) / n, 1e-4);
    EXPECT_TRUE(row.tapered);
    EXPECT_EQ(row.flank_deg, 60);
  });
}

// ASME B1.20.1, table of NPT basic dimensions; inches.
TEST(ThreadTables, NptRowsAsPrinted) {
  EXPECT_NEAR(*thread("npt", "1").pitch_diameter_mm / kInch, 1.23863, 2e-5);
  EXPECT_NEAR(*thread("npt", "1").effective_mm / kInch, 0.6828, 1e-4);
  EXPECT_NEAR(*thread("npt", "2").pitch_diameter_mm / kInch, 2.29627, 2e-5);
  EXPECT_NEAR(*thread("npt", "2").hand_tight_mm / kInch * 11.5, 5.01, 0.01);
  EXPECT_NEAR(*thread("npt", "3/4").effective_mm / kInch * 14, 7.64, 0.01);
  EXPECT_NEAR(kInch / thread("npt", "3/4").threads_per_inch, 1.814, 0.001);
}

// ISO 228-1, profile of 55 degrees: h = 0.640327 P; d2 = d - h; d1 = d - 2 h.
TEST(ThreadTables, PipeThreadsOf55DegreesFollowTheirProfile) {
  for (const char* form : {"g", "r"})
    each(form, [](const PipeThread& row) {
      const double h = 0.640327 * kInch / row.threads_per_inch;
      EXPECT_NEAR(*row.pitch_diameter_mm, row.major_mm - h, 0.0015);
      EXPECT_NEAR(*row.minor_mm, row.major_mm - 2 * h, 0.0015);
      EXPECT_EQ(row.flank_deg, 55);
    });
}

// ISO 228-1 (row G 3/8); from memory: ISO 228-1 (row G 1).
TEST(ThreadTables, ParallelPipeRowsAsPrinted) {
  EXPECT_NEAR(thread("g", "3/8").major_mm, 16.662, 0.001);
  EXPECT_NEAR(*thread("g", "3/8").pitch_diameter_mm, 15.806, 0.001);
  EXPECT_NEAR(*thread("g", "3/8").minor_mm, 14.950, 0.001);
  EXPECT_NEAR(kInch / thread("g", "1").threads_per_inch, 2.309, 0.001);
  EXPECT_NEAR(*thread("g", "1").pitch_diameter_mm, 31.770, 0.002);
  EXPECT_NEAR(*thread("g", "1").minor_mm, 30.291, 0.002);
}

// Common practice: outside diameters alone cannot tell NPS from BSP, the pitch can (11.5 against 11 to the
// inch).
TEST(ThreadTables, DiameterAloneDoesNotTellTheTwoFamiliesApart) {
  for (const char* size : {"1", "1-1/2"}) {
    EXPECT_LT(std::abs(thread("npt", size).major_mm - thread("g", size).major_mm), 0.6);
    EXPECT_NE(thread("npt", size).threads_per_inch, thread("g", size).threads_per_inch);
  }
}

// Nominal sizes repeat the outside diameters of ASME B1.20.1 and ISO 228-1, rounded to 0.1 mm.
TEST(NominalSizes, OutsideDiametersAgreeWithTheThreads) {
  for (const auto& size : shipped().nominal_sizes()) {
    EXPECT_NEAR(size.nps_outside_mm, thread("npt", size.size_in).major_mm, 0.051) << size.size_in;
    EXPECT_NEAR(size.g_outside_mm, thread("g", size.size_in).major_mm, 0.051) << size.size_in;
  }
}

// Common practice, computed from ASME B1.20.1 diameters: a 2 in saw leaves 2.54 mm on a 1-1/2 in stem, 35
// mm 1.60 on 1 in.
TEST(HoleSaws, ClearanceOnTheStem) {
  EXPECT_NEAR(saw("2").diameter_mm - thread("npt", "1-1/2").major_mm, 2.54, 0.005);
  EXPECT_NEAR(saw("1-3/8").diameter_mm - thread("npt", "1").major_mm, 1.52, 0.005);
  EXPECT_NEAR(saw("1-3/8").sold_as_mm - thread("npt", "1").major_mm, 1.60, 0.005);
  EXPECT_NEAR(saw("7/8").diameter_mm - thread("npt", "1/2").major_mm, 0.89, 0.005);
}
