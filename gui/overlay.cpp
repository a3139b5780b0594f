#include "gui/overlay.hpp"

#include "gui/words.hpp"

namespace spile::gui {

namespace {

std::string diameter_label(double mm, double u95, units::LengthSystem lengths) {
  return "⌀ " + show_interval_mm(mm, u95, lengths);
}

void add_reference(Overlay& overlay, const std::string& kind, const std::vector<model::PixelPoint>& outline,
                   bool by_hand) {
  if (outline.empty()) return;
  OverlayShape shape;
  shape.kind = OverlayShape::Kind::Reference;
  shape.points = outline;
  shape.label = kind;
  shape.by_hand = by_hand || kind == "points";
  overlay.shapes.push_back(std::move(shape));
}

// The deepest one says how deep it is; the rest would only crowd the rim.
void add_chips(Overlay& overlay, const vision::Hole& hole, units::LengthSystem lengths) {
  for (const vision::Chip& chip : hole.chips) {
    OverlayShape shape;
    shape.kind = OverlayShape::Kind::Chip;
    shape.points = chip.outline;
    if (&chip == &hole.chips.front())
      shape.label = "chip " + show_interval_mm(chip.depth_mm, chip.u95_mm, lengths);
    shape.label_above = true;
    overlay.shapes.push_back(std::move(shape));
  }
}

bool drawn_already(const Overlay& overlay, const std::vector<model::PixelPoint>& points) {
  for (const OverlayShape& shape : overlay.shapes)
    if (shape.points == points) return true;
  return false;
}

// Which shape a record's trace is, if its quantity is drawn at all.
std::optional<OverlayShape::Kind> kind_of(const model::Measurement& m) {
  switch (m.quantity) {
    case model::Quantity::HoleDiameter:
      return OverlayShape::Kind::Hole;
    case model::Quantity::EdgeDamage:
      return OverlayShape::Kind::Chip;
    case model::Quantity::LaminateThickness:
      // Seen through the bore, its trace is the hole's own outline, which the diameter draws.
      return m.trace->centre ? std::nullopt : std::optional(OverlayShape::Kind::Edge);
    case model::Quantity::FlangeDiameter:
    case model::Quantity::BoreDiameter:
      return OverlayShape::Kind::Fitting;
    default:
      return std::nullopt;
  }
}

}  // namespace

Overlay overlay_of(const vision::Report& report, std::size_t hole, bool by_hand,
                   units::LengthSystem lengths) {
  Overlay overlay;
  const auto add = [&](OverlayShape::Kind kind, const std::vector<model::PixelPoint>& points,
                       std::string label) -> OverlayShape& {
    OverlayShape shape;
    shape.kind = kind;
    shape.points = points;
    shape.label = std::move(label);
    shape.by_hand = by_hand;
    overlay.shapes.push_back(std::move(shape));
    return overlay.shapes.back();
  };
  if (report.reference)
    add_reference(overlay, report.reference->kind, report.reference->outline, report.reference->by_hand);
  for (std::size_t i = 0; i < report.holes.size(); ++i) {
    const vision::Hole& h = report.holes[i];
    OverlayShape& shape =
        add(OverlayShape::Kind::Hole, h.outline, diameter_label(h.diameter_mm, h.u95_mm, lengths));
    shape.centre = h.centre_px;
    shape.by_hand = by_hand || h.by_hand;
    shape.chosen = i == hole;
    if (i == hole) add_chips(overlay, h, lengths);
  }
  if (const auto& e = report.edge)
    add(OverlayShape::Kind::Edge, e->lines, show_interval_mm(e->thickness_mm, e->u95_mm, lengths)).by_hand =
        by_hand || e->by_hand;
  if (report.edge && report.edge->thinnest) {
    const vision::Thinnest& thin = *report.edge->thinnest;
    add(OverlayShape::Kind::Edge, {thin.outer, thin.inner},
        "thinnest " + show_interval_mm(thin.thickness_mm, thin.u95_mm, lengths));
  }
  if (const auto& f = report.fitting) {
    if (f->flange_mm > 0)
      add(OverlayShape::Kind::Fitting, f->flange_outline,
          "flange " + diameter_label(f->flange_mm, f->flange_u95_mm, lengths));
    if (f->hexagon)
      add(OverlayShape::Kind::Fitting, f->hexagon->corners,
          "across flats " + show_interval_mm(f->hexagon->across_flats_mm, f->hexagon->u95_mm, lengths));
    if (f->bore_mm && f->bore_u95_mm)
      add(OverlayShape::Kind::Fitting, f->bore_outline,
          "bore " + diameter_label(*f->bore_mm, *f->bore_u95_mm, lengths))
          .label_above = true;
  }
  return overlay;
}

Overlay overlay_of(const app::OpeningView& opening, model::PhotoId photo, units::LengthSystem lengths) {
  Overlay overlay;
  for (const model::Measurement& m : opening.measurements) {
    if (m.photo != photo || !m.trace) continue;
    const auto kind = kind_of(m);
    if (!kind) continue;
    if (!drawn_already(overlay, m.trace->reference_outline))
      add_reference(overlay, m.trace->reference_kind, m.trace->reference_outline, false);
    OverlayShape shape;
    shape.kind = *kind;
    shape.points = m.trace->outline;
    shape.centre = m.trace->centre;
    const bool edge = *kind == OverlayShape::Kind::Edge;
    const std::string value = show_interval(m.value, m.u95, m.quantity, lengths);
    const char* which = m.quantity == model::Quantity::FlangeDiameter ? "flange "
                        : m.quantity == model::Quantity::BoreDiameter ? "bore "
                                                                      : "";
    const bool chip = *kind == OverlayShape::Kind::Chip;
    shape.label = edge ? value : chip ? "chip " + value : which + ("⌀ " + value);
    shape.label_above = chip || m.quantity == model::Quantity::BoreDiameter;
    shape.by_hand = m.method == model::Method::PhotoByHand;
    overlay.shapes.push_back(std::move(shape));
  }
  return overlay;
}

std::vector<model::PixelPoint> handles_on(const std::vector<model::PixelPoint>& outline, std::size_t count) {
  std::vector<model::PixelPoint> handles;
  if (outline.size() < count) return outline;
  for (std::size_t i = 0; i < count; ++i) handles.push_back(outline[i * outline.size() / count]);
  return handles;
}

// Crossing number.
bool encloses(const std::vector<model::PixelPoint>& outline, model::PixelPoint p) {
  bool inside = false;
  for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
    const auto& a = outline[i];
    const auto& b = outline[j];
    if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

}  // namespace spile::gui
