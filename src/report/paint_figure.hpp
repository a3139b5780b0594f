// Puts a figure on paper: its roles in the report's inks, its marks as shapes that also tell apart without
// colour.
#pragma once

#include "figures/figure.hpp"
#include "report/pdf.hpp"

namespace spile::report {

[[nodiscard]] Ink ink_of(figures::Role role);

void paint(Pdf& pdf, const figures::Figure& figure, Point top_left);
void paint_mark(Pdf& pdf, figures::Shape shape, figures::Role role, Point centre, double size_mm);

}  // namespace spile::report
