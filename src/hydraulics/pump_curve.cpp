#include "hydraulics/pump_curve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

#include "units/text.hpp"

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;
using units::Millimetre;

constexpr std::string_view kExample =
    "Write pairs of head and flow, such as \"0 m 126 L/min; 2 m 90 L/min; 5.5 m 0\".";

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

bool bare(std::string_view text) {
  return text.find_first_not_of("0123456789.,") == text.npos;
}

// "2 m 90 L/min": the head ends where its unit does, or, bare, at the first space.
std::pair<std::string, std::string> split(std::string_view pair) {
  const auto space = pair.find(' ');
  if (space == pair.npos) return {std::string(pair), {}};
  std::string_view head = pair.substr(0, space), flow = trimmed(pair.substr(space));
  const auto unit_end = flow.find(' ');
  const auto unit = flow.substr(0, unit_end);
  if (unit_end != flow.npos && unit.find_first_of("0123456789") == unit.npos)
    return {fmt::format("{} {}", head, unit), std::string(trimmed(flow.substr(unit_end)))};
  return {std::string(head), std::string(flow)};
}

Result<PumpPoint> point(std::string_view pair) {
  auto [head, flow] = split(pair);
  if (flow.empty())
    return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a head with its flow.", pair),
                std::string(kExample));
  if (bare(head)) head += " m";
  if (bare(flow)) flow += " L/min";
  const auto read_head = units::parse_length(head);
  if (!read_head) return tl::unexpected(read_head.error());
  const auto read_flow = units::parse_flow(flow);
  if (!read_flow) return tl::unexpected(read_flow.error());
  return PumpPoint{read_head->length, *read_flow};
}

Result<PumpCurve> refuse(const std::string& what, std::string_view remedy) {
  return fail(ErrorCode::BadInput, what, std::string(remedy));
}

}  // namespace

Result<PumpCurve> PumpCurve::through(std::vector<PumpPoint> points) {
  if (points.size() < 2) return refuse("A pump curve needs two points at least.", kExample);
  std::sort(points.begin(), points.end(),
            [](const PumpPoint& a, const PumpPoint& b) { return a.flow < b.flow; });
  if (points.front().flow < LitrePerMinute(0) || points.back().head < Millimetre(0))
    return refuse("A pump curve holds no negative head or flow.", kExample);
  if (points.front().flow > LitrePerMinute(0))
    return refuse("The pump curve does not say how high the pump lifts with nothing flowing.",
                  "Add the greatest head with a flow of 0.");
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (points[i].flow > points[i - 1].flow && points[i].head < points[i - 1].head) continue;
    return refuse(
        fmt::format("The pump curve rises: {} at {}, but {} at {}.",
                    units::print_metric(points[i - 1].head, 0), units::print_flow(points[i - 1].flow),
                    units::print_metric(points[i].head, 0), units::print_flow(points[i].flow)),
        "A pump lifts less the more it moves; look at the figures again.");
  }
  return PumpCurve(std::move(points));
}

Result<PumpCurve> PumpCurve::parse(std::string_view text) {
  std::vector<PumpPoint> points;
  while (!trimmed(text).empty()) {
    const auto end = text.find(';');
    if (const auto pair = trimmed(text.substr(0, end)); !pair.empty()) {
      const auto read = point(pair);
      if (!read) return tl::unexpected(read.error());
      points.push_back(*read);
    }
    text = end == text.npos ? std::string_view() : text.substr(end + 1);
  }
  return through(std::move(points));
}

Millimetre PumpCurve::head_at(LitrePerMinute flow) const {
  auto right =
      std::find_if(points_.begin() + 1, points_.end(), [&](const PumpPoint& p) { return p.flow >= flow; });
  if (right == points_.end()) --right;
  const auto left = right - 1;
  const double way = (flow - left->flow) / (right->flow - left->flow);
  return left->head + (right->head - left->head) * way;
}

PumpCurve PumpCurve::scaled(double share) const {
  assert(share > 0 && "a share of the head");
  auto points = points_;
  for (auto& p : points) p.head = p.head * share;
  return PumpCurve(std::move(points));
}

}  // namespace spile::hydraulics
