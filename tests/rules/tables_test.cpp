#include "rules/tables.hpp"

#include <gmock/gmock.h>

#include "assets/embedded.hpp"
#include "model/names.hpp"
#include "shipped.hpp"

using namespace spile;
using namespace spile::rules;
using testing::AllOf;
using testing::HasSubstr;

namespace {

// The shipped tables with one text in one of them put in another's place.
Result<Tables> with(const std::string& table, const std::string& from, const std::string& to) {
  std::string spoilt(assets::text("tables/" + table));
  const auto at = spoilt.find(from);
  EXPECT_NE(at, spoilt.npos) << "the table no longer holds " << from;
  spoilt.replace(at, from.size(), to);
  return Tables::load([&](std::string_view name) {
    return name == table ? std::string_view(spoilt) : assets::text("tables/" + std::string(name));
  });
}

struct Spoilt {
  const char* table;
  const char* from;
  const char* to;
  const char* where;  // what the error must name
};

std::ostream& operator<<(std::ostream& out, const Spoilt& s) {
  return out << s.table << ": " << s.where;
}

class BadTable : public testing::TestWithParam<Spoilt> {};

}  // namespace

TEST(Tables, ShippedOnesLoad) {
  EXPECT_GE(shipped().services().size(), 36u);
  EXPECT_GE(shipped().materials().size(), 20u);
  EXPECT_GE(shipped().fitting_kinds().size(), 15u);
  EXPECT_GE(shipped().valve_kinds().size(), 10u);
  EXPECT_EQ(shipped().nominal_sizes().size(), 9u);
  EXPECT_EQ(shipped().threads().size(), 9u + 6u + 9u + 9u);
}

TEST(Tables, EveryRowNamesItsSource) {
  const auto& t = shipped();
  for (const auto* choices : {&t.services(), &t.materials(), &t.fitting_kinds(), &t.valve_kinds()})
    for (const auto& choice : *choices) EXPECT_FALSE(choice.source.empty()) << choice.key;
  for (const auto& row : t.thresholds()) EXPECT_FALSE(row.source.empty()) << row.key;
  for (const auto& row : t.backing_materials()) EXPECT_FALSE(row.choice.source.empty()) << row.choice.key;
  for (const auto& row : t.hole_saws()) EXPECT_FALSE(row.source.empty()) << row.size_in;
}

TEST(Tables, EveryMethodByHandHasItsInstrument) {
  for (const auto& method : model::names<model::Method>()) {
    const bool photo = method.value == model::Method::PhotoAuto || method.value == model::Method::PhotoByHand;
    EXPECT_EQ(shipped().instrument(method.key) == nullptr, photo) << method.key;
  }
}

TEST(Tables, EveryVesselTypeHasItsHeel) {
  for (const auto& type : model::names<model::VesselType>())
    EXPECT_GT(shipped().threshold("heel." + std::string(type.key)).value, 0);
}

// EN ISO 9093:2021, clause 3: 7 degrees for motor craft and sailing multihulls, 30 for sailing monohulls.
TEST(Tables, HeelOfTheHeeledWaterline) {
  EXPECT_EQ(shipped().threshold("heel.sail-monohull").value, 30);
  EXPECT_EQ(shipped().threshold("heel.sail-multihull").value, 7);
  EXPECT_EQ(shipped().threshold("heel.power").value, 7);
}

// ABYC H-27 as quoted in the trade press: 500 lbf; 1 lbf = 4.4482216152605 N exactly.
TEST(Tables, StaticLoadOfAFitting) {
  EXPECT_NEAR(shipped().threshold("load.static").value, 500 * 4.4482216152605, 0.01);
}

TEST(Tables, LabelsByKey) {
  EXPECT_EQ(label_of(shipped().services(), "cockpit-drain"), "Cockpit drain");
  EXPECT_EQ(label_of(shipped().services(), "no-such"), "no-such");
  EXPECT_EQ(shipped().material("no-such"), nullptr);
  EXPECT_EQ(shipped().service(""), nullptr);
}

TEST_P(BadTable, IsRefusedByTableRowAndColumn) {
  const auto& spoilt = GetParam();
  const auto tables = with(spoilt.table, spoilt.from, spoilt.to);
  ASSERT_FALSE(tables);
  EXPECT_EQ(tables.error().code, ErrorCode::BadInput);
  EXPECT_THAT(tables.error().what, AllOf(HasSubstr(spoilt.table), HasSubstr(spoilt.where)));
  EXPECT_FALSE(tables.error().remedy.empty());
}

