// spile measure: JSON Lines, exit statuses, and every way a photo can be bad.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

namespace fs = std::filesystem;
using app::test::draw;
using app::test::TempFolder;
using app::test::write_text;
using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

std::vector<json> lines_of(const std::string& out) {
  std::vector<json> lines;
  std::istringstream in(out);
  for (std::string line; std::getline(in, line);) lines.push_back(json::parse(line));
  return lines;
}

TEST(Measure, AHoleBesideTheCardAsOneJsonLine) {
  const TempFolder folder;
  const auto photo = draw(folder / "a.png", {.hole_mm = 38}).string();
  const auto ran = spile({"measure", photo, "--json"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.err, IsEmpty());
  const auto lines = lines_of(ran.out);
  ASSERT_THAT(lines, SizeIs(1));
  const auto& answer = lines[0];
  EXPECT_EQ(answer["photo"], photo);
  EXPECT_EQ(answer["size_px"], json({1600, 1000}));
  EXPECT_EQ(answer["reference"]["kind"], "card");
  EXPECT_NEAR(answer["reference"]["mm_per_px"].get<double>(), 0.1, 0.001);  // as drawn: 10 px/mm
  ASSERT_THAT(answer["holes"], SizeIs(1));
  const auto& hole = answer["holes"][0];
  EXPECT_NEAR(hole["diameter_mm"].get<double>(), 38, 0.38);  // as drawn
  EXPECT_LE(std::abs(hole["diameter_mm"].get<double>() - 38), hole["u95_mm"].get<double>());
  EXPECT_NEAR(hole["centre_px"][0].get<double>(), app::test::kHoleCentre.x, 1);
  EXPECT_NEAR(hole["centre_px"][1].get<double>(), app::test::kHoleCentre.y, 1);
  EXPECT_TRUE(answer["refused"].is_null());
  EXPECT_FALSE(answer["budget"].empty());
}

TEST(Measure, ForPeopleItIsOneReadableLine) {
  const TempFolder folder;
  const auto photo = draw(folder / "a.png").string();
  const auto ran = spile({"measure", photo});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, testing::StartsWith(photo + ": hole 3"));
  EXPECT_THAT(ran.out, HasSubstr("±"));
  EXPECT_THAT(ran.out, HasSubstr("card"));
}

TEST(Measure, TheOthersArePrintedWhenOneIsRefused) {
  const TempFolder folder;
  const auto good = draw(folder / "a.png").string();
  const auto bare = draw(folder / "b.png", {.card = false}).string();
  const auto ran = spile({"measure", bare, good, "--json"});
  EXPECT_EQ(ran.status, 3);
  const auto lines = lines_of(ran.out);
  ASSERT_THAT(lines, SizeIs(2));
  EXPECT_EQ(lines[0]["refused"]["code"], "no-reference");
  EXPECT_THAT(lines[0]["holes"], IsEmpty());
  EXPECT_TRUE(lines[1]["refused"].is_null());
  EXPECT_THAT(ran.err, HasSubstr(bare));
}

TEST(Measure, TwoPointsByHandAreAReference) {
  const TempFolder folder;
  const auto photo = draw(folder / "a.png", {.hole_mm = 38, .card = false}).string();
  const auto ran = spile({"measure", photo, "--json", "--reference", "points:1000,200,1500,200,50"});
  ASSERT_EQ(ran.status, 0) << ran.err << ran.out;
  const auto answer = lines_of(ran.out).at(0);
  EXPECT_EQ(answer["reference"]["kind"], "points");
  EXPECT_NEAR(answer["holes"][0]["diameter_mm"].get<double>(), 38, 0.76);  // 500 px are 50 mm as drawn
}

TEST(Measure, ARimByHandIsMeasured) {
  const TempFolder folder;
  const auto photo = draw(folder / "a.png", {.hole_mm = 38}).string();
  const auto x = app::test::kHoleCentre.x;
  const auto y = app::test::kHoleCentre.y;
  const auto at = [](double px, double py) { return std::to_string(px) + "," + std::to_string(py); };
  const auto ran = spile({"measure", photo, "--json", "--rim", at(x - 190, y), "--rim", at(x + 190, y),
                          "--rim", at(x, y - 190), "--rim", at(x, y + 190)});
  ASSERT_EQ(ran.status, 0) << ran.err << ran.out;
  EXPECT_NEAR(lines_of(ran.out).at(0)["holes"][0]["diameter_mm"].get<double>(), 38, 0.38);
}

TEST(Measure, AnnotateWritesThePictureWithWhatWasFound) {
  const TempFolder folder;
  const auto photo = draw(folder / "a.png").string();
  const auto ran = spile({"measure", photo, "--annotate", (folder / "seen").string()});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_TRUE(app::test::read_text(folder / "seen/a-measured.png").starts_with("\x89PNG"));
  EXPECT_TRUE(fs::exists(photo));
}

struct Bad {
  std::string name;
  std::string bytes;
  int status;
};

void PrintTo(const Bad& bad, std::ostream* out) {
  *out << bad.name;
}

std::uint32_t crc(const std::string& bytes) {  // ISO/IEC 15948 (PNG), annex D
  std::uint32_t c = 0xFFFFFFFFU;
  for (const char byte : bytes) {
    c ^= static_cast<unsigned char>(byte);
    for (int i = 0; i < 8; ++i) c = (c & 1U) != 0 ? 0xEDB88320U ^ (c >> 1U) : c >> 1U;
  }
  return ~c;
}

