// Sheets that reports and cards are printed on, in mm, upright (ISO 216 A4; US Letter, ANSI/ASME Y14.1 size
// A).
#pragma once

namespace spile::report {

enum class Paper { A4, Letter };

struct PaperSize {
  double width_mm = 0, height_mm = 0;
};

[[nodiscard]] constexpr PaperSize size_of(Paper paper) {
  return paper == Paper::A4 ? PaperSize{210.0, 297.0} : PaperSize{215.9, 279.4};
}

}  // namespace spile::report
