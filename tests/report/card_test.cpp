#include "report/card.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/aruco.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "pdf_tools.hpp"

namespace spile::report {
namespace {

// Poppler snaps filled boxes to whole dots: at 600 dpi that is at most 0.04 mm on a side.
constexpr double kDpi = 600.0;
constexpr double kPxPerMm = kDpi / 25.4;

// Rasterised by poppler, an independent reader of PDF.
cv::Mat rasterised(const std::filesystem::path& pdf) {
  const auto stem = pdf.string() + "-page";
  const auto ran =
      test::run(fmt::format("pdftoppm -r {} -gray -singlefile '{}' '{}'", kDpi, pdf.string(), stem));
  EXPECT_EQ(ran.status, 0) << ran.out;
  return cv::imread(stem + ".pgm", cv::IMREAD_GRAYSCALE);
}

struct Seen {
  std::vector<int> ids;
  std::vector<std::vector<cv::Point2f>> corners;
};

// At 300 dpi, as a scanner or a good printer sees it; corners come back in dots of the full page.
Seen detect(const cv::Mat& page) {
  Seen seen;
  cv::Mat half;
  cv::resize(page, half, {}, 0.5, 0.5, cv::INTER_AREA);
  const auto dictionary = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50);
  cv::aruco::detectMarkers(half, dictionary, seen.corners, seen.ids);
  for (auto& quad : seen.corners)
    for (auto& corner : quad) corner = corner * 2.0F + cv::Point2f(0.5F, 0.5F);
  return seen;
}

// A dark box's four edges to a fraction of a pixel: where the grey sum along a line through it changes, taken
// as dark area over full darkness.
struct DarkBox {
  double left = 0, right = 0, top = 0, bottom = 0;  // mm
};

double dark_share(const cv::Mat& strip) {
  return (255.0 - cv::mean(strip)[0]) / 255.0;
}

DarkBox box_of_marker(const cv::Mat& page, const std::vector<cv::Point2f>& corners, double side_mm) {
  cv::Point2d centre(0, 0);
  for (const auto& c : corners) centre += cv::Point2d(c) * 0.25;
  // Along the black border, half a cell inside the marker, nothing but the border is dark.
  const double half = side_mm * kPxPerMm / 2, cell = side_mm * kPxPerMm / kMarkerCellsAcross;
  const int reach = static_cast<int>(half + 40);
  const int cx = static_cast<int>(std::lround(centre.x)), cy = static_cast<int>(std::lround(centre.y));
  const int border = static_cast<int>(half - cell / 2);
  const auto span = [&](bool across, int at, int from, int to) {
    const cv::Mat strip =
        across ? page(cv::Rect(from, at - 2, to - from, 5)) : page(cv::Rect(at - 2, from, 5, to - from));
    return dark_share(strip) * (to - from);
  };
  DarkBox box;
  box.left = (cx - span(true, cy - border, cx - reach, cx)) / kPxPerMm;
  box.right = (cx + span(true, cy - border, cx, cx + reach)) / kPxPerMm;
  box.top = (cy - span(false, cx - border, cy - reach, cy)) / kPxPerMm;
  box.bottom = (cy + span(false, cx - border, cy, cy + reach)) / kPxPerMm;
  return box;
}

TEST(Card, CellsAreTheDictionarysOwn) {
  // Outside: the dictionary DICT_4X4_50 as published with the OpenCV library.
  const auto dictionary = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50);
  ASSERT_EQ(dictionary->markerSize, 4);
  for (int id = 0; id < 4; ++id) {
    const cv::Mat bits =
        cv::aruco::Dictionary::getBitsFromByteList(dictionary->bytesList.rowRange(id, id + 1), 4);
    for (int i = 0; i < 16; ++i) {
      const bool white = (kMarkerCells.at(static_cast<std::size_t>(id)) >> (15 - i)) & 1;
      EXPECT_EQ(white, bits.at<std::uint8_t>(i / 4, i % 4) != 0) << "marker " << id << ", cell " << i;
    }
  }
}

class PrintedCard : public ::testing::TestWithParam<CardSize> {};

TEST_P(PrintedCard, IsReadAndHasItsTrueSize) {
  // Outside: OpenCV's marker finder reads poppler's rendering; sizes to 0.05 mm, as promised for a printed
  // card.
  const CardSize size = GetParam();
  test::Scratch scratch;
  const auto file = scratch / "card.pdf";
  const auto written = write_card_pdf(file, size);
  ASSERT_TRUE(written) << written.error().sentence();
  const cv::Mat page = rasterised(file);
  ASSERT_FALSE(page.empty());
  const PaperSize sheet = size_of(size.paper);
  EXPECT_NEAR(page.cols / kPxPerMm, sheet.width_mm, 0.1);
  EXPECT_NEAR(page.rows / kPxPerMm, sheet.height_mm, 0.1);

  const Seen seen = detect(page);
  ASSERT_THAT(seen.ids, ::testing::UnorderedElementsAre(0, 1, 2, 3));
  std::array<cv::Point2d, 4> centre;
  for (std::size_t i = 0; i < 4; ++i) {
    const DarkBox box = box_of_marker(page, seen.corners[i], size.marker_mm);
    EXPECT_NEAR(box.right - box.left, size.marker_mm, 0.05) << "marker " << seen.ids[i];
    EXPECT_NEAR(box.bottom - box.top, size.marker_mm, 0.05) << "marker " << seen.ids[i];
    centre.at(static_cast<std::size_t>(seen.ids[i])) = {(box.left + box.right) / 2,
                                                        (box.top + box.bottom) / 2};
    // Upright as read: the finder's first corner is the marker's own top-left.
    EXPECT_LT(seen.corners[i][0].x, seen.corners[i][1].x);
    EXPECT_LT(seen.corners[i][0].y, seen.corners[i][3].y);
  }
  EXPECT_NEAR(centre[1].x - centre[0].x, size.width_mm, 0.05);
  EXPECT_NEAR(centre[2].x - centre[3].x, size.width_mm, 0.05);
  EXPECT_NEAR(centre[3].y - centre[0].y, size.height_mm, 0.05);
  EXPECT_NEAR(centre[2].y - centre[1].y, size.height_mm, 0.05);
  EXPECT_NEAR(centre[0].y, centre[1].y, 0.05);
  EXPECT_NEAR(centre[0].x, centre[3].x, 0.05);
}

