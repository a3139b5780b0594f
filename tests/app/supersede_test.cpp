// What a new reading replaces: nothing is edited, nothing that still holds is dropped.
#include "app/supersede.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace spile::app {
namespace {

using model::Measurement;
using model::MeasurementId;
using model::Method;
using model::Quantity;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::UnorderedElementsAre;

Measurement from_photo(std::int64_t id, Quantity quantity, std::int64_t photo = 7) {
  Measurement m;
  m.id = MeasurementId{id};
  m.opening = model::OpeningId{1};
  m.survey = model::SurveyId{1};
  m.photo = model::PhotoId{photo};
  m.quantity = quantity;
  m.method = Method::PhotoAuto;
  return m;
}

Measurement typed(std::int64_t id, Quantity quantity, Method method = Method::Caliper,
                  std::int64_t survey = 1) {
  Measurement m = from_photo(id, quantity);
  m.photo.reset();
  m.method = method;
  m.survey = model::SurveyId{survey};
  return m;
}

Measurement layer(std::int64_t id, const char* label) {
  auto m = from_photo(id, Quantity::LayerThickness);
  m.label = label;
  return m;
}

Measurement through_the_bore(std::int64_t id) {
  auto m = from_photo(id, Quantity::LaminateThickness);
  m.trace = model::Trace{};
  m.trace->centre = model::PixelPoint{10, 10};
  return m;
}

TEST(Replacing, TheSamePhotosValueIsSuperseded) {
  const auto r = replacing({from_photo(1, Quantity::HoleDiameter)}, {from_photo(0, Quantity::HoleDiameter)});
  ASSERT_EQ(r.add.size(), 1U);
  EXPECT_EQ(r.add[0].supersedes, MeasurementId{1});
  EXPECT_THAT(r.withdraw, IsEmpty());
}

TEST(Replacing, AnotherPhotosValueStands) {
  const auto r = replacing({from_photo(1, Quantity::HoleDiameter, 8), typed(2, Quantity::HoleDiameter)},
                           {from_photo(0, Quantity::HoleDiameter, 7)});
  EXPECT_FALSE(r.add[0].supersedes);
  EXPECT_THAT(r.withdraw, IsEmpty());
}

TEST(Replacing, TheSamePhotoInAnotherSurveyIsAnotherReading) {
  auto now = from_photo(0, Quantity::HoleDiameter);
  now.survey = model::SurveyId{2};
  const auto r =
      replacing({from_photo(1, Quantity::HoleDiameter), from_photo(2, Quantity::HoleOvality)}, {now});
  EXPECT_FALSE(r.add[0].supersedes);
  EXPECT_THAT(r.withdraw, IsEmpty());
}

TEST(Replacing, WhatRestedOnTheReplacedRimGoesWithIt) {
  const auto r = replacing(
      {from_photo(1, Quantity::HoleDiameter), from_photo(2, Quantity::HoleOvality),
       from_photo(3, Quantity::EdgeDamage), through_the_bore(4), from_photo(5, Quantity::FlangeDiameter)},
      {from_photo(0, Quantity::HoleDiameter), from_photo(0, Quantity::HoleOvality)});
  EXPECT_EQ(r.add[0].supersedes, MeasurementId{1});
  EXPECT_EQ(r.add[1].supersedes, MeasurementId{2});
  EXPECT_THAT(r.withdraw, UnorderedElementsAre(MeasurementId{3}, MeasurementId{4}));
}

TEST(Replacing, AnEdgeByHandTakesTheLayersAlong) {
  const auto r =
      replacing({from_photo(1, Quantity::LaminateThickness), layer(2, "gelcoat"), layer(3, "laminate")},
                {from_photo(0, Quantity::LaminateThickness), layer(0, "laminate")});
  EXPECT_EQ(r.add[0].supersedes, MeasurementId{1});
  EXPECT_EQ(r.add[1].supersedes, MeasurementId{3});
  EXPECT_THAT(r.withdraw, ElementsAre(MeasurementId{2}));
}

// A sandwich has two skins of one name: each new one replaces one old one, none twice.
TEST(Replacing, TwoLayersOfOneNameArePairedInOrder) {
  const auto r = replacing({layer(1, "laminate"), layer(2, "core"), layer(3, "laminate")},
                           {layer(0, "laminate"), layer(0, "core"), layer(0, "laminate")});
  EXPECT_EQ(r.add[0].supersedes, MeasurementId{1});
  EXPECT_EQ(r.add[1].supersedes, MeasurementId{2});
  EXPECT_EQ(r.add[2].supersedes, MeasurementId{3});
  EXPECT_THAT(r.withdraw, IsEmpty());
}

TEST(Replacing, ATypedValueReplacesOnlyItsOwnKind) {
  const std::vector<Measurement> standing = {typed(1, Quantity::LaminateThickness, Method::SteelRule),
                                             typed(2, Quantity::LaminateThickness, Method::Caliper, 2),
                                             typed(3, Quantity::HoleDiameter),
                                             from_photo(4, Quantity::LaminateThickness)};
  const auto other = replacing(standing, {typed(0, Quantity::LaminateThickness)});
  EXPECT_FALSE(other.add[0].supersedes);
  const auto same = replacing(standing, {typed(0, Quantity::LaminateThickness, Method::SteelRule)});
  EXPECT_EQ(same.add[0].supersedes, MeasurementId{1});
  EXPECT_THAT(same.withdraw, IsEmpty());
}

TEST(Replacing, ATypedLayerReplacesNone) {
  auto old = typed(1, Quantity::LayerThickness);
  old.label = "laminate";
  auto fresh = typed(0, Quantity::LayerThickness);
  fresh.label = "laminate";
  const auto r = replacing({old}, {fresh});
  EXPECT_FALSE(r.add[0].supersedes);
  EXPECT_THAT(r.withdraw, IsEmpty());
}

}  // namespace
}  // namespace spile::app
