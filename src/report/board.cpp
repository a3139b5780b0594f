#include "report/board.hpp"

#include <array>

#include "report/file_out.hpp"
#include "report/pdf.hpp"

namespace spile::report {

namespace {

// The design's date, not the printing's: the same board is the same file whenever it is asked for.
constexpr const char* kDrawn = "2026-01-01T00:00:00Z";
constexpr double kMargin = 15.0;
constexpr double kBottom = 11.0;  // white all round: the finder needs half a square of it

void draw_squares(Pdf& pdf, const BoardPlace& place) {
  for (int row = 0; row < kBoardRows; ++row) {
    for (int column = row % 2; column < kBoardColumns; column += 2) {
      pdf.fill({place.x + column * kBoardSquare, place.y + row * kBoardSquare, kBoardSquare, kBoardSquare},
               Ink{0, 0, 0});
    }
  }
}

void draw_how(Pdf& pdf) {
  constexpr std::array kSteps{
      "Print on matt paper and fix it to something flat and stiff: glass, a table top, sheet metal. A wavy "
      "board bends "
      "the lens. What the squares measure does not matter.",
      "Take eight to twelve sharp photos with the camera and zoom you use on the hull: in front, tilted "
      "about 30 degrees "
      "to the left, right, above and below, and with the board in each corner of the picture. The whole "
      "chessboard in "
      "every photo, no shadow or glare on it.",
      "Give all the photos, as the camera wrote them, to “spile camera calibrate”."};
  const double width = pdf.size().width_mm - 2 * kMargin;
  double y = 10;
  y += pdf.text("Calibration board", {kMargin, y}, width, {16, Weight::Bold}) + 1;
  for (const char* step : kSteps) y += pdf.text(step, {kMargin, y}, width, {8.5}) + 0.8;
}

}  // namespace

BoardPlace place_board(Paper paper) {
  const PaperSize sheet = size_of(paper);
  return {(sheet.width_mm - kBoardColumns * kBoardSquare) / 2,
          sheet.height_mm - kBottom - kBoardRows * kBoardSquare};
}

Result<void> write_board_pdf(const std::filesystem::path& file, Paper paper) {
  Pdf pdf(paper, {"Calibration board", "", "9 x 6 inner corners", "calibration board", kDrawn});
  draw_how(pdf);
  draw_squares(pdf, place_board(paper));
  pdf.end_page();
  const auto bytes = pdf.finish();
  if (!bytes) return tl::unexpected(bytes.error());
  return write_whole(file, *bytes);
}

}  // namespace spile::report
