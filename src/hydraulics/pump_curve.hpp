// What a pump gives: head against flow, from points as its label or maker states them, straight between them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "outcome/outcome.hpp"
#include "units/quantity.hpp"

namespace spile::hydraulics {

struct PumpPoint {
  units::Millimetre head;
  units::LitrePerMinute flow;
};

class PumpCurve {
 public:
  // Two points or more, in any order. Errors: BadInput where a value is negative, a curve has no shut-off
  // head, or where it rises: head must fall from point to point as flow grows.
  [[nodiscard]] static Result<PumpCurve> through(std::vector<PumpPoint> points);
  // "0 m 126 L/min; 2 m 90 L/min; 5.5 m 0": pairs of head and flow; bare numbers are metres and litres a
  // minute.
  [[nodiscard]] static Result<PumpCurve> parse(std::string_view text);

  // Below zero beyond the last point, continuing its slope, so that a solver always finds where curves cross.
  [[nodiscard]] units::Millimetre head_at(units::LitrePerMinute flow) const;
  [[nodiscard]] units::Millimetre shut_off() const { return points_.front().head; }
  [[nodiscard]] units::LitrePerMinute most() const { return points_.back().flow; }
  [[nodiscard]] const std::vector<PumpPoint>& points() const { return points_; }  // by growing flow
  // All heads times `share`: for what a worn pump or a weak battery leaves of it.
  [[nodiscard]] PumpCurve scaled(double share) const;

 private:
  explicit PumpCurve(std::vector<PumpPoint> points) : points_(std::move(points)) {}
  std::vector<PumpPoint> points_;
};

}  // namespace spile::hydraulics