std::string big_endian(std::uint32_t value) {
  std::string bytes;
  for (const int shift : {24, 16, 8, 0})
    bytes += static_cast<char>(value >> static_cast<unsigned>(shift) & 0xFFU);
  return bytes;
}

// A PNG that says it is 20000 x 20000 pixels: 400 million.
std::string huge_png() {
  const std::string header =
      "IHDR" + big_endian(20000) + big_endian(20000) + std::string("\x08\x02\0\0\0", 5);
  return "\x89PNG\r\n\x1A\n" + big_endian(13) + header + big_endian(crc(header));
}

std::string truncated_png() {
  const TempFolder folder;
  const auto whole = app::test::read_text(draw(folder / "a.png"));
  return whole.substr(0, whole.size() / 2);
}

class BadPhoto : public testing::TestWithParam<Bad> {};

TEST_P(BadPhoto, GetsOneSentenceAndARefusal) {
  const TempFolder folder;
  const auto photo = folder / GetParam().name;
  write_text(photo, GetParam().bytes);
  const auto ran = spile({"measure", photo.string(), "--json"});
  EXPECT_EQ(ran.status, GetParam().status);
  EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
  EXPECT_THAT(ran.err, HasSubstr(GetParam().name));
  const auto lines = lines_of(ran.out);
  ASSERT_THAT(lines, SizeIs(1));
  EXPECT_EQ(lines[0]["refused"]["code"], "unreadable");
  EXPECT_EQ(app::test::read_text(photo), GetParam().bytes);
}

INSTANTIATE_TEST_SUITE_P(Files, BadPhoto,
                         testing::Values(Bad{"empty.jpg", "", 3}, Bad{"text.jpg", "38 mm, port side\n", 3},
                                         Bad{"huge.png", huge_png(), 3}, Bad{"cut.png", truncated_png(), 3},
                                         Bad{"head.jpg", "\xFF\xD8\xFF\xE0", 3}));

TEST(Measure, AFileThatIsNotThereIsAnError) {
  const auto ran = spile({"measure", "/nowhere/a.jpg", "--json"});
  EXPECT_EQ(ran.status, 1);
  EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
  EXPECT_EQ(lines_of(ran.out).at(0)["refused"]["code"], "unreadable");
}

TEST(Measure, AFolderIsNoPhoto) {
  const TempFolder folder;
  const auto ran = spile({"measure", folder.path().string(), "--json"});
  EXPECT_NE(ran.status, 0);
  EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
}

TEST(Measure, WrongUsageIsTwo) {
  const TempFolder folder;
  const auto photo = draw(folder / "a.png").string();
  for (const auto& arguments :
       std::vector<std::vector<std::string>>{{},
                                             {"measure"},
                                             {"gauge", photo},
                                             {"measure", photo, "--reference", "coin"},
                                             {"measure", photo, "--subject", "porthole"},
                                             {"measure", photo, "--at", "12"},
                                             {"measure", photo, "--rim", "1,2"},
                                             {"measure", photo, "--nonsense"}}) {
    const auto ran = spile(arguments);
    EXPECT_EQ(ran.status, 2) << testing::PrintToString(arguments);
    EXPECT_THAT(ran.err, testing::StartsWith("spile: "));
    EXPECT_THAT(ran.out, IsEmpty());
  }
}

TEST(Measure, AFullOutputIsAnError) {
  if (!fs::exists("/dev/full")) GTEST_SKIP() << "this system has no /dev/full";
  const TempFolder folder;
  const auto ran = spile_into("/dev/full", {"measure", draw(folder / "a.png").string(), "--json"});
  EXPECT_EQ(ran.status, 1);
  EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
}

// Another program's pictures, exact truth beside each: the shared set of rendered scenes. A few of the family
// with the card; the whole set is the benchmark's.
TEST(Measure, RenderedPicturesBesideTheCard) {
  const fs::path shared = fs::path(SPILE_SOURCE_DIR) / "../shared/photos/rendered";
  if (!fs::exists(shared)) GTEST_SKIP() << "../shared/photos/rendered is not here";
  int measured = 0;
  for (const auto& entry : fs::directory_iterator(shared)) {
    const auto name = entry.path().filename().string();
    if (!name.starts_with("hole_card") || entry.path().extension() != ".jpg" || measured == 3) continue;
    const auto truth = json::parse(app::test::read_text(fs::path(entry.path()).replace_extension(".json")));
    const auto& card = truth["reference"];
    const auto size = fmt::format("card:{},{},{}", card["marker_size_mm"].get<double>(),
                                  card["rect_mm"][0].get<double>(), card["rect_mm"][1].get<double>());
    const auto ran =
        spile({"measure", entry.path().string(), "--json", "--subject", "hole", "--reference", size});
    ASSERT_EQ(ran.status, 0) << name << ": " << ran.err;
    const double true_mm = truth["holes"][0]["mean_mm"];
    EXPECT_NEAR(lines_of(ran.out).at(0)["holes"][0]["diameter_mm"].get<double>(), true_mm, 0.02 * true_mm)
        << name;
    ++measured;
  }
  EXPECT_GT(measured, 0);
}

}  // namespace
}  // namespace spile::cli::test
