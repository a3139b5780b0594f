// The method's own error: a flat disc in a plane that is exactly known. Outside: the closed form the disc is
// drawn from, and fits that ignore the tone curve on the same pictures.
#include "accuracy/radius.hpp"

#include <gtest/gtest.h>

namespace spile::accuracy {
namespace {

const std::vector<RadiusTrial>& trials() {
  static const std::vector<RadiusTrial> all = radius_trials(2);
  return all;
}

TEST(Radius, IsRightToAFewHundredthsOfAPixelWhateverTheBlur) {
  const RadiusSummary ours = summary(trials(), &RadiusErrors::ours);
  EXPECT_LE(ours.rms_px, 0.03) << markdown(trials());
  EXPECT_LE(ours.bias_over_blur_pct, 0.1) << markdown(trials());
}

// Blur adds up in light, the file keeps coded values: without the tone curve a dark disc reads too small, and
// the more so the more it is blurred. If these were as good the pictures would prove nothing.
TEST(Radius, IsWrongWhereTheToneCurveIsIgnored) {
  for (const auto method : {&RadiusErrors::tone_ignored, &RadiusErrors::fit_ellipse}) {
    const RadiusSummary naive = summary(trials(), method);
    EXPECT_GT(naive.rms_px, 0.4);
    EXPECT_LT(naive.bias_px, -0.4);
    EXPECT_GT(naive.bias_over_blur_pct, 0.4);
  }
}

}  // namespace
}  // namespace spile::accuracy
