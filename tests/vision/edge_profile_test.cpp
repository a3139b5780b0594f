#include "vision/edge_profile.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "vision/bell.hpp"

namespace spile::vision {
namespace {

// A straight edge at a known place, blurred in light, coded by the sRGB curve of the standard (IEC 61966-2-1,
// from memory), with camera noise: rendered here independently of the code under test.
struct EdgePicture {
  double place = 0;   // px from the middle, along the normal
  double angle = 0;   // of the normal, rad
  double blur = 1.1;  // px
  double dark = 0.04, light = 0.7;
  double noise = 0;  // coded values
};

double srgb(double v) {
  return 255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055);
}

cv::Mat rendered(const EdgePicture& e, unsigned seed = 1) {
  cv::Mat picture(81, 81, CV_8UC1);
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0, 1);
  const double nx = std::cos(e.angle), ny = std::sin(e.angle);
  for (int y = 0; y < 81; ++y) {
    for (int x = 0; x < 81; ++x) {
      double sum = 0;  // the pixel averages light over its face
      for (int i = 0; i < 8; ++i) {
        for (int j = 0; j < 8; ++j) {
          const double t = (x - 40 + (i - 3.5) / 8) * nx + (y - 40 + (j - 3.5) / 8) * ny - e.place;
          sum += e.dark + (e.light - e.dark) * 0.5 * std::erfc(-t / (e.blur * M_SQRT2));
        }
      }
      const double coded = srgb(sum / 64) + e.noise * noise(random);
      picture.at<std::uint8_t>(y, x) = cv::saturate_cast<std::uint8_t>(std::lround(coded));
    }
  }
  return picture;
}

std::optional<EdgeFit> measured(const cv::Mat& picture, double angle, double start) {
  const LightView view(picture);
  const auto profile = sample_profile(view, {40, 40}, {std::cos(angle), std::sin(angle)}, 8);
  return fit_edge(profile, start);
}

TEST(EdgeProfile, ToneCurveLeavesNoBias) {
  for (const double blur : {0.8, 1.1, 1.5}) {
    double sum = 0, worst = 0;
    int n = 0;
    for (double place = -1; place <= 1; place += 0.13) {
      for (const double angle : {0.0, 0.4, 1.2, 2.5, 4.0}) {
        const auto fit = measured(rendered({place, angle, blur}), angle, place + 0.6);
        ASSERT_TRUE(fit);
        sum += fit->offset - place;
        worst = std::max(worst, std::abs(fit->offset - place));
        ++n;
      }
    }
    EXPECT_LT(std::abs(sum / n), 0.03) << "blur " << blur;
    EXPECT_LT(worst, 0.1) << "blur " << blur;
  }
}

TEST(EdgeProfile, StatedUncertaintyMatchesTheScatter) {
  double squares = 0, stated = 0;
  const int n = 200;
  for (int i = 0; i < n; ++i) {
    const auto fit = measured(rendered({0.3, 0.7, 1.2, 0.05, 0.6, 4}, static_cast<unsigned>(i + 1)), 0.7, 0);
    ASSERT_TRUE(fit);
    squares += (fit->offset - 0.3) * (fit->offset - 0.3);
    stated += fit->u / n;
  }
  const double scatter = std::sqrt(squares / n);
  EXPECT_GT(stated, 0.5 * scatter);
  EXPECT_LT(stated, 2 * scatter);
  EXPECT_LT(scatter, 0.15);
}

TEST(EdgeProfile, ReadsBlurAndContrast) {
  const auto fit = measured(rendered({0, 0, 1.5, 0.05, 0.6}), 0, 0);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->blur, std::hypot(1.5, std::sqrt(1 / 6.0)),
              0.12);  // plus a pixel's and the reading's own width
  EXPECT_NEAR(fit->contrast(), srgb(0.6) - srgb(0.05), 6);
  EXPECT_GT(fit->contrast(), 0);
}

TEST(EdgeProfile, NothingWhereThereIsNothing) {
  EXPECT_FALSE(measured(cv::Mat(81, 81, CV_8UC1, cv::Scalar(120)), 0, 0));
  const LightView view(rendered({}));
  EXPECT_TRUE(sample_profile(view, {2, 2}, {1, 0}, 8).light.empty());
}

TEST(EdgeProfile, PeaksGiveBothStepsOfATwoStepEdge) {
  cv::Mat picture = rendered({-4, 0, 0.8, 0.05, 0.3});
  const cv::Mat second = rendered({4, 0, 0.8, 0.3, 0.8});
  second.colRange(40, 81).copyTo(picture.colRange(40, 81));
  const LightView view(picture);
  const auto peaks = edge_peaks(sample_profile(view, {40, 40}, {1, 0}, 10), 20);
  ASSERT_EQ(peaks.size(), 2u);
  EXPECT_NEAR(peaks[0].offset, -4, 0.8);
  EXPECT_NEAR(peaks[1].offset, 4, 0.8);
  EXPECT_GT(peaks[0].contrast, 40);
}

// The closed forms: the normal distribution by erfc and exp, the sRGB curve as above.
TEST(Tables, AreAsGoodAsTheySay) {
  for (double z = -4.99; z < 5; z += 0.0137) {
    EXPECT_NEAR(Bell::table().at(z).integral, 0.5 * std::erfc(-z / M_SQRT2), 2e-5) << z;
    EXPECT_NEAR(Bell::table().at(z).density, std::exp(-z * z / 2) / std::sqrt(2 * M_PI), 2e-5) << z;
  }
  EXPECT_LT(Bell::table().at(-40).integral, 1e-6);
  EXPECT_GT(Bell::table().at(40).integral, 1 - 1e-6);
  for (double light = 0; light <= 1; light += 0.00173) {
    EXPECT_NEAR(Coder::table().at(light).coded, srgb(light), 0.01) << light;
    if (light < 0.004) continue;
    const double slope = (srgb(light + 1e-6) - srgb(light - 1e-6)) / 2e-6;
    EXPECT_NEAR(Coder::table().at(light).slope / slope, 1, 0.005) << light;
  }
}

}  // namespace
}  // namespace spile::vision
