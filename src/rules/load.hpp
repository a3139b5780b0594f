// How much side load the skin around a fitting carries: a rigid boss in a clamped round plate, tilted by the
// load. An estimate to compare with, never a proof. mm, N, MPa.
#pragma once

namespace spile::rules {

// Largest bending stress is factor * moment / (outer_radius * thickness^2). `share` = boss radius / outer
// radius, in (0, 1). Kirchhoff plate, w = (A r + B/r + C r^3 + E r ln r) cos(phi), outer edge clamped: factor
// = (3/pi) (1 - k^2) / (k (1 + k^2)); agrees with Roark's trunnion case (from memory: Roark, table 11.2).
[[nodiscard]] double tilt_stress_factor(double share);

struct SkinLoad {
  double boss_radius_mm = 0;   // flange or, bonded to the skin, the block
  double panel_radius_mm = 0;  // to the nearest frame or bulkhead
  double thickness_mm = 0;
  double lever_mm = 0;  // from the middle of the skin to where the load acts
};

// Largest bending stress around a rigid boss that is pulled straight out, outer edge clamped, per unit of
// line load times outer radius over thickness squared over 6: K of M = K w a, w = P / (2 pi b) (Roark,
// table 11.2, case 1f).
[[nodiscard]] double pull_moment_factor(double share);
// Mean shear round the boss when it is pulled straight out: P / (2 pi b t), MPa.
[[nodiscard]] double punching_stress(double load_n, double boss_radius_mm, double thickness_mm);
// Rise of a hull's curve over a flat seat of diameter `seat_mm`: R - sqrt(R^2 - (d/2)^2), mm; the whole
// radius where the seat is wider than the curve.
[[nodiscard]] double sagitta(double radius_mm, double seat_mm);
// Largest pressure under a base that takes a tilting moment by itself, no tension in the joint: 4 M R / (pi
// (R^4 - r^4)), MPa; moment in N mm.
[[nodiscard]] double edge_pressure(double moment_nmm, double base_radius_mm, double hole_radius_mm);

[[nodiscard]] double stress_under(double load_n, const SkinLoad& skin);      // MPa
[[nodiscard]] double load_carried(double stress_mpa, const SkinLoad& skin);  // N
// Thickness at which `load_n` brings the skin to `stress_mpa`; `skin.thickness_mm` is not read.
[[nodiscard]] double thickness_needed(double load_n, double stress_mpa, const SkinLoad& skin);

// How many times the asked load it carries, sideways at the end of the lever and straight out, and how well
// that is known (95 %).
struct LoadCheck {
  double times = 0, u95 = 0;
  double in_shear = 0;       // of that, by shear alone
  const char* governs = "";  // "bending", "shear"
};
struct Strengths {
  double bending_mpa = 0, shear_mpa = 0;  // as used in design
  double u95_share = 0;
};
[[nodiscard]] LoadCheck check_load(double load_n, const SkinLoad& skin, const Strengths& strengths,
                                   double thickness_u95_mm, double lever_u95_mm);

}  // namespace spile::rules
