// Reading the layers of a laminate off one line across its cut face: which stretches of colour are gelcoat,
// glass laminate and core, and where they begin and end; for this folder only. Positions in mm along the
// line.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace spile::vision {

// Colour of one place in terms that shadows change little: logarithms of red and blue over green (0 where the
// reference is white) and of the brightness.
struct Tint {
  float red = 0, blue = 0, bright = 0;
  bool seen = false;
};

// The colour of the bench or hull behind, as far as one colour describes it.
struct Backdrop {
  double red = 0, blue = 0, spread_red = 0.3, spread_blue = 0.3;
  double share = 0;  // of the surroundings that have it
};
[[nodiscard]] Backdrop backdrop_of(const std::vector<Tint>& surroundings);

enum class LayerKind { Gelcoat, Laminate, Core };
[[nodiscard]] std::string layer_name(LayerKind kind);

struct Stretch {
  LayerKind kind = LayerKind::Laminate;
  double from = 0, to = 0;
};

struct LayerReading {
  double score = 0;                // larger is surer; below 10 hardly anything looks like a cut face
  std::vector<Stretch> stretches;  // in order along the line
  bool side_before = false, side_after = false;  // the piece's own side was made out beyond that outer face
};

// The best reading of a line as [gelcoat] laminate [core laminate] [gelcoat], with anything at all on both
// sides. `step` is the distance of the samples in mm. `eye`: where along the line the camera stands; a side
// of the piece is looked for beyond an outer face it looks past. Nothing when no laminate is seen.
[[nodiscard]] std::optional<LayerReading> read_layers(const std::vector<Tint>& line, double step,
                                                      const Backdrop& backdrop,
                                                      std::optional<double> eye = {});

}  // namespace spile::vision
