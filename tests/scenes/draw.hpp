// Random scenes from stated priors, for tests of accuracy and coverage: what the measuring cannot know (how
// the printer scaled the card, how high it stands, what the lens and the phone's processing did) is drawn
// here. This is the one place where the priors of the coverage test are stated; an interval can be judged
// only on pictures drawn from what its budget claims, so those of the card and the camera are what the
// measuring's budget claims to know of them, in figures written down here a second time.
#pragma once

#include <cstdint>

#include "photo.hpp"

namespace spile::scenes {

enum class Kind {
  HoleWithCard,
  HoleWithDisc,
  HoleWithRule,
  EdgeWithCard,
  EdgeWithRule,
  FlangeWithCard,
  HoleWithoutReference,
  CardWithoutHole,
  NutWithCard
};

// Ranges are drawn evenly, sd stands for a normal draw.
struct Range {
  double from = 0, to = 0;
};

struct Priors {
  int width_px = 1632, height_px = 1224;
  Range diameter_mm{14, 76};
  Range ovality_pct{0, 3};
  Range hole_depth_mm{4, 26};
  Range tilt_deg{0, 45};
  Range fill{1.02, 1.5};           // 1: hole and card just fill the picture
  Range gap_mm{5, 40};             // between the card's sheet and the rim
  double print_scale_sd = 0.0007;  // along and across apart, so 0.05 % of their mean: read off the check line
  Range face_height_mm{0.02, 0.78};     // paper on the hull, to a laminated card that does not lie quite flat
  double k1_sd = 0.035, k2_sd = 0.008;  // what phones leave of their lens's distortion
  double axis_sd = 0.004;               // of the picture's diagonal, each way
  double focal_sd = 0.025;              // EXIF's rounding, and focusing near
  Range blur_px{0.8, 1.5};
  Range noise{1.5, 5};
  Range sharpening{0, 0.8};
  Range tone{0, 0.35};
  Range jpeg_quality{85, 96};
  double chips = 0.25, sealant = 0.15, shadow = 0.25, cracks = 0.1;  // how often
  double focal_known = 0.85;                                         // how often EXIF tells the focal length
};

struct Drawn {
  Scene scene;
  Camera camera;
};

// The same kind, seed and priors give the same scene.
[[nodiscard]] Drawn draw(Kind kind, std::uint64_t seed, const Priors& priors = {});

}  // namespace spile::scenes