INSTANTIATE_TEST_SUITE_P(Sizes, PrintedCard,
                         ::testing::Values(CardSize{}, CardSize{20, 70, 45, Paper::Letter},
                                           CardSize{12, 40, 25, Paper::A4},
                                           CardSize{30, 110, 60, Paper::A4}));

// First and last dark ink of the check line, from the end ticks' centres, which stand 2 mm out on each side.
double line_length_mm(const cv::Mat& page, double x, double y, bool upright) {
  const auto px = [](double mm) { return static_cast<int>(std::lround(mm * kPxPerMm)); };
  // A thin band 1.5 mm off the line crosses the two end ticks only (inner ticks stand out 0.9 mm).
  const cv::Rect band = upright ? cv::Rect(px(x + 1.4), px(y - 3), px(0.3), px(106))
                                : cv::Rect(px(x - 3), px(y - 1.7), px(106), px(0.3));
  cv::Mat profile;
  cv::reduce(page(band), profile, upright ? 1 : 0, cv::REDUCE_AVG, CV_64F);
  const int half = static_cast<int>(profile.total()) / 2;
  const auto centroid = [&](int from, int to) {
    double sum = 0, weight = 0;
    for (int i = from; i < to; ++i) {
      const double dark = 255.0 - profile.at<double>(i);
      sum += dark * i;
      weight += dark;
    }
    return sum / weight;
  };
  return (centroid(half, static_cast<int>(profile.total())) - centroid(0, half)) / kPxPerMm;
}

TEST(Card, CheckLinesAreOneHundredMillimetres) {
  test::Scratch scratch;
  const auto file = scratch / "card.pdf";
  ASSERT_TRUE(write_card_pdf(file, {}));
  const auto place = place_card({});
  ASSERT_TRUE(place);
  const cv::Mat page = rasterised(file);
  EXPECT_NEAR(line_length_mm(page, place->line_start[0], place->line_start[1], false), 100.0, 0.05);
  EXPECT_NEAR(line_length_mm(page, place->upright_start[0], place->upright_start[1], true), 100.0, 0.05);
}

TEST(Card, SaysHowToPrintAndWarns) {
  test::Scratch scratch;
  const auto file = scratch / "card.pdf";
  ASSERT_TRUE(write_card_pdf(file, {}));
  const std::string text = test::text_of(file);
  for (const char* words : {"100 %", "card:20,70,45", "steel rule", "Caution", "licensed surveyor"})
    EXPECT_THAT(text, ::testing::HasSubstr(words));
  EXPECT_EQ(test::run("qpdf --check '" + file.string() + "'").status, 0);
  EXPECT_THAT(test::run("pdffonts '" + file.string() + "'").out, ::testing::HasSubstr("Roboto"));
}

TEST(Card, IsTheSameFileEveryTime) {
  test::Scratch scratch;
  const auto a = scratch / "a.pdf", b = scratch / "b.pdf";
  ASSERT_TRUE(write_card_pdf(a, {}));
  ASSERT_TRUE(write_card_pdf(b, {}));
  EXPECT_EQ(test::run("cmp '" + a.string() + "' '" + b.string() + "'").status, 0);
}

TEST(Card, RefusesWhatCannotBePrinted) {
  test::Scratch scratch;
  for (const CardSize& size :
       {CardSize{5, 70, 45}, CardSize{20, 25, 45}, CardSize{20, 70, 20}, CardSize{40, 200, 45},
        CardSize{std::nan(""), 70, 45}, CardSize{20, 70, 1e9}}) {
    const auto written = write_card_pdf(scratch / "card.pdf", size);
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().code, ErrorCode::BadInput);
    EXPECT_FALSE(std::filesystem::exists(scratch / "card.pdf"));
  }
}

TEST(Card, LeavesNothingBehindWhenItCannotWrite) {
  test::Scratch scratch;
  const auto gone = write_card_pdf(scratch / "none/card.pdf", {});
  ASSERT_FALSE(gone);
  EXPECT_EQ(gone.error().code, ErrorCode::FileUnreadable);
  EXPECT_THAT(gone.error().sentence(), ::testing::HasSubstr("card.pdf"));
  const auto folder = write_card_pdf(scratch / ".", {});
  ASSERT_FALSE(folder);
  EXPECT_EQ(folder.error().code, ErrorCode::BadInput);
  EXPECT_THAT(std::vector<std::filesystem::path>(std::filesystem::directory_iterator(scratch / "."), {}),
              ::testing::IsEmpty());
}

}  // namespace
}  // namespace spile::report
