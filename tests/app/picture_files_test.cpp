// Which files are meant, and in which order.
#include "app/picture_files.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support.hpp"

namespace spile::app {
namespace {

namespace fs = std::filesystem;
using testing::ElementsAre;

TEST(NaturalOrder, NumbersCountAsNumbers) {
  EXPECT_TRUE(natural_less("IMG_9.jpg", "IMG_10.jpg"));
  EXPECT_FALSE(natural_less("IMG_10.jpg", "IMG_9.jpg"));
  EXPECT_TRUE(natural_less("P-2", "P-10"));
  EXPECT_TRUE(natural_less("img_0031.jpg", "IMG_32.jpg"));
  EXPECT_TRUE(natural_less("a", "a1"));
  EXPECT_TRUE(natural_less("99999999999999999999999998", "99999999999999999999999999"));
}

RC_GTEST_PROP(NaturalOrder, IsAnOrder, ()) {
  const auto name = rc::gen::container<std::string>(rc::gen::elementOf(std::string("aB1029-_0")));
  const std::string a = *name;
  const std::string b = *name;
  const std::string c = *name;
  RC_ASSERT(!natural_less(a, a));
  RC_ASSERT(!(natural_less(a, b) && natural_less(b, a)));
  if (natural_less(a, b) && natural_less(b, c)) RC_ASSERT(natural_less(a, c));
  if (a != b) RC_ASSERT(natural_less(a, b) || natural_less(b, a));  // no two names tie
}

RC_GTEST_PROP(NaturalOrder, FollowsTheNumber, (std::uint32_t a, std::uint32_t b)) {
  RC_ASSERT(natural_less("IMG_" + std::to_string(a), "IMG_" + std::to_string(b)) == (a < b));
}

class PictureFiles : public testing::Test {
 protected:
  test::TempFolder folder_;

  fs::path write(const std::string& name, const std::string& bytes) {
    test::write_text(folder_ / name, bytes);
    return folder_ / name;
  }
  std::vector<std::string> names(const std::vector<fs::path>& named) {
    std::vector<std::string> found;
    for (const auto& file : picture_files(named)) found.push_back(file.filename().string());
    return found;
  }
};

const std::string kJpeg("\xFF\xD8\xFF\xE0\0\x10JFIF\0", 11);

TEST_F(PictureFiles, AFolderGivesItsPicturesByTheirFirstBytes) {
  write("IMG_10.jpg", kJpeg);
  write("IMG_9", kJpeg);  // no extension: the bytes say it
  write("notes.txt", "38 mm, port side");
  write("b.dat", std::string("\x89PNG\r\n\x1A\n", 8));
  write("c.bin", std::string("RIFF\x10\0\0\0WEBPVP8 ", 16));
  write("d.bin", std::string("\0\0\0\x18"
                             "ftypheic",
                             12));
  write("e.bin", std::string("II*\0\x08\0\0\0", 8));
  write("film.bin", std::string("\0\0\0\x18"
                                "ftypisom",
                                12));
  EXPECT_THAT(names({folder_.path()}),
              ElementsAre("b.dat", "c.bin", "d.bin", "e.bin", "IMG_9", "IMG_10.jpg"));
}

TEST_F(PictureFiles, ABrokenPhotoInAFolderIsNotPassedOverInSilence) {
  write("IMG_1.JPG", "");
  EXPECT_THAT(names({folder_.path()}), ElementsAre("IMG_1.JPG"));
}

TEST_F(PictureFiles, FoldersAreWalkedOneLevelDeep) {
  fs::create_directories(folder_ / "deeper");
  write("deeper/IMG_2.jpg", kJpeg);
  write("IMG_1.jpg", kJpeg);
  EXPECT_THAT(names({folder_.path()}), ElementsAre("IMG_1.jpg"));
}

TEST_F(PictureFiles, AFileStandsWhateverItIsAndComesOnce) {
  const auto text = write("notes.txt", "38 mm");
  const auto photo = write("IMG_1.jpg", kJpeg);
  EXPECT_THAT(names({text, photo, folder_.path(), folder_ / "missing.jpg", photo}),
              ElementsAre("notes.txt", "IMG_1.jpg", "missing.jpg"));
}

}  // namespace
}  // namespace spile::app
