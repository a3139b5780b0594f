// The calibration board as a PDF: a chessboard of 9 x 6 inner corners, and how to photograph it. Lengths in
// mm from the sheet's top-left corner.
#pragma once

#include <filesystem>

#include "outcome/outcome.hpp"
#include "report/paper.hpp"

namespace spile::report {

inline constexpr int kBoardColumns = 7, kBoardRows = 10;  // squares, the sheet upright
inline constexpr double kBoardSquare = 22;

// Top-left corner of the chessboard.
struct BoardPlace {
  double x = 0, y = 0;
};
[[nodiscard]] BoardPlace place_board(Paper paper);

// Errors: StorageFull, StorageReadOnly, FileUnreadable when the file cannot be written.
[[nodiscard]] Result<void> write_board_pdf(const std::filesystem::path& file, Paper paper);

}  // namespace spile::report
