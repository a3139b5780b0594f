#include "vision/picture.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "picture_files.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {
namespace {

using testing::encoded;
using testing::FileBytes;
using testing::stored_for;
using testing::with_exif;
using testing::with_orientation;

// Every corner another colour, so that any turn or mirroring shows.
cv::Mat four_corners() {
  cv::Mat picture(60, 96, CV_8UC3, cv::Scalar(40, 40, 40));
  picture(cv::Rect(0, 0, 32, 24)) = cv::Scalar(250, 0, 0);
  picture(cv::Rect(64, 0, 32, 24)) = cv::Scalar(0, 250, 0);
  picture(cv::Rect(0, 36, 32, 24)) = cv::Scalar(0, 0, 250);
  picture(cv::Rect(64, 36, 32, 24)) = cv::Scalar(250, 250, 250);
  return picture;
}

class Orientation : public ::testing::TestWithParam<std::tuple<const char*, int>> {};

TEST_P(Orientation, IsAppliedWhateverTheFormat) {
  const auto [extension, orientation] = GetParam();
  const cv::Mat upright = four_corners();
  const FileBytes bytes =
      with_orientation(encoded(stored_for(upright, orientation), extension, 100), orientation);
  const auto picture = Picture::decode(bytes, "a");
  ASSERT_TRUE(picture) << picture.error().sentence();
  EXPECT_EQ(picture->info().exif_orientation, orientation);
  ASSERT_EQ(picture->info().width_px, upright.cols);
  ASSERT_EQ(picture->info().height_px, upright.rows);
  EXPECT_LT(
      cv::norm(picture->pixels().colour(), upright, cv::NORM_L1) / static_cast<double>(upright.total() * 3),
      4);
  cv::Mat grey;
  cv::cvtColor(upright, grey, cv::COLOR_BGR2GRAY);
  EXPECT_LT(cv::norm(picture->pixels().grey, grey, cv::NORM_L1) / static_cast<double>(grey.total()), 3);
}

// Colours of an odd-sized picture stay on their pixels when it is mirrored.
TEST(Picture, OddSizesKeepTheirColoursInPlace) {
  cv::Mat upright(61, 97, CV_8UC3, cv::Scalar(128, 128, 128));
  upright(cv::Rect(20, 14, 40, 30)) = cv::Scalar(30, 30, 220);
  for (const int orientation : {1, 2, 3, 4, 5, 6, 7, 8}) {
    const auto bytes = with_orientation(encoded(stored_for(upright, orientation), ".png"), orientation);
    const auto picture = Picture::decode(bytes, "a");
    ASSERT_TRUE(picture);
    const cv::Mat colour = picture->pixels().colour();
    EXPECT_LT(cv::norm(colour, upright, cv::NORM_INF), 110) << orientation;
    EXPECT_LT(cv::norm(colour(cv::Rect(23, 17, 34, 24)), upright(cv::Rect(23, 17, 34, 24)), cv::NORM_INF), 3);
    // The red patch's centre of mass in colour alone.
    cv::Mat red;
    cv::extractChannel(colour, red, 2);
    const cv::Moments m = cv::moments(red - 128);
    EXPECT_NEAR(m.m10 / m.m00, 39.5, 0.2) << orientation;
    EXPECT_NEAR(m.m01 / m.m00, 28.5, 0.2) << orientation;
  }
}

// Noise in sizes that are no multiple of anything: luma, pixel by pixel, against cv::rotate of the upright
// one's.
TEST(Picture, HalfATurnMovesEveryPixel) {
  for (const cv::Size size :
       {cv::Size(97, 61), cv::Size(16, 8), cv::Size(33, 1), cv::Size(5, 7), cv::Size(64, 33)}) {
    cv::Mat stored(size, CV_8UC3);
    cv::randu(stored, 0, 256);
    const FileBytes bytes = encoded(stored, ".png");
    const auto straight = Picture::decode(bytes, "a"),
               turned = Picture::decode(with_orientation(bytes, 3), "b");
    ASSERT_TRUE(straight);
    ASSERT_TRUE(turned);
    cv::Mat expected;
    cv::rotate(straight->pixels().grey, expected, cv::ROTATE_180);
    EXPECT_EQ(cv::norm(turned->pixels().grey, expected, cv::NORM_INF), 0) << size;
  }
}

INSTANTIATE_TEST_SUITE_P(EveryFormat, Orientation,
                         ::testing::Combine(::testing::Values(".jpg", ".png", ".tiff", ".webp"),
                                            ::testing::Range(1, 9)));

TEST(Picture, ReadsWhatTheHeaderSays) {
  Exiv2::ExifData exif;
  exif["Exif.Image.Make"] = "Testcam";
  exif["Exif.Image.Model"] = "Testcam T1";
  exif["Exif.Photo.DateTimeOriginal"] = "2026:04:12 09:30:00";
  exif["Exif.Photo.FocalLengthIn35mmFilm"] = static_cast<std::uint16_t>(26);
  const auto info =
      Picture::probe(with_exif(encoded(cv::Mat(300, 400, CV_8UC3, cv::Scalar(9, 9, 9)), ".jpg"), exif), "a");
  ASSERT_TRUE(info);
  EXPECT_EQ(info->media_type, "image/jpeg");
  EXPECT_EQ(info->camera, "Testcam T1");
  EXPECT_EQ(info->taken_at, "2026-04-12T09:30:00");
  EXPECT_EQ(info->focal_35mm, 26);
  // 26 mm on the diagonal of 36 x 24 mm, on a diagonal of 500 px.
  ASSERT_TRUE(info->focal_px);
  EXPECT_NEAR(*info->focal_px, 26 / std::hypot(36, 24) * 500, 0.01);
}

TEST(Picture, SaysWhenTheFocalLengthIsNotKnown) {
  const auto info = Picture::probe(encoded(four_corners(), ".png"), "a");
  ASSERT_TRUE(info);
  EXPECT_FALSE(info->focal_px);
  EXPECT_TRUE(info->taken_at.empty());
}

TEST(Picture, ViewAndTileAreOfTheUprightPicture) {
  const auto picture =
      Picture::decode(with_orientation(encoded(stored_for(four_corners(), 6), ".png"), 6), "a");
  ASSERT_TRUE(picture);
  const Rgba view = picture->view(48);
  EXPECT_EQ(view.width, 48);
  EXPECT_EQ(view.height, 30);
  EXPECT_NEAR(view.pixels[2], 250, 2);  // top left is blue
  const Rgba tile = picture->tile(90, 50, 40, 40);
  EXPECT_EQ(tile.width, 6);
  EXPECT_EQ(tile.height, 10);
  EXPECT_NEAR(tile.pixels[0], 250, 2);
  EXPECT_EQ(tile.pixels[3], 255);
  EXPECT_EQ(picture->tile(200, 200, 5, 5).width, 0);
}

TEST(Picture, SmallViewsOfLargeJpegsKeepTheirShape) {
  cv::Mat large(1200, 1600, CV_8UC3, cv::Scalar(30, 60, 90));
  const auto picture = Picture::decode(encoded(large, ".jpg"), "a");
  ASSERT_TRUE(picture);
  for (const int side : {100, 399, 700, 1600, 5000}) {
    const Rgba view = picture->view(side);
    EXPECT_EQ(view.width, std::min(side, 1600));
    EXPECT_EQ(view.height, std::lround(std::min(side, 1600) * 0.75));
    EXPECT_EQ(view.pixels.size(),
              static_cast<std::size_t>(view.width) * static_cast<std::size_t>(view.height) * 4);
  }
}

ErrorCode code_of(const FileBytes& bytes) {
  const auto picture = Picture::decode(bytes, "the photo");
  if (picture) return ErrorCode::Internal;
  EXPECT_THAT(picture.error().what, ::testing::HasSubstr("the photo"));
  EXPECT_FALSE(picture.error().remedy.empty());
  return picture.error().code;
}

FileBytes textured(const char* extension) {
  cv::Mat noise(200, 300, CV_8UC3);
  cv::RNG random(7);
  random.fill(noise, cv::RNG::UNIFORM, 0, 255);
  return encoded(noise, extension);
}

TEST(BadFiles, EmptyAndForeign) {
  EXPECT_EQ(code_of({}), ErrorCode::FileUnreadable);
  const std::string text = "Dear yard, please find the photo attached.\n";
  EXPECT_EQ(code_of(FileBytes(text.begin(), text.end())), ErrorCode::NotAnImage);
  EXPECT_EQ(code_of({'G', 'I', 'F', '8', '9', 'a', 1, 0, 1, 0}), ErrorCode::NotAnImage);
  EXPECT_EQ(code_of({0xFF, 0xD8, 0xFF}), ErrorCode::FileUnreadable);
}

class CutShort : public ::testing::TestWithParam<const char*> {};

TEST_P(CutShort, AnywhereIsRefused) {
  const FileBytes whole = textured(GetParam());
  ASSERT_TRUE(Picture::decode(whole, "a"));
  for (const double share : {0.02, 0.2, 0.5, 0.9, 0.995}) {
    const auto length = static_cast<std::ptrdiff_t>(share * static_cast<double>(whole.size()));
    const ErrorCode code = code_of(FileBytes(whole.begin(), whole.begin() + length));
    EXPECT_TRUE(code == ErrorCode::FileUnreadable || code == ErrorCode::NotAnImage) << share;
  }
}

INSTANTIATE_TEST_SUITE_P(EveryFormat, CutShort, ::testing::Values(".jpg", ".png", ".tiff", ".webp"));

// A header that promises 60000 x 60000 pixels must be turned away before anyone allocates for it.
TEST(BadFiles, HugeHeaderIsRefusedBeforeDecoding) {
  FileBytes png = encoded(four_corners(), ".png");
  const std::uint8_t side[4] = {0, 0, 0xEA, 0x60};
  std::copy(side, side + 4, png.begin() + 16);
  std::copy(side, side + 4, png.begin() + 20);
  EXPECT_EQ(code_of(png), ErrorCode::ImageTooLarge);
  FileBytes jpeg = textured(".jpg");
  const std::uint8_t frame[2] = {0xFF, 0xC0};
  const auto at = std::search(jpeg.begin(), jpeg.end(), frame, frame + 2);
  ASSERT_NE(at, jpeg.end());
  std::fill(at + 5, at + 9, std::uint8_t{0xFA});
  EXPECT_EQ(code_of(jpeg), ErrorCode::ImageTooLarge);
}

TEST(BadFiles, MissingFolderAndUnreadable) {
  const auto folder = std::filesystem::temp_directory_path();
  EXPECT_EQ(Picture::load(folder / "spile-no-such-photo.jpg").error().code, ErrorCode::FileMissing);
  EXPECT_EQ(Picture::load(folder).error().code, ErrorCode::FileUnreadable);
}

}  // namespace
}  // namespace spile::vision
