// Path-traced pictures with exact truth beside them: what the engine says against what was drawn.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "vision/measure.hpp"

namespace spile::vision {
namespace {

using nlohmann::json;

struct Case {
  std::filesystem::path photo;
  json truth;
};

Case load(const std::filesystem::path& json_file) {
  std::ifstream in(json_file);
  auto photo = json_file;
  return {photo.replace_extension(".jpg"), json::parse(in)};
}

PixelPoint upright(const json& truth, const json& p) {
  const auto& m = truth["M_stored_to_displayed"];
  const double x = p[0], y = p[1];
  return {m[0][0].get<double>() * x + m[0][1].get<double>() * y + m[0][2].get<double>(),
          m[1][0].get<double>() * x + m[1][1].get<double>() * y + m[1][2].get<double>()};
}

Report measured(const Case& c) {
  const auto picture = Picture::load(c.photo);
  EXPECT_TRUE(picture);
  const auto& r = c.truth["reference"];
  Request request;
  request.subject = Subject::Hole;
  request.reference = CardReference{r["marker_size_mm"], r["rect_mm"][0], r["rect_mm"][1]};
  return measure(*picture, request);
}

const Hole* hole_at(const Report& report, const PixelPoint& p) {
  for (const Hole& hole : report.holes) {
    if (std::hypot(hole.centre_px.x - p.x, hole.centre_px.y - p.y) < 3) return &hole;
  }
  return nullptr;
}

class RenderedHole : public ::testing::TestWithParam<const char*> {};

TEST_P(RenderedHole, HolesAreAllThereAndTheirIntervalsTrue) {
  const Case c = load(std::filesystem::path(SPILE_SOURCE_DIR) / "tests/data/rendered" / GetParam());
  const Report report = measured(c);
  ASSERT_FALSE(report.refused) << report.refused->reason;
  EXPECT_EQ(report.holes.size(), c.truth["holes"].size());
  for (const auto& truth : c.truth["holes"]) {
    const Hole* hole = hole_at(report, upright(c.truth, truth["center_px"]));
    ASSERT_NE(hole, nullptr);
    const double mm = truth["mean_mm"];
    EXPECT_NEAR(hole->diameter_mm, mm, 0.005 * mm);
    EXPECT_NEAR(hole->diameter_mm, mm, hole->u95_mm);
    EXPECT_LT(hole->u95_mm, 0.02 * mm);
    if (hole->depth_mm) {
      EXPECT_NEAR(*hole->depth_mm, truth["depth_mm"].get<double>(), *hole->depth_u95_mm);
    }
    EXPECT_NEAR(hole->ovality_pct, truth["ovality_percent"].get<double>(), 1.0);
  }
}

// Dark and lit bores, painted and white hulls, two holes, part of the card outside the frame.
INSTANTIATE_TEST_SUITE_P(Kept, RenderedHole,
                         ::testing::Values("hole_card_01.json", "hole_card_09.json", "two_holes_03.json",
                                           "neg_refcrop_02.json"));

TEST(Rendered, LaminateIsMeasuredThroughTheBoreWhereItsFarRimShows) {
  for (const char* name : {"hole_card_01.json", "hole_card_09.json"}) {
    const Case c = load(std::filesystem::path(SPILE_SOURCE_DIR) / "tests/data/rendered" / name);
    const Report report = measured(c);
    ASSERT_EQ(report.holes.size(), 1u);
    ASSERT_TRUE(report.holes[0].depth_mm) << name;
    const double mm = c.truth["holes"][0]["depth_mm"];
    EXPECT_NEAR(*report.holes[0].depth_mm, mm, 0.06 * mm);
  }
}

TEST(RenderedFolder, HolesBesideTheCardKeepTheBars) {
  const std::filesystem::path folder = std::filesystem::path(SPILE_SOURCE_DIR) / "../shared/photos/rendered";
  if (!std::filesystem::is_directory(folder)) GTEST_SKIP() << "../shared/photos/rendered is not here";
  std::vector<double> errors;
  int held = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() != ".json") continue;
    const Case c = load(entry.path());
    if (c.truth["family"] != "hole_card") continue;
    const Report report = measured(c);
    ASSERT_FALSE(report.refused) << c.photo << report.refused->reason;
    ASSERT_EQ(report.holes.size(), c.truth["holes"].size()) << c.photo;
    const double mm = c.truth["holes"][0]["mean_mm"];
    const double error = std::abs(report.holes[0].diameter_mm - mm);
    errors.push_back(100 * error / mm);
    held += error <= report.holes[0].u95_mm ? 1 : 0;
  }
  ASSERT_GE(errors.size(), 5u);
  std::sort(errors.begin(), errors.end());
  EXPECT_LE(errors[errors.size() / 2], 0.25);
  EXPECT_LE(errors[errors.size() * 9 / 10], 0.8);
  EXPECT_GE(held, static_cast<int>(errors.size()) - 1);
}

}  // namespace
}  // namespace spile::vision
