// What stands in front of the camera: a piece of hull with holes, a reference, a cut edge, a fitting. Lengths
// in mm in the hull frame: x right, y down, z into the hull; z = 0 is the hull's surface (for a cut edge: the
// plane of the cut face). Heights count from the surface towards the camera. Everything shown is invented.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace spile::scenes {

enum class Hull { White, Dark, BareLaminate, Timber };

// Broken out of the rim at the surface; lies outside the drilled hole.
struct Chip {
  double at_deg = 0;  // from hull +x towards +y
  double width_mm = 3;
  double depth_mm = 1;  // radially
};

// Old bedding round the hole.
struct SealantRing {
  double inner_mm = 0, outer_mm = 0;  // diameters
  double tone = 0.5;                  // reflectance, 0..1
};

struct Hole {
  double x = 0, y = 0;
  double diameter_mm = 40;  // mean of major and minor
  double ovality_pct = 0;   // 100 (major - minor) / mean
  double major_at_deg = 0;
  double depth_mm = 12;  // through the hull skin: near rim to far rim
  double skin_mm = 0.6;  // outermost layer, of the hull's colour
  double roughness_mm = 0.03;
  std::vector<Chip> chips;
  std::optional<SealantRing> sealant;
};

// Four markers as printed; its face stands `face_height_mm` above the surface.
struct Card {
  double x = 0, y = 0;  // centre of the rectangle of marker centres
  double turn_deg = 0;
  double marker_mm = 20, width_mm = 70, height_mm = 45;  // nominal
  double print_scale_x = 1, print_scale_y = 1;           // as the printer made it
  double face_height_mm = 0.3;
  std::optional<double> dull;  // reflectance of the paper, 0.8 when absent
};

// Chessboard on a white sheet lying on the surface; the square at its top-left corner is black.
struct Board {
  double x = 0, y = 0;  // centre
  double turn_deg = 0;
  int columns = 10, rows = 7;  // squares
  double square_mm = 20, margin_mm = 15;
};

// Steel rule with millimetre graduations along its upper edge; its zero at (x, y), which is a corner.
struct Rule {
  double x = 0, y = 0;
  double turn_deg = 0;
  double length_mm = 150, width_mm = 15, thickness_mm = 0.7;
  double scale = 1;
};

// Coin or washer blank lying on the hull.
struct Disc {
  double x = 0, y = 0;
  double diameter_mm = 25, thickness_mm = 2;
};

struct Layer {
  std::string kind;  // gelcoat, laminate, core
  double thickness_mm = 0;
};

// The cut face of a laminate; the outer face is the side with the first layer.
struct CutEdge {
  double x = 0, y = 0;  // corner where the outer face starts
  double turn_deg = 0;  // of the direction through the thickness
  double length_mm = 60;
  std::vector<Layer> layers;
  double waviness_mm = 0.05;  // sd of the inner boundaries; the two faces have a quarter of it
  double contrast = 1;        // between the layers, 1 is usual
  double height_mm = 25;      // of the piece above the bench
  // The inner face hollowed out: at its deepest by `thin_mm`, `thin_at_mm` along, over about `thin_over_mm`.
  double thin_mm = 0, thin_at_mm = 30, thin_over_mm = 12;
};

enum class FlangeMaterial { Bronze, WhitePlastic, BlackPlastic };

// A fitting's flange lying on the hull, with its bore.
struct Flange {
  double x = 0, y = 0;
  double diameter_mm = 65, height_mm = 4, bore_mm = 30;
  FlangeMaterial material = FlangeMaterial::Bronze;
};

// A nut lying on the hull about the stem it is screwed on, whose end is level with its face.
struct Nut {
  double x = 0, y = 0;
  double turn_deg = 0;  // of one flat's normal
  double across_flats_mm = 50, height_mm = 10;
  double stem_mm = 33, bore_mm = 25;  // outside and inside of the stem
  FlangeMaterial material = FlangeMaterial::Bronze;
};

struct Crack {
  double x = 0, y = 0;
  double direction_deg = 0, length_mm = 15, width_mm = 0.3, wander_mm = 1;
};

struct Stain {
  double x = 0, y = 0;
  double diameter_mm = 15, darkness = 0.4;
};

// Light: level 1 makes white paper nearly white. The gradient is the relative change over 100 mm.
struct Light {
  double level = 1;
  double gradient = 0, gradient_deg = 0;
};

// A soft-edged shadow over everything on one side of a line.
struct Shadow {
  double x = 0, y = 0;  // a point of its edge
  double direction_deg = 0;
  double softness_mm = 6, darkness = 0.4;
};

struct Scene {
  Hull hull = Hull::White;
  std::uint64_t seed = 1;  // texture, roughness, waviness
  std::vector<Hole> holes;
  std::vector<Crack> cracks;
  std::vector<Stain> stains;
  std::optional<Card> card;
  std::optional<Board> board;
  std::optional<Rule> rule;
  std::optional<Disc> disc;
  std::optional<CutEdge> edge;
  std::optional<Flange> flange;
  std::optional<Nut> nut;
  std::optional<Shadow> shadow;
  Light light;
};

}  // namespace spile::scenes
