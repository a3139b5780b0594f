// The reference card as a PDF at true size: four markers, a 100 mm check line across and one up the sheet,
// and how to use them.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>

#include "outcome/outcome.hpp"
#include "report/paper.hpp"

namespace spile::report {

struct CardSize {
  double marker_mm = 20;  // side of one marker's black square
  double width_mm = 70;   // between marker centres, across
  double height_mm = 45;  // between marker centres, up and down
  Paper paper = Paper::A4;
};

// Markers 0..3 of the dictionary DICT_4X4_50 published with the OpenCV library (module aruco), inner 4 x 4
// cells row by row from the top-left, most significant bit first, 1 is white; one black cell all round.
inline constexpr std::array<std::uint16_t, 4> kMarkerCells = {0b1011'0101'0011'0010, 0b0000'1111'1001'1010,
                                                              0b0011'0011'0010'1101, 0b1001'1001'0100'0110};
inline constexpr int kMarkerCellsAcross = 6;

// Where the card lies on the sheet, mm from the top-left corner.
struct CardPlace {
  double x = 0, y = 0, width = 0, height = 0;           // the outline to cut along
  std::array<std::array<double, 2>, 4> marker_centres;  // ids 0..3, clockwise from the top-left
  std::array<double, 2> line_start;                     // left end of the 100 mm line across
  std::array<double, 2> upright_start;                  // top end of the 100 mm line up the sheet
};

// Errors: BadInput when the markers would touch or the card does not fit the sheet.
[[nodiscard]] Result<CardPlace> place_card(const CardSize& size);

// Errors: BadInput as above; StorageFull, StorageReadOnly, FileUnreadable when the file cannot be written.
[[nodiscard]] Result<void> write_card_pdf(const std::filesystem::path& file, const CardSize& size);

}  // namespace spile::report
