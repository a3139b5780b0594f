// One ray into the scene: what it meets first, how bright that is, and which piece it is (so that the edges
// can be found and supersampled).
#pragma once

#include <memory>

#include "geometry.hpp"
#include "surfaces.hpp"

namespace spile::scenes {

struct Met {
  Rgb light;
  std::uint16_t piece = 0;  // two neighbours with different pieces have an edge between them
  bool fine = false;        // detail finer than a pixel may be here
};

class Tracer {
 public:
  Tracer(const Scene& scene, const Camera& camera);
  ~Tracer();
  [[nodiscard]] Met at(double u, double v) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::scenes
