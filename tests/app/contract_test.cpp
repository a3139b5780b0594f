// The measuring contract: key for key and in order, as the design prints it.
#include "app/contract.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace spile::app {
namespace {

using nlohmann::ordered_json;

// The sample object of the design document ("Measuring: the contract"), word for word but for the engine.
constexpr const char* kSample = R"({"photo": "a.jpg", "size_px": [4032, 3024], "engine": "ENGINE",
 "reference": {"kind": "card", "mm_per_px": 0.0712, "tilt_deg": 17.3, "rel_u95": 0.0021},
 "holes": [{"centre_px": [2011.4, 1520.9], "diameter_mm": 38.12, "u95_mm": 0.11, "major_mm": 38.3, "minor_mm": 37.9,
            "ovality_pct": 1.0, "edge_seen": 0.97, "edge_damage_mm": 0.0, "depth_mm": 14.9, "depth_u95_mm": 0.8, "rim": "hole"}],
 "edge": {"thickness_mm": 14.8, "u95_mm": 0.3, "construction": "single-skin",
          "layers": [{"kind": "gelcoat", "thickness_mm": 0.6, "u95_mm": 0.1}]},
 "fitting": {"flange_mm": 71.9, "flange_u95_mm": 0.2, "bore_mm": 31.0, "bore_u95_mm": 0.2},
 "budget": [{"term": "reference corners", "u_mm": 0.02}, {"term": "height off the plane", "u_mm": 0.03}],
 "refused": null})";

ordered_json sample() {
  auto json = ordered_json::parse(kSample);
  json["engine"] = vision::engine_name();
  json["reference"]["lens"] = "calibrated 2026-04-12";  // not in the design's sample
  return json;
}

vision::Report sample_report() {
  vision::Report report;
  report.width_px = 4032;
  report.height_px = 3024;
  report.reference = vision::Reference{"card", 0.0712, 17.3, 0.0021, {}, {}, "calibrated 2026-04-12"};
  vision::Hole hole;
  hole.centre_px = {2011.4, 1520.9};
  hole.diameter_mm = 38.12;
  hole.u95_mm = 0.11;
  hole.major_mm = 38.3;
  hole.minor_mm = 37.9;
  hole.ovality_pct = 1.0;
  hole.edge_seen = 0.97;
  hole.depth_mm = 14.9;
  hole.depth_u95_mm = 0.8;
  report.holes.push_back(hole);
  report.edge = vision::Edge{14.8, 0.3, "single-skin", {{"gelcoat", 0.6, 0.1}}, {}, false, {}};
  vision::FittingSeen fitting;
  fitting.flange_mm = 71.9;
  fitting.flange_u95_mm = 0.2;
  fitting.bore_mm = 31.0;
  fitting.bore_u95_mm = 0.2;
  report.fitting = fitting;
  report.budget = {{"reference corners", 0.02}, {"height off the plane", 0.03}};
  return report;
}

TEST(Contract, PrintsTheDesignsSampleKeyForKey) {
  EXPECT_EQ(to_json(sample_report(), "a.jpg").dump(), sample().dump());
}

// The same keys at every level whatever is absent: a reader may rely on them.
TEST(Contract, WhatIsAbsentIsNull) {
  const auto json = to_json(vision::Report{}, "b.jpg");
  std::vector<std::string> keys;
  for (const auto& [key, value] : json.items()) keys.push_back(key);
  std::vector<std::string> expected;
  const auto design = sample();
  for (const auto& [key, value] : design.items()) expected.push_back(key);
  EXPECT_EQ(keys, expected);
  for (const auto* key : {"size_px", "reference", "edge", "fitting", "refused"})
    EXPECT_TRUE(json[key].is_null()) << key;
  EXPECT_EQ(json["holes"], ordered_json::array());
  EXPECT_EQ(json["budget"], ordered_json::array());
}

