// A measuring report as records for the logbook, and as one line for a thumbnail.
#include <fmt/format.h>

#include <cmath>
#include <variant>

#include "app/photos.hpp"
#include "app/wording.hpp"

namespace spile::app {

namespace {

using model::Measurement;
using model::Quantity;

// What the record says of a scale that a person placed; empty where it was found.
std::string scale_by_hand(const vision::Request& request) {
  if (std::holds_alternative<vision::PointsReference>(request.reference))
    return "Scale from two points placed by hand.";
  const auto* sheet = std::get_if<vision::SquareReference>(&request.reference);
  return sheet && !sheet->corners.empty() ? "Scale from four corners placed by hand." : "";
}

// Everything the records of one report share.
class Recorder {
 public:
  Recorder(const vision::Report& report, const vision::Request& request, model::OpeningId opening,
           model::SurveyId survey, model::PhotoId photo)
      : report_(report), request_(request) {
    base_.opening = opening;
    base_.survey = survey;
    base_.photo = photo;
    base_.instrument = vision::engine_name();
  }

  void add(Quantity quantity, double value, double u95, bool by_hand, const model::Trace& trace,
           const std::vector<model::BudgetTerm>& budget = {}, const std::string& label = {}) {
    if (!(std::isfinite(value) && std::isfinite(u95) && u95 > 0)) return;
    Measurement m = base_;
    m.quantity = quantity;
    m.label = label;
    m.value = value;
    m.u95 = u95;
    m.budget = budget;
    m.trace = trace;
    m.note = scale_by_hand(request_);
    m.method = by_hand || !m.note.empty() ? model::Method::PhotoByHand : model::Method::PhotoAuto;
    records_.push_back(std::move(m));
  }

  [[nodiscard]] model::Trace trace() const {
    model::Trace trace;
    if (report_.reference) {
      trace.reference_kind = report_.reference->kind;
      trace.reference_outline = report_.reference->outline;
      trace.lens = report_.reference->lens;
    }
    if (const auto* points = std::get_if<vision::PointsReference>(&request_.reference)) {
      trace.reference_outline = {points->a, points->b};
      trace.reference_length_mm = points->length_mm;
    }
    return trace;
  }

  [[nodiscard]] std::vector<Measurement> take() { return std::move(records_); }

 private:
  const vision::Report& report_;
  const vision::Request& request_;
  Measurement base_;
  std::vector<Measurement> records_;
};

void add_hole(Recorder& to, const vision::Hole& hole, const vision::Request& request) {
  model::Trace trace = to.trace();
  trace.outline = hole.outline;
  trace.centre = hole.centre_px;
  if (hole.by_hand) trace.by_hand = request.rim_by_hand;
  to.add(Quantity::HoleDiameter, hole.diameter_mm, hole.u95_mm, hole.by_hand, trace, hole.budget);
  // Of two diameters with the same interval, largely independent along their edges: JCGM 100:2008, 5.1.2.
  const double ovality_u95 = 100 * std::sqrt(2.0) * hole.u95_mm / hole.diameter_mm;
  to.add(Quantity::HoleOvality, hole.ovality_pct, ovality_u95, hole.by_hand, trace);
  if (hole.depth_mm && hole.depth_u95_mm)
    to.add(Quantity::LaminateThickness, *hole.depth_mm, *hole.depth_u95_mm, hole.by_hand, trace);
  if (hole.chips.empty()) return;
  const vision::Chip& deepest = hole.chips.front();
  trace.outline = deepest.outline;
  trace.centre.reset();
  to.add(Quantity::EdgeDamage, deepest.depth_mm, deepest.u95_mm, hole.by_hand, trace);
}

void add_edge(Recorder& to, const vision::Edge& edge, const vision::Request& request) {
  model::Trace trace = to.trace();
  trace.outline = edge.lines;
  if (edge.by_hand) trace.by_hand = request.edge_by_hand;
  to.add(Quantity::LaminateThickness, edge.thickness_mm, edge.u95_mm, edge.by_hand, trace, edge.budget);
  for (const auto& layer : edge.layers) {
    to.add(Quantity::LayerThickness, layer.thickness_mm, layer.u95_mm, edge.by_hand, trace, {}, layer.kind);
  }
}

void add_fitting(Recorder& to, const vision::FittingSeen& fitting) {
  model::Trace trace = to.trace();
  trace.outline = fitting.flange_outline;
  if (fitting.flange_mm > 0)
    to.add(Quantity::FlangeDiameter, fitting.flange_mm, fitting.flange_u95_mm, false, trace, fitting.budget);
  if (!fitting.bore_mm || !fitting.bore_u95_mm) return;
  trace.outline = fitting.bore_outline;
  to.add(Quantity::BoreDiameter, *fitting.bore_mm, *fitting.bore_u95_mm, false, trace);
}

std::string chips_in_words(const std::vector<vision::Chip>& chips) {
  const std::string deepest = print_interval(chips.front().depth_mm, chips.front().u95_mm, "mm");
  return chips.size() == 1 ? fmt::format("chip {}", deepest)
                           : fmt::format("{} chips, deepest {}", chips.size(), deepest);
}

void append(std::string& line, const std::string& part) {
  if (!line.empty()) line += "; ";
  line += part;
}

}  // namespace

std::vector<Measurement> records_of(const vision::Report& report, const vision::Request& request,
                                    model::OpeningId opening, model::SurveyId survey, model::PhotoId photo,
                                    std::size_t hole) {
  if (report.refused) return {};
  Recorder recorder(report, request, opening, survey, photo);
  if (hole < report.holes.size() && report.holes[hole].rim == "hole")
    add_hole(recorder, report.holes[hole], request);
  if (report.edge) add_edge(recorder, *report.edge, request);
  if (report.fitting) add_fitting(recorder, *report.fitting);
  return recorder.take();
}

std::string one_line(const vision::Report& report) {
  if (report.refused) return "not measured: " + report.refused->reason;
  std::string line;
  for (const auto& hole : report.holes) {
    append(line, fmt::format("{} {}{}", hole.rim, print_interval(hole.diameter_mm, hole.u95_mm, "mm"),
                             hole.by_hand ? " by hand" : ""));
    if (hole.depth_mm && hole.depth_u95_mm)
      line += fmt::format(", laminate {}", print_interval(*hole.depth_mm, *hole.depth_u95_mm, "mm"));
    if (!hole.chips.empty()) line += fmt::format(", {}", chips_in_words(hole.chips));
  }
  if (const auto& edge = report.edge) {
    append(line, fmt::format("edge {}{}{}{}", print_interval(edge->thickness_mm, edge->u95_mm, "mm"),
                             edge->construction.empty() ? "" : ", ", edge->construction,
                             edge->by_hand ? ", by hand" : ""));
    if (edge->thinnest)
      line += ", thinnest " + print_interval(edge->thinnest->thickness_mm, edge->thinnest->u95_mm, "mm");
  }
  if (const auto& fitting = report.fitting) {
    if (fitting->flange_mm > 0)
      append(line, "flange " + print_interval(fitting->flange_mm, fitting->flange_u95_mm, "mm"));
    if (const auto& hexagon = fitting->hexagon)
      append(line, "across flats " + print_interval(hexagon->across_flats_mm, hexagon->u95_mm, "mm"));
    if (fitting->bore_mm && fitting->bore_u95_mm)
      line += ", bore " + print_interval(*fitting->bore_mm, *fitting->bore_u95_mm, "mm");
  }
  return line.empty() ? "not measured: nothing to measure was found" : line;
}

}  // namespace spile::app
