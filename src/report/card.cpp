#include "report/card.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "report/file_out.hpp"
#include "report/pdf.hpp"

namespace spile::report {

namespace {

// The design's date, not the printing's: the same card is the same file whenever it is asked for.
constexpr const char* kDrawn = "2026-01-01T00:00:00Z";
constexpr double kCheckLine = 100.0;
constexpr double kSheetMargin = 15.0;
constexpr double kCardMargin = 8.0;    // white round the markers: finders need at least one cell
constexpr double kStrip = 17.0;        // under the markers, for the check line
constexpr double kUprightRoom = 14.0;  // beside the card, for the line up the sheet
constexpr double kCardTop = 84.0;
constexpr double kSmallestMarker = 8.0;

std::string number(double mm) {
  return fmt::format("{:g}", mm);
}

std::string name_of(const CardSize& size) {
  return fmt::format("card:{},{},{}", number(size.marker_mm), number(size.width_mm), number(size.height_mm));
}

void draw_marker(Pdf& pdf, int id, Point centre, double side) {
  const double cell = side / kMarkerCellsAcross;
  const Point corner{centre.x - side / 2, centre.y - side / 2};
  pdf.fill({corner.x, corner.y, side, side}, Ink{0, 0, 0});
  const std::uint16_t cells = kMarkerCells.at(static_cast<std::size_t>(id));
  for (int row = 0; row < 4; ++row)
    for (int column = 0; column < 4; ++column)
      if ((cells >> (15 - (row * 4 + column))) & 1)
        pdf.fill({corner.x + (column + 1) * cell, corner.y + (row + 1) * cell, cell, cell}, kWhite);
}

// A line of kCheckLine with a tick each 10 mm; the two ends stand out.
void draw_check_line(Pdf& pdf, Point start, bool upright) {
  const auto along = [&](double d, double out) {
    return upright ? Point{start.x + out, start.y + d} : Point{start.x + d, start.y + out};
  };
  pdf.line(along(0, 0), along(kCheckLine, 0), 0.2, Ink{0, 0, 0});
  for (int i = 0; i <= 10; ++i) {
    const double half = i == 0 || i == 10 ? 2.0 : 0.9;
    pdf.line(along(i * 10.0, -half), along(i * 10.0, half), i == 0 || i == 10 ? 0.2 : 0.15, Ink{0, 0, 0});
  }
}

void draw_card(Pdf& pdf, const CardSize& size, const CardPlace& place) {
  pdf.frame({place.x, place.y, place.width, place.height}, 0.15, kGrey, true);
  for (int id = 0; id < 4; ++id) {
    const auto& c = place.marker_centres.at(static_cast<std::size_t>(id));
    draw_marker(pdf, id, {c[0], c[1]}, size.marker_mm);
  }
  draw_check_line(pdf, {place.line_start[0], place.line_start[1]}, false);
  const double middle = place.x + place.width / 2;
  const double under = place.line_start[1] + 6.2;
  pdf.label(fmt::format("Spile reference card · {} · this line: 100 mm", name_of(size)), {middle, under},
            {7.5, Weight::Regular, kGrey, Set::Centre});
}

void draw_upright_line(Pdf& pdf, const CardPlace& place) {
  const Point start{place.upright_start[0], place.upright_start[1]};
  draw_check_line(pdf, start, true);
  pdf.label("check line up the sheet: 100 mm", {start.x + 5.5, start.y + kCheckLine / 2},
            {7.5, Weight::Regular, kGrey, Set::Centre}, -90);
}

double numbered(Pdf& pdf, Point at, double width, const std::vector<std::string>& steps) {
  double y = at.y;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    pdf.text(fmt::format("{}", i + 1), {at.x, y}, 6, {10, Weight::Bold});
    y += pdf.text(steps[i], {at.x + 7, y}, width - 7, {10}) + 1.4;
  }
  return y;
}

void draw_sheet(Pdf& pdf, const CardSize& size, const CardPlace& place) {
  const double width = pdf.size().width_mm - 2 * kSheetMargin;
  double y = kSheetMargin;
  y += pdf.text("Reference card", {kSheetMargin, y}, width, {20, Weight::Bold}) + 1;
  y += pdf.text("Lies beside the opening in every photo, so that sizes can be read from it.",
                {kSheetMargin, y}, width, {11, Weight::Regular, kGrey}) +
       4;
  numbered(
      pdf, {kSheetMargin, y}, width,
      {"Print at 100 % (“actual size”), without fitting to the page, on matt paper.",
       "Put a steel rule to both check lines. Where they are not 100 mm, write down what they measure and "
       "enter it with the card: printers shrink, and rarely the same both ways.",
       "Glue the card flat on stiff board, plastic or sheet metal of known thickness and cut along the "
       "dashed "
       "line. A bent card measures wrong.",
       "Hold it flat on the hull, close beside the opening, all four squares in the picture, no shadow edge "
       "across them. Step back a little and zoom in rather than going close."});
  draw_card(pdf, size, place);
  draw_upright_line(pdf, place);
  y = std::max(place.y + place.height, place.upright_start[1] + kCheckLine) + 6;
  y += pdf.text(
           "Measured with a rule:   across __________ mm      up the sheet __________ mm      card thickness "
           "________ mm",
           {kSheetMargin, y}, width, {10}) +
       4;
  pdf.text(
      "Caution. Afloat, never remove, loosen or strain a fitting below the waterline to get the card beside "
      "it. Keep the sheet away from running machinery and live terminals. What is measured from photos is an "
      "aid: before you drill, order parts or launch, check what matters with a caliper, and follow local "
      "codes, the builder's instructions and a licensed surveyor.",
      {kSheetMargin, y}, width, {8.5, Weight::Regular, kGrey});
}

}  // namespace

