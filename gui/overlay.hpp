// What lies over a photo: what was found in it, what was placed by hand, what is recorded. Made from a report
// or from the traces of records; pure data, drawn by the bench view.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/session.hpp"
#include "gui/bench.hpp"

namespace spile::gui {

struct OverlayShape {
  enum class Kind { Reference, Hole, Chip, Edge, Fitting };
  Kind kind = Kind::Hole;
  std::vector<model::PixelPoint> points;  // closed outline; for an edge, the ends of its lines in pairs;
                                          // for a reference of two points, those
  std::optional<model::PixelPoint> centre;
  std::string label;  // "⌀ 38.12 ± 0.11 mm"
  bool by_hand = false;
  bool label_above = false;  // of a ring inside another one, whose label hangs below
  bool chosen = true;        // of several holes, the one that is meant
};

struct Overlay {
  std::vector<OverlayShape> shapes;
};

[[nodiscard]] Overlay overlay_of(const vision::Report& report, std::size_t hole, bool by_hand,
                                 units::LengthSystem lengths);
[[nodiscard]] Overlay overlay_of(const app::OpeningView& opening, model::PhotoId photo,
                                 units::LengthSystem lengths);

// `count` points spread evenly over a closed outline: what a person may take hold of.
[[nodiscard]] std::vector<model::PixelPoint> handles_on(const std::vector<model::PixelPoint>& outline,
                                                        std::size_t count);
[[nodiscard]] bool encloses(const std::vector<model::PixelPoint>& outline, model::PixelPoint point);

}  // namespace spile::gui
