// Takes the photo of a scene: light gathered by supersampling in linear light, lens blur, sRGB coding, noise,
// sharpening, JPEG with EXIF; and the truth that belongs to it. Deterministic: the same scene and camera give
// the same bytes. Pixels are of the upright (EXIF-applied) picture, origin at the centre of the top-left
// pixel.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "scene.hpp"

namespace spile::scenes {

struct Camera {
  int width_px = 1632, height_px = 1224;  // upright
  double focal_px = 1400;
  double look_x = 0, look_y = 0;  // point of the surface in the middle of the picture
  double distance_mm = 250;       // from there
  double tilt_deg = 0;            // of the axis from the surface's normal
  double azimuth_deg = 0;         // where the camera stands when tilted, from hull +x towards +y
  double roll_deg = 0;
  double k1 = 0, k2 = 0;  // radial distortion, x_d = x (1 + k1 r^2 + k2 r^4), normalised coordinates
  double axis_x_px = 0, axis_y_px = 0;  // where the optical axis meets the picture, from its middle
  double blur_px = 0.9;                 // sigma of the lens, linear light
  double vignetting = 0.15;             // loss of light in the corner
  double noise = 2;                     // sd in grey levels of 255, before sharpening
  double sharpening = 0.3;              // amount of an unsharp mask of sigma 1.2 px on coded values
  double tone = 0;                      // 0..0.4: share of an S-curve mixed into the coded values
  double warmth = 0;                    // -0.2 (cold) .. 0.2 (warm light)
  int jpeg_quality = 90;
  int exif_orientation = 1;          // 1, 3, 6 or 8: how the stored raster lies
  std::string taken_at;              // "2026-04-12T10:21:05", or empty: no date in the file
  std::optional<double> focal_35mm;  // written to EXIF when given
  std::uint64_t seed = 1;            // noise
};

struct Pixel {
  double x = 0, y = 0;
};

struct HoleTruth {
  Pixel centre_px;
  double diameter_mm = 0, major_mm = 0, minor_mm = 0, ovality_pct = 0, depth_mm = 0, edge_damage_mm = 0;
  std::vector<Pixel> rim_px;  // 72 points of the drilled rim without roughness and chips
  double mm_per_px = 0;       // at the centre
};

struct EdgeTruth {
  double thickness_mm = 0;
  std::string construction;  // single-skin, sandwich
  std::vector<Layer> layers;
  std::vector<Pixel> boundaries_px;  // ends of the nominal boundary lines in pairs, outermost first
  double thinnest_mm = 0;            // where the inner face is hollowed out, else the thickness
  Pixel thinnest_px;                 // on the inner face there
};

struct FlangeTruth {
  double flange_mm = 0, bore_mm = 0, height_mm = 0;
  std::vector<Pixel> rim_px;  // 72 points of the flange's upper rim
};

struct NutTruth {
  double across_flats_mm = 0, height_mm = 0;
  Pixel centre_px;  // of its face
};

struct Truth {
  std::string reference;                             // card, rule, disc, or empty
  std::vector<std::array<Pixel, 4>> marker_corners;  // ids 0..3, each clockwise from its top-left
  std::vector<HoleTruth> holes;                      // largest first
  std::optional<EdgeTruth> edge;
  std::optional<FlangeTruth> flange;
  std::optional<NutTruth> nut;
  std::optional<Pixel> disc_centre_px;
};

struct Photo {
  std::vector<std::uint8_t> jpeg;
  Truth truth;
};

// Where a point of the hull frame is seen.
[[nodiscard]] Pixel project(const Camera& camera, double x, double y, double z);

[[nodiscard]] Truth truth_of(const Scene& scene, const Camera& camera);
[[nodiscard]] Photo take(const Scene& scene, const Camera& camera);

// The radiance alone, 3 floats a pixel (R, G, B, linear, 1 is white), before the lens: for checks of the
// tracer.
[[nodiscard]] std::vector<float> trace(const Scene& scene, const Camera& camera);

}  // namespace spile::scenes