INSTANTIATE_TEST_SUITE_P(
    Cells, BadTable,
    testing::Values(
        Spoilt{"services.csv", "galley-sink-drain,", ",", "row 11, column key: it is empty"},
        Spoilt{"services.csv", "Galley sink drain", "", "row 11, column label"},
        Spoilt{"services.csv", "galley-sink-drain", "Galley Sink", "row 11, column key"},
        Spoilt{"services.csv", "head-basin-drain", "galley-sink-drain",
               "row 12, column key: \"galley-sink-drain\""},
        Spoilt{"services.csv", "intake,valve", "inlet,valve",
               "row 2, column flow: \"inlet\" is not one of intake"},
        Spoilt{"services.csv", "flanged-seacock,1 in", "no-such,1 in", "column usual_kind: \"no-such\""},
        Spoilt{"services.csv", "flanged-seacock,1 in", "flanged-seacock,big", "row 2, column usual_size"},
        Spoilt{"beddings.csv", "abs clear-plastic,7", "abs granite,7", "row 2, column never_on"},
        Spoilt{"findings.csv", "failed,before-launch", "ruined,before-launch", "row 2, column condition"},
        Spoilt{"findings.csv", "failed,before-launch,this-season", "failed,this-season,before-launch",
               "row 2, column above: it is more urgent"},
        Spoilt{"thread_joints.csv", "npt,npt", "npsm,npsm", "row 3, column female"},
        Spoilt{"removals.csv", "bedding:polyurethane", "bedding:porridge", "row 2, column when"},
        Spoilt{"materials.csv", "accept,accept,accept", "accept,perhaps,accept", "row 2, column heeled"},
        Spoilt{"materials.csv", "-0.31,-0.24", "-0.31,", "row 3, column potential_high_v"},
        Spoilt{"materials.csv", "-0.31,-0.24", "-0.24,-0.31", "row 3, column potential_high_v"},
        Spoilt{"materials.csv", "-0.31,-0.24", "-0.31 V,-0.24", "row 3, column potential_low_v: \"-0.31 V\""},
        Spoilt{"thresholds.csv", "19.05", "3/4", "row 2, column value: \"3/4\" is not a number"},
        Spoilt{"thresholds.csv", "19.05,mm", "19.05,furlong", "row 2, column unit"},
        Spoilt{"thresholds.csv", "19.05", "-19.05", "row 2, column value"},
        Spoilt{"thresholds.csv", "19.05", "nan", "row 2, column value"},
        Spoilt{"thresholds.csv", "heel.power", "heel.motor", "\"heel.power\" is missing"},
        Spoilt{"backing_materials.csv", "accept,12.7", "accept,", "row 2, column min_thickness_mm"},
        Spoilt{"backing_materials.csv", ",aluminium,", ",aluminum,", "column metal: \"aluminum\""},
        Spoilt{"instruments.csv", "caliper", "micrometer", "row 2, column key: \"micrometer\""},
        Spoilt{"hole_saws.csv", "14.2875", "14.3875", "row 2, column diameter_mm"},
        Spoilt{"hole_saws.csv", "7/8", "7//8", "column size_in"},
        Spoilt{"nominal_sizes.csv", "35,40", "40,35", "row 2, column flange_to_mm"},
        Spoilt{"threads.csv", "ISO 228-1", "", "column source: it is empty"},
        Spoilt{"threads.csv", "from memory: ISO 7-1", "from memory",
               "column source: \"from memory\" must name"},
        Spoilt{"fitting_kinds.csv", ",yes,", ",maybe,", "row 2, column takes_valve"},
        Spoilt{"valve_kinds.csv", "accept", "fine", "row 2, column as_seacock"}));

INSTANTIATE_TEST_SUITE_P(
    Shape, BadTable,
    testing::Values(
        Spoilt{"services.csv", "key,label", "label,key", "row 1: the columns must be key,label"},
        Spoilt{"services.csv", "\nwet-exhaust,", "\nwet-exhaust,extra,", "row 4: 10 columns"},
        Spoilt{"services.csv", "Engine wet exhaust", "Engine \"wet\" exhaust", "row 4: a quotation mark"},
        Spoilt{"instruments.csv", "common practice\n", "common practice\n\"open", "row 3: a quotation"}));

TEST(Tables, AnEmptyTableIsRefused) {
  for (const char* text : {"", "key,label,u95_mm,note,source\n"}) {
    const auto tables = Tables::load([&](std::string_view name) {
      return name == "instruments.csv" ? std::string_view(text) : assets::text("tables/" + std::string(name));
    });
    ASSERT_FALSE(tables);
    EXPECT_THAT(tables.error().what, HasSubstr("instruments.csv"));
  }
}

// RFC 4180, section 2: commas, line breaks and doubled quotation marks inside a quoted field.
TEST(Tables, QuotedFieldsAreReadWhole) {
  const auto tables = with("instruments.csv", "Caliper,", "\"Caliper, \"\"0.05\"\"\r\nin a box\",");
  ASSERT_TRUE(tables) << tables.error().sentence();
  EXPECT_EQ(tables->instrument("caliper")->choice.label, "Caliper, \"0.05\"\r\nin a box");
}