TEST(Contract, AHoleWithoutDepthSaysNull) {
  auto report = sample_report();
  report.holes[0].depth_mm.reset();
  report.holes[0].depth_u95_mm.reset();
  const auto hole = to_json(report, "a.jpg")["holes"][0];
  EXPECT_TRUE(hole["depth_mm"].is_null());
  EXPECT_TRUE(hole["depth_u95_mm"].is_null());
  EXPECT_EQ(hole.size(), sample()["holes"][0].size());
}

TEST(Contract, ARefusalHasCodeAndReason) {
  vision::Report report;
  report.refused = vision::Refusal{"no-reference", "There is nothing of known size in the photo."};
  EXPECT_EQ(to_json(report, "a.jpg")["refused"].dump(),
            R"({"code":"no-reference","reason":"There is nothing of known size in the photo."})");
}

TEST(Contract, AFileThatIsNoPictureIsARefusalThatTellsWhatToDo) {
  const auto report =
      unreadable(Error{ErrorCode::NotAnImage, "a.jpg is not a picture.", "Choose another.", {}});
  const auto refused = to_json(report, "a.jpg")["refused"];
  EXPECT_EQ(refused["code"], "unreadable");
  EXPECT_EQ(refused["reason"], "a.jpg is not a picture. Choose another.");
}

TEST(Contract, NumbersAreRoundedAndNeverMinusZeroOrNotANumber) {
  auto report = sample_report();
  report.holes[0].diameter_mm = 38.123456789;
  report.holes[0].edge_damage_mm = -1e-9;
  report.holes[0].edge_seen = std::numeric_limits<double>::quiet_NaN();
  const auto text = to_json(report, "a.jpg").dump();
  EXPECT_NE(text.find(R"("diameter_mm":38.123,)"), std::string::npos) << text;
  EXPECT_NE(text.find(R"("edge_damage_mm":0.0,)"), std::string::npos) << text;
  EXPECT_NE(text.find(R"("edge_seen":null)"), std::string::npos) << text;
}

TEST(Contract, ChipsAreListedWhereThereAreAny) {
  auto report = sample_report();
  EXPECT_FALSE(to_json(report, "a.jpg")["holes"][0].contains("chips"));
  report.holes[0].edge_damage_mm = 1.2;
  report.holes[0].chips = {{{400.126, 300}, 1.2, 0.31, 3.4, 10.2, {}}};
  const auto chips = to_json(report, "a.jpg")["holes"][0]["chips"];
  EXPECT_EQ(chips.dump(),
            R"([{"centre_px":[400.13,300.0],"depth_mm":1.2,"u95_mm":0.31,"width_mm":3.4,"arc_deg":10.2}])");
}

TEST(Contract, ANutsSizeAcrossFlatsStandsWhereNoFlangeIsSeen) {
  EXPECT_FALSE(to_json(sample_report(), "a.jpg")["fitting"].contains("across_flats_mm"));
  vision::Report report;
  report.fitting.emplace().hexagon.emplace();
  report.fitting->hexagon->across_flats_mm = 45.62;
  report.fitting->hexagon->u95_mm = 0.41;
  EXPECT_EQ(to_json(report, "a.jpg")["fitting"].dump(),
            R"({"flange_mm":null,"flange_u95_mm":null,"bore_mm":null,"bore_u95_mm":null,)"
            R"("across_flats_mm":45.62,"across_flats_u95_mm":0.41})");
}

TEST(Contract, WhereAnEdgeIsThinnestIsSaidWithItsPlace) {
  auto report = sample_report();
  EXPECT_FALSE(to_json(report, "a.jpg")["edge"].contains("thinnest"));
  report.edge->thinnest = vision::Thinnest{12.3, 0.4, {10, 20}, {110, 20}};
  EXPECT_EQ(to_json(report, "a.jpg")["edge"]["thinnest"].dump(),
            R"({"thickness_mm":12.3,"u95_mm":0.4,"from_px":[10.0,20.0],"to_px":[110.0,20.0]})");
}

}  // namespace
}  // namespace spile::app
