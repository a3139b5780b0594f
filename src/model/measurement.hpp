// A measured or typed value with its uncertainty, where it came from, and what was seen in the photo.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/ids.hpp"

namespace spile::model {

enum class Quantity {
  HoleDiameter,       // mm, mean of major and minor of the intact rim
  HoleOvality,        // percent, 100 (major - minor) / mean
  LaminateThickness,  // mm, total through the hull skin at the opening
  LayerThickness,     // mm, one layer; `label` is gelcoat, laminate or core
  FlangeDiameter,     // mm, outside of the fitting's flange
  BoreDiameter,       // mm, inside of the fitting
  BackingThickness,   // mm
  BackingWidth,       // mm, smallest width of the block
  EdgeDamage,         // mm, deepest chip, radially
  MoistureReading,    // the meter's own scale, never compared between meters
  CrackLength,        // mm, along the longest crack; 0: looked for, none
  StainArea,          // mm2, of the stain round the opening; 0: looked for, none
};

enum class Method { PhotoAuto, PhotoByHand, Caliper, UltrasonicGauge, SteelRule, Tape, Estimate };

// One contribution to the standard uncertainty, in the unit of the value it belongs to.
struct BudgetTerm {
  std::string term;
  double u = 0;
};

// Pixels of the upright (EXIF-applied) picture, origin at the centre of the top-left pixel, y down.
struct PixelPoint {
  double x = 0;
  double y = 0;
  friend bool operator==(const PixelPoint&, const PixelPoint&) = default;
};

// What a photo measurement rests on: enough to draw it again and to take it up again by hand.
struct Trace {
  std::string reference_kind;                 // card, disc, rule, square, points
  std::vector<PixelPoint> reference_outline;  // closed polygon, or the two points
  std::optional<double> reference_length_mm;  // typed length of a two-point reference
  std::string lens;                           // "assumed" or "calibrated 2026-04-12"; empty: not recorded
  std::vector<PixelPoint> outline;            // rim as measured (closed), or the edge lines' ends in pairs
  std::vector<PixelPoint> by_hand;            // points a person placed: rim points, or line ends in pairs
  std::optional<PixelPoint> centre;
};

struct Measurement {
  MeasurementId id;
  OpeningId opening;
  SurveyId survey;
  std::optional<PhotoId> photo;
  Quantity quantity = Quantity::HoleDiameter;
  std::string label;  // layer kind, or empty
  double value = 0;   // in the unit the quantity names
  double u95 = 0;     // half-width of the 95 % interval, same unit; > 0
  Method method = Method::Caliper;
  std::string instrument;  // "caliper 0.05 mm", or the engine's name and version
  std::vector<BudgetTerm> budget;
  std::optional<Trace> trace;  // only with a photo
  std::string note;
  std::string made_at;                      // UTC, ISO 8601, e.g. 2026-04-12T09:30:00Z
  std::optional<MeasurementId> supersedes;  // a correction names what it replaces; nothing is edited in place
};

}  // namespace spile::model
