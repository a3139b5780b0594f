// The faces the report is set in, taken from the program itself, with the machine's own fonts behind them for
// scripts they lack (Japanese names, emoji).
#pragma once

struct _PangoFontMap;

namespace spile::report {

inline constexpr const char* kFamily = "Roboto";
inline constexpr const char* kSymbolFamily = "DejaVu Sans";

// One font map for the calling thread, made on first use; owned by the program until the thread ends.
[[nodiscard]] ::_PangoFontMap* font_map();

}  // namespace spile::report
