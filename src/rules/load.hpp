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

[[nodiscard]] double stress_under(double load_n, const SkinLoad& skin);      // MPa
[[nodiscard]] double load_carried(double stress_mpa, const SkinLoad& skin);  // N
// Thickness at which `load_n` brings the skin to `stress_mpa`; `skin.thickness_mm` is not read.
[[nodiscard]] double thickness_needed(double load_n, double stress_mpa, const SkinLoad& skin);

}  // namespace spile::rules