Result<CardPlace> place_card(const CardSize& size) {
  const double m = size.marker_mm;
  const std::string name = name_of(size);
  if (!(m >= kSmallestMarker) || !(size.width_mm >= m * 1.5) || !(size.height_mm >= m * 1.5))
    return fail(ErrorCode::BadInput, fmt::format("{} cannot be a reference card.", name),
                "Give markers of 8 mm or more, and centres at least one and a half markers apart.");
  const PaperSize sheet = size_of(size.paper);
  CardPlace place{};
  place.width = std::max(size.width_mm + m, kCheckLine) + 2 * kCardMargin;
  place.height = size.height_mm + m + kCardMargin + kStrip;
  place.x = (sheet.width_mm - place.width - kUprightRoom) / 2;
  place.y = kCardTop;
  const double lowest = std::max(place.y + place.height, place.y + kCheckLine);
  if (place.x < kSheetMargin / 2 || lowest > sheet.height_mm - 50)
    return fail(ErrorCode::BadInput, fmt::format("{} does not fit on the sheet.", name),
                "Choose a smaller card.");
  const double left = place.x + (place.width - size.width_mm) / 2;
  const double top = place.y + kCardMargin + m / 2;
  place.marker_centres = {{{left, top},
                           {left + size.width_mm, top},
                           {left + size.width_mm, top + size.height_mm},
                           {left, top + size.height_mm}}};
  place.line_start = {place.x + (place.width - kCheckLine) / 2, top + size.height_mm + m / 2 + 7.0};
  place.upright_start = {place.x + place.width + 8.0, place.y};
  return place;
}

Result<void> write_card_pdf(const std::filesystem::path& file, const CardSize& size) {
  const auto place = place_card(size);
  if (!place) return tl::unexpected(place.error());
  Pdf pdf(size.paper, {"Reference card", "", name_of(size), "reference card, true size", kDrawn});
  draw_sheet(pdf, size, *place);
  pdf.end_page();
  const auto bytes = pdf.finish();
  if (!bytes) return tl::unexpected(bytes.error());
  return write_whole(file, *bytes);
}

}  // namespace spile::report
