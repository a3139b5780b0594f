// A photo goes in; reference, holes, edge, fitting and their 95 % intervals come out, or a refusal with its
// reason. Lengths are mm in the plane of the hull; pixels are of the upright picture, origin at the top-left
// pixel's centre. No files, no database, no screen. Safe to call from several threads at once.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "model/measurement.hpp"
#include "vision/picture.hpp"

namespace spile::vision {

using model::PixelPoint;

enum class Subject { Auto, Hole, Edge, Fitting, Disc };

struct AutoReference {};
struct CardReference {  // four markers; the printed check line may say that the printer shrank it
  double marker_mm = 20, width_mm = 70, height_mm = 45;
};
struct DiscReference {  // a coin or washer, or the flange of a fitting that stays where it is
  double diameter_mm = 0;
  std::optional<PixelPoint> at;
  bool flange = false;
};
struct RuleReference {};
struct SquareReference {
  double width_mm = 0, height_mm = 0;
  std::optional<PixelPoint> at;
  std::vector<PixelPoint> corners;  // or its four corners, in order, as a person placed them
};
struct PointsReference {
  PixelPoint a, b;
  double length_mm = 0;
};
using ReferenceRequest = std::variant<AutoReference, CardReference, DiscReference, RuleReference,
                                      SquareReference, PointsReference>;

struct Request {
  Subject subject = Subject::Auto;
  ReferenceRequest reference = AutoReference{};
  std::optional<ReferenceRequest> check;  // a second reference, which the first is checked against
  std::vector<PixelPoint> at;             // measure the round thing here
  std::vector<PixelPoint> rim_by_hand;    // three or more points of one rim, placed by a person
  std::vector<PixelPoint> edge_by_hand;   // two lines as four ends: outer face a-b, inner face c-d
  // Standard uncertainty with which a person placed the points above, and those of the reference, px of the
  // picture; absent: what a hand does in a window that shows the whole photo.
  std::optional<double> placed_px;
  bool snap_to_edges = true;  // move points placed by hand to the nearest sub-pixel edge, where there is one
};

struct Reference {
  std::string kind;                 // card, disc, rule, square, points
  double mm_per_px = 0;             // at the centre of what was measured, else of the reference
  double tilt_deg = 0;              // of the camera's axis from the plane's normal
  double rel_u95 = 0;               // relative 95 % half-width of the scale
  std::vector<PixelPoint> outline;  // to draw it
  std::vector<PixelPoint> grid;  // lines 10 mm apart on the hull, as pairs of ends, about what was measured
  std::string lens = {};         // "assumed" or "calibrated 2026-04-12"
  bool by_hand = false;          // placed by a person
  std::string checked = {};      // a sentence, where a second reference agreed with it
};

// Where the hull's face has broken away outside the rim.
struct Chip {
  PixelPoint centre_px;              // half way out at its deepest
  double depth_mm = 0, u95_mm = 0;   // radially, from the rim outwards
  double width_mm = 0, arc_deg = 0;  // along the rim
  std::vector<PixelPoint> outline;   // closed
};

struct Hole {
  PixelPoint centre_px;
  double diameter_mm = 0, u95_mm = 0, major_mm = 0, minor_mm = 0, ovality_pct = 0;
  double edge_seen = 0;       // share of the rim measured, 0..1
  double edge_damage_mm = 0;  // depth of the deepest chip; 0: none was seen
  std::vector<Chip> chips;    // deepest first; the diameters leave them out
  std::optional<double> depth_mm, depth_u95_mm;
  std::string rim = "hole";  // hole or disc
  bool by_hand = false;
  std::vector<PixelPoint> outline;        // the fitted rim, closed, >= 72 points
  std::vector<model::BudgetTerm> budget;  // standard uncertainties of the diameter, mm, largest first
};

struct Layer {
  std::string kind;  // gelcoat, laminate, core
  double thickness_mm = 0, u95_mm = 0;
};

// The place of a cut edge where it is thinnest, clearly thinner than the whole of it.
struct Thinnest {
  double thickness_mm = 0, u95_mm = 0;
  PixelPoint outer, inner;  // on the two faces
};

struct Edge {
  double thickness_mm = 0, u95_mm = 0;
  std::string construction;  // single-skin, sandwich
  std::vector<Layer> layers;
  std::vector<PixelPoint> lines;  // boundary lines as pairs of ends, outermost first
  bool by_hand = false;
  std::vector<model::BudgetTerm> budget;
  std::optional<Thinnest> thinnest = {};
};

// The hexagon of a nut or valve, seen from the front.
struct Hexagon {
  double across_flats_mm = 0, u95_mm = 0;
  std::vector<PixelPoint> corners;  // six, closed
};

struct FittingSeen {
  double flange_mm = 0, flange_u95_mm = 0;  // 0: no flange was seen
  std::optional<double> bore_mm, bore_u95_mm;
  std::vector<PixelPoint> flange_outline, bore_outline;
  std::vector<model::BudgetTerm> budget;  // of the flange, or of the hexagon where no flange was seen
  std::optional<Hexagon> hexagon = {};
};

struct Refusal {
  std::string code;    // no-reference, ambiguous-reference, reference-too-small, reference-cropped,
                       // too-tilted, too-blurred, nothing-found, unreadable
  std::string reason;  // what is wrong and what to do, for people
};

struct Report {
  int width_px = 0, height_px = 0;
  std::optional<Reference> reference;
  std::vector<Hole> holes;  // largest first
  std::optional<Edge> edge;
  std::optional<FittingSeen> fitting;
  std::vector<model::BudgetTerm> budget;  // of the first value answered
  std::optional<Refusal> refused;
  std::vector<std::string> warnings;  // sentences for people: what makes the answer less than it could be
};

// Which parts of the report rest on points a person placed: "reference", "rim", "edge".
[[nodiscard]] std::vector<std::string> parts_by_hand(const Report& report);

// Asked between stages; true means stop (the report is then a refusal with code "cancelled").
using StopAsked = std::function<bool()>;

[[nodiscard]] std::string engine_name();  // "spile 0.1.0"
[[nodiscard]] Report measure(const Picture& picture, const Request& request, const StopAsked& stop = {});

// The picture with what was found drawn on it, as PNG bytes.
[[nodiscard]] Result<std::vector<std::uint8_t>> annotate(const Picture& picture, const Report& report);

}  // namespace spile::vision
