#include "model/names.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>

using namespace spile::model;

namespace {

template <class E>
class NamesOf : public testing::Test {};

using Enumerations = testing::Types<VesselType, HullConstruction, Side, Afloat, Seen, Condition, Waterline,
                                    ValveState, Backing, Quantity, Method>;
TYPED_TEST_SUITE(NamesOf, Enumerations);

bool is_key(std::string_view text) {
  return !text.empty() && text.find_first_not_of("abcdefghijklmnopqrstuvwxyz-") == text.npos &&
         text.front() != '-' && text.back() != '-';
}

}  // namespace

TYPED_TEST(NamesOf, EveryValueInOrderWithItsOwnKeyAndLabel) {
  std::set<std::string_view> keys, labels;
  int next = 0;
  for (const auto& name : names<TypeParam>()) {
    EXPECT_EQ(static_cast<int>(name.value), next++);
    EXPECT_TRUE(is_key(name.key)) << name.key;
    EXPECT_FALSE(name.label.empty());
    EXPECT_TRUE(keys.insert(name.key).second) << name.key;
    EXPECT_TRUE(labels.insert(name.label).second) << name.label;
  }
}

TYPED_TEST(NamesOf, KeysRoundTrip) {
  for (const auto& name : names<TypeParam>()) {
    EXPECT_EQ(from_key<TypeParam>(key(name.value)), name.value);
    EXPECT_EQ(label(name.value), name.label);
  }
  EXPECT_EQ(from_key<TypeParam>("no-such-key"), std::nullopt);
  EXPECT_EQ(from_key<TypeParam>(""), std::nullopt);
}

// A value added to an enumeration and forgotten in its names would be stored as an empty text.
TEST(Names, NoEnumerationIsLongerThanItsNames) {
  EXPECT_EQ(names<VesselType>().back().value, VesselType::Power);
  EXPECT_EQ(names<HullConstruction>().back().value, HullConstruction::Metal);
  EXPECT_EQ(names<Side>().back().value, Side::Centreline);
  EXPECT_EQ(names<Afloat>().back().value, Afloat::Afloat);
  EXPECT_EQ(names<Seen>().back().value, Seen::Looked);
  EXPECT_EQ(names<Condition>().back().value, Condition::Failed);
  EXPECT_EQ(names<Waterline>().back().value, Waterline::Above);
  EXPECT_EQ(names<ValveState>().back().value, ValveState::Seized);
  EXPECT_EQ(names<Backing>().back().value, Backing::Present);
  EXPECT_EQ(names<Quantity>().back().value, Quantity::StainArea);
  EXPECT_EQ(names<Method>().back().value, Method::Estimate);
}

TEST(Names, UnitsOfQuantities) {
  EXPECT_EQ(unit_of(Quantity::HoleDiameter), "mm");
  EXPECT_EQ(unit_of(Quantity::HoleOvality), "%");
  EXPECT_EQ(unit_of(Quantity::MoistureReading), "");
  EXPECT_EQ(unit_of(Quantity::CrackLength), "mm");
  EXPECT_EQ(unit_of(Quantity::StainArea), "mm²");
}
