#include "report/board.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <opencv2/calib3d.hpp>
#include <opencv2/imgcodecs.hpp>

#include "pdf_tools.hpp"

namespace spile::report {
namespace {

constexpr double kDpi = 150, kPxPerMm = kDpi / 25.4;

class BoardOn : public testing::TestWithParam<Paper> {};

// Read by others: poppler draws the page, OpenCV finds the board on it at the size it was drawn.
TEST_P(BoardOn, PaperIsFoundAtTrueSize) {
  const test::Scratch folder;
  const auto pdf = folder / "board.pdf";
  ASSERT_TRUE(write_board_pdf(pdf, GetParam()));
  const auto stem = pdf.string() + "-page";
  const auto ran =
      test::run(fmt::format("pdftoppm -r {} -gray -singlefile '{}' '{}'", kDpi, pdf.string(), stem));
  ASSERT_EQ(ran.status, 0) << ran.out;
  const cv::Mat page = cv::imread(stem + ".pgm", cv::IMREAD_GRAYSCALE);
  std::vector<cv::Point2f> corners;
  ASSERT_TRUE(cv::findChessboardCornersSB(page, cv::Size(kBoardRows - 1, kBoardColumns - 1), corners));
  const double along = cv::norm(corners[kBoardRows - 2] - corners[0]) / kPxPerMm;
  const double across = cv::norm(corners[corners.size() - (kBoardRows - 1)] - corners[0]) / kPxPerMm;
  EXPECT_NEAR(along, (kBoardRows - 2) * kBoardSquare, 0.2);
  EXPECT_NEAR(across, (kBoardColumns - 2) * kBoardSquare, 0.2);
  const auto place = place_board(GetParam());
  EXPECT_GE(place.x, kBoardSquare / 2) << "white all round";
  EXPECT_GE(size_of(GetParam()).height_mm - place.y - kBoardRows * kBoardSquare, kBoardSquare / 2);
}

INSTANTIATE_TEST_SUITE_P(Sheets, BoardOn, testing::Values(Paper::A4, Paper::Letter));

TEST(Board, IsTheSameFileEachTime) {
  const test::Scratch folder;
  ASSERT_TRUE(write_board_pdf(folder / "a.pdf", Paper::A4));
  ASSERT_TRUE(write_board_pdf(folder / "b.pdf", Paper::A4));
  EXPECT_EQ(test::run(fmt::format("cmp '{}' '{}'", (folder / "a.pdf").string(), (folder / "b.pdf").string()))
                .status,
            0);
}

}  // namespace
}  // namespace spile::report
