// A cut face as it was read, and what is answered of it; for this folder only.
#pragma once

#include <optional>
#include <vector>

#include "vision/band.hpp"
#include "vision/cut_face.hpp"
#include "vision/layers.hpp"
#include "vision/subject.hpp"
#include "vision/thinnest.hpp"

namespace spile::vision {

constexpr double kFaceWindowMm = 6;  // along the layers, read as one line

struct FaceWindow {
  double v = 0, lean = 0;  // place along the layers, mm; lean of the layers, du / dv
  LayerReading reading;
};

struct FoundFace {
  Band band;
  std::vector<FaceWindow> windows;       // that read the same layers
  std::vector<LengthTerm> further = {};  // doubts of the total thickness beyond those of its boundaries
};

[[nodiscard]] std::vector<LayerKind> kinds_of(const LayerReading& reading);
// In order across the layers, mm.
[[nodiscard]] std::vector<double> boundaries_of(const LayerReading& reading);

// Thickness, layers and construction with their intervals, outermost first.
[[nodiscard]] Edge described(const Scene& scene, const FoundFace& found, const CutFace& face,
                             const std::optional<LocalThinning>& thinning = {});

}  // namespace spile::vision
