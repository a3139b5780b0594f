// The text of the measuring options, read as the contract of the design has it.
#include "app/cli/request.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <variant>

namespace spile::app::cli {
namespace {

using testing::HasSubstr;
using testing::SizeIs;

template <class Kind>
Kind as(const std::string& text) {
  const auto reference = reference_of(text);
  if (!reference) throw std::runtime_error(reference.error().sentence());
  return std::get<Kind>(*reference);
}

TEST(Reference, EveryKindOfTheContract) {
  EXPECT_NO_THROW(as<vision::AutoReference>("auto"));
  EXPECT_NO_THROW(as<vision::RuleReference>("rule"));
  // "card means card:20,70,45": the design, "The printed reference card".
  const auto card = as<vision::CardReference>("card");
  EXPECT_EQ(card.marker_mm, 20);
  EXPECT_EQ(card.width_mm, 70);
  EXPECT_EQ(card.height_mm, 45);
  EXPECT_EQ(as<vision::CardReference>("card:19.9,69.6,44.8").width_mm, 69.6);
  EXPECT_EQ(as<vision::DiscReference>("disc:23.25").diameter_mm, 23.25);
  EXPECT_FALSE(as<vision::DiscReference>("disc:23.25").at);
  EXPECT_EQ(as<vision::DiscReference>("disc:23.25@812,1033.5").at, (vision::PixelPoint{812, 1033.5}));
  EXPECT_FALSE(as<vision::DiscReference>("disc:23.25").flange);
  EXPECT_TRUE(as<vision::DiscReference>("flange:72").flange);
  EXPECT_EQ(as<vision::DiscReference>("flange:72@812,1033.5").diameter_mm, 72);
  EXPECT_EQ(as<vision::DiscReference>("flange:72@812,1033.5").at, (vision::PixelPoint{812, 1033.5}));
  // ISO/IEC 7810 ID-1: 85.60 x 53.98 mm.
  EXPECT_EQ(as<vision::SquareReference>("square:85.6,53.98").height_mm, 53.98);
  EXPECT_EQ(as<vision::SquareReference>("square:85.6,53.98@10,20").at, (vision::PixelPoint{10, 20}));
  const auto points = as<vision::PointsReference>("points:10,20,110,20,50");
  EXPECT_EQ(points.b, (vision::PixelPoint{110, 20}));
  EXPECT_EQ(points.length_mm, 50);
}

TEST(Reference, ASizeMayCarryItsUnit) {
  EXPECT_DOUBLE_EQ(as<vision::DiscReference>("disc:1in").diameter_mm, 25.4);  // exact: agreement of 1959
  EXPECT_DOUBLE_EQ(as<vision::PointsReference>("points:0,0,9,9,10cm").length_mm, 100);
}

TEST(Reference, WhatIsNotOneIsRefusedWithTheForms) {
  for (const auto* text : {"",
                           "coin",
                           "card:",
                           "card:20",
                           "card:20,70",
                           "card:20,70,45,1",
                           "card:70,20,45",
                           "card:-20,70,45",
                           "disc",
                           "disc:",
                           "disc:0",
                           "disc:-3",
                           "disc:23@",
                           "disc:23@1",
                           "disc:23@1,2,3",
                           "disc:23@1,2@3,4",
                           "disc:nan",
                           "flange",
                           "flange:0",
                           "flange:72,3",
                           "rule:150",
                           "square:85",
                           "square:85,0",
                           "points:1,2,3,4",
                           "points:1,2,1,2,50",
                           "points:1,2,3,4,0",
                           "points:1,2,3,x,50",
                           "auto:"}) {
    const auto reference = reference_of(text);
    ASSERT_FALSE(reference) << text;
    EXPECT_EQ(reference.error().code, ErrorCode::BadInput);
    EXPECT_THAT(reference.error().sentence(), HasSubstr(fmt::format("\"{}\"", text)));
  }
}

RC_GTEST_PROP(Reference, DiscsRoundTrip, ()) {
  const auto tenths = *rc::gen::inRange(1, 20000);
  const auto x = *rc::gen::inRange(0, 40000);
  const auto y = *rc::gen::inRange(0, 40000);
  const auto reference = reference_of(fmt::format("disc:{}.{}@{},{}.5", tenths / 10, tenths % 10, x, y));
  RC_ASSERT(reference);
  const auto& disc = std::get<vision::DiscReference>(*reference);
  RC_ASSERT(std::abs(disc.diameter_mm - tenths / 10.0) < 1e-9);
  RC_ASSERT(disc.at == (vision::PixelPoint{static_cast<double>(x), y + 0.5}));
}

RC_GTEST_PROP(Reference, AnyTextIsReadOrRefusedNeverAnythingElse, (std::string text)) {
  const auto reference = reference_of(text);
  if (!reference) RC_ASSERT(reference.error().code == ErrorCode::BadInput);
  const auto point = point_of(text);
  if (!point) RC_ASSERT(point.error().code == ErrorCode::BadInput);
}

TEST(Request, PointsByHand) {
  RequestText text;
  text.rim = {"1,2", "3,4"};
  EXPECT_THAT(request_of(text).error().what, HasSubstr("three points"));
  text.rim.emplace_back("5,6.5");
  text.edge = {"0,0,100,0"};
  EXPECT_THAT(request_of(text).error().what, HasSubstr("two lines"));
  text.edge.emplace_back("0,50,100,50");
  text.as_placed = true;
  const auto request = request_of(text);
  ASSERT_TRUE(request);
  EXPECT_THAT(request->rim_by_hand, SizeIs(3));
  EXPECT_THAT(request->edge_by_hand, SizeIs(4));
  EXPECT_FALSE(request->snap_to_edges);
}

TEST(Request, ASecondReferenceChecksTheFirst) {
  RequestText text;
  text.references = {"card", "square:85.6,53.98@1,2,3,4,5,6,7,8"};
  const auto request = request_of(text);
  ASSERT_TRUE(request);
  EXPECT_TRUE(std::holds_alternative<vision::CardReference>(request->reference));
  ASSERT_TRUE(request->check);
  EXPECT_THAT(std::get<vision::SquareReference>(*request->check).corners, SizeIs(4));
  text.references.emplace_back("rule");
  EXPECT_THAT(request_of(text).error().what, HasSubstr("two references"));
  EXPECT_FALSE(reference_of("square:85.6,53.98@1,2,3,4")) << "two corners are none";
  EXPECT_FALSE(reference_of("disc:23@1,2,3,4,5,6,7,8"));
}

TEST(Request, ASubjectIsOneOfFive) {
  RequestText text;
  for (const auto* subject : {"auto", "hole", "edge", "fitting", "disc"}) {
    text.subject = subject;
    EXPECT_TRUE(request_of(text)) << subject;
  }
  text.subject = "porthole";
  EXPECT_THAT(request_of(text).error().sentence(), HasSubstr("auto, hole, edge, fitting, disc"));
}

}  // namespace
}  // namespace spile::app::cli
