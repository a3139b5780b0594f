// How fast water comes in through an opening that has let go, and how long that leaves. An upper bound on the
// time: a craft that fills settles, and the head grows. Torricelli's law with a discharge coefficient (any
// hydraulics handbook).
#pragma once

#include <optional>

#include "units/quantity.hpp"

namespace spile::hydraulics {

inline constexpr double kGravity = 9.80665;  // m/s2, standard gravity (3rd CGPM, 1901)
inline constexpr double kSeaWater = 1025;    // kg/m3, common practice

// Discharge coefficients: the share of the ideal flow that passes. Published rates differ by 1/0.6 because
// some leave it out.
inline constexpr double kIdeal = 1.0;
inline constexpr double kSharpEdge = 0.61;  // bare hole: 0.60 to 0.62 in tables of small orifices
inline constexpr double kShortTube = 0.82;  // fitting with its hose off: 1/sqrt(1 + 0.5), square entrance

// Through a run of parts: 1/sqrt(1 + sum of K + f L/D), losses referred to the bore. `losses` >= 0.
[[nodiscard]] double coefficient_from_losses(double losses);
// 0.6075 + 0.0098/sqrt(head in ft) - 0.0037 bore in in, for small sharp-edged holes (hydraulics handbook,
// small orifice table).
[[nodiscard]] double small_orifice_coefficient(units::Millimetre bore, units::Millimetre head);

// Q = Cd A sqrt(2 g h); `head` over the hole's centre, nothing where it is not above zero. `bore` > 0, 0 < Cd
// <= 1.
[[nodiscard]] units::LitrePerMinute flooding_rate(units::Millimetre bore, units::Millimetre head,
                                                  double coefficient);

// The same from the depth of the hole's lowest point, also while part of the hole is still dry: Cd times the
// integral of width times sqrt(2 g depth) over what is under water.
[[nodiscard]] units::LitrePerMinute inflow(units::Millimetre bore, units::Millimetre lowest_point_depth,
                                           double coefficient);

struct Inflow {
  units::Millimetre depth_at_rest, depth_heeled;  // of the hole's lowest point; negative: dry
  units::LitrePerMinute at_rest, heeled;          // heeled with the opening on the low side
};

// `height`: the hole's lowest point above the waterline at rest; `sinkage`: how much deeper she floats laden,
// >= 0.
[[nodiscard]] Inflow inflow_at_rest_and_heeled(units::Millimetre bore, units::Millimetre height,
                                               units::Millimetre sinkage, units::Millimetre half_breadth,
                                               units::Degree heel, double coefficient);

// Constant head, `pumps` working against it; nothing where the pumps keep up or nothing comes in.
[[nodiscard]] std::optional<units::Minute> time_to_fill(
    units::Litre volume, units::LitrePerMinute inflow,
    units::LitrePerMinute pumps = units::LitrePerMinute(0));

// Falling head: a compartment of plan area `area` fills from the hole up, the head falls from `from` to `to`
// (t = 2 A (sqrt h0 - sqrt h1)/(Cd a sqrt 2g), UFC 4-213-10, equations 4 and 5). from >= to >= 0.
[[nodiscard]] units::Minute time_as_head_falls(units::SquareMillimetre area, units::Millimetre bore,
                                               units::Millimetre from, units::Millimetre to,
                                               double coefficient);

// What a hand must push a plug with: rho g h A, sea water.
[[nodiscard]] units::Newton plug_force(units::Millimetre bore, units::Millimetre head);

}  // namespace spile::hydraulics
