// Darcy's friction factor f, as in head lost = f L/D V^2/2g, and the losses of changes of bore. Pure numbers.
#pragma once

namespace spile::hydraulics {

inline constexpr double kLaminarUpTo = 2300;  // Reynolds number
inline constexpr double kTurbulentFrom = 4000;

// m2/s: between fresh water at 20 degrees C (1.004e-6) and sea water at 15 (1.19e-6) (from memory:
// ITTC 7.5-02-01-03); it moves a flow through a hose by about one percent.
inline constexpr double kViscosity = 1.1e-6;

// Laminar 64/Re; turbulent Colebrook's formula solved to rounding; between 2300 and 4000, where no formula
// holds, a straight line between the two ends. Turbulent values are good to some 10 % (Moody 1944).
// `reynolds` > 0, 0 <= `relative_roughness` (e/D) <= 0.1.
[[nodiscard]] double friction_factor(double reynolds, double relative_roughness);

// Explicit form by Haaland (1983): within 2 % of Colebrook for Re 4000 to 1e8, e/D up to 0.05. To start from,
// and as a check.
[[nodiscard]] double haaland(double reynolds, double relative_roughness);

// K of a sudden change of bore, on the velocity in the smaller one; `ratio` smaller over larger bore, 0 to 1.
// Contraction 0.5 (1 - ratio^2) (from memory: Crane TP-410); expansion (1 - ratio^2)^2 (Borda and Carnot).
[[nodiscard]] double contraction_loss(double ratio);
[[nodiscard]] double expansion_loss(double ratio);

}  // namespace spile::hydraulics
