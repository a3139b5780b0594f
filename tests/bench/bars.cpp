#include "bars.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <iterator>

namespace spile::bench {

namespace {

using Sizes = std::vector<double>;

// The middle one, or the mean of the two in the middle; the 90th percentile is the first value that nine in
// ten do not exceed.
double median(Sizes v) {
  if (v.empty()) return 0;
  std::sort(v.begin(), v.end());
  return (v[v.size() / 2] + v[(v.size() - 1) / 2]) / 2;
}

double ninetieth(Sizes v) {
  if (v.empty()) return 0;
  std::sort(v.begin(), v.end());
  return v[std::min(v.size() - 1, v.size() * 9 / 10)];
}

double pct(double got, double truth) {
  return 100 * (got > truth ? got - truth : truth - got) / truth;
}

// Several families read as one.
PhotoSet joined(const PhotoSets& sets, const std::vector<std::string>& names) {
  PhotoSet out;
  for (const auto& name : names) {
    const auto found = sets.find(name);
    if (found == sets.end()) continue;
    const PhotoSet& set = found->second;
    out.pictures += set.pictures;
    out.answered += set.answered;
    out.wrongly_refused += set.wrongly_refused;
    out.invented += set.invented;
    out.values.insert(out.values.end(), set.values.begin(), set.values.end());
  }
  return out;
}

Sizes errors_pct(const PhotoSet& set) {
  Sizes out;
  for (const Value& v : set.values) out.push_back(pct(v.got, v.truth));
  return out;
}

Sizes errors_mm(const PhotoSet& set) {
  Sizes out;
  for (const Value& v : set.values) out.push_back(v.error_mm());
  return out;
}

Sizes half_widths_pct(const PhotoSet& set) {
  Sizes out;
  for (const Value& v : set.values) out.push_back(100 * v.u95 / v.truth);
  return out;
}

double held_pct(const PhotoSet& set) {
  const auto held =
      std::count_if(set.values.begin(), set.values.end(), [](const Value& v) { return v.held(); });
  return set.values.empty() ? 0 : 100.0 * static_cast<double>(held) / static_cast<double>(set.values.size());
}

struct ErrorBar {
  std::string what;
  std::vector<std::string> sets;
  double median_pct = 0, p90_pct = 0, stretch_pct = 0;  // p90 0: not asked
  bool none_refused = false;
};

void add_error_row(const PhotoSets& sets, const ErrorBar& bar, std::vector<BarRow>& rows) {
  const PhotoSet set = joined(sets, bar.sets);
  if (set.values.empty() && set.pictures == 0) return;
  const double m = median(errors_pct(set)), p = ninetieth(errors_pct(set));
  BarRow row;
  row.what = bar.what;
  row.bar = fmt::format("median <= {:g} %", bar.median_pct);
  if (bar.p90_pct > 0) row.bar += fmt::format(", p90 <= {:g} %", bar.p90_pct);
  if (bar.none_refused) row.bar += ", none wrongly refused or invented";
  row.stretch = fmt::format("{:g} %", bar.stretch_pct);
  row.measured = set.values.empty()
                     ? "no value"
                     : fmt::format("{:.2f} %, p90 {:.2f} %, {} values", m, p, set.values.size());
  if (bar.none_refused)
    row.measured += fmt::format("; refused {}, invented {}", set.wrongly_refused, set.invented);
  const bool complete = !bar.none_refused || (set.wrongly_refused == 0 && set.invented == 0);
  row.passed =
      !set.values.empty() && m <= bar.median_pct && (bar.p90_pct == 0 || p <= bar.p90_pct) && complete;
  row.stretched = row.passed && m <= bar.stretch_pct;
  rows.push_back(row);
}

void add_edge_rows(const PhotoSets& sets, std::vector<BarRow>& rows) {
  const PhotoSet edges = joined(sets, {"edge_card", "edge_ruler"});
  const PhotoSet layers = joined(sets, {"edge_card layers", "edge_ruler layers"});
  if (edges.pictures == 0) return;
  const double m = median(errors_pct(edges)), mm = median(errors_mm(edges)),
               layer = median(errors_mm(layers));
  const double named = layers.pictures ? 100.0 * layers.answered / edges.pictures : 0;
  rows.push_back(
      {"cut edge, total thickness", "median <= 1 % and <= 0.15 mm", "",
       fmt::format("{:.2f} %, {:.3f} mm, {} values of {}", m, mm, edges.values.size(), edges.pictures),
       !edges.values.empty() && m <= 1 && mm <= 0.15, false});
  rows.push_back(
      {"cut edge, layers named right", ">= 90 %", "", fmt::format("{:.0f} %", named), named >= 90, false});
  rows.push_back({"cut edge, each layer", "median <= 0.25 mm", "0.1 mm",
                  fmt::format("{:.3f} mm, {} values", layer, layers.values.size()),
                  !layers.values.empty() && layer <= 0.25, !layers.values.empty() && layer <= 0.1});
}

void add_depth_row(const PhotoSets& sets, std::vector<BarRow>& rows) {
  const PhotoSet holes = joined(sets, {"hole_card"}), depth = joined(sets, {"hole_card depth"});
  if (holes.pictures == 0) return;
  const double m = median(errors_pct(depth));
  const double answered = 100.0 * static_cast<double>(depth.values.size()) / holes.pictures;
  const bool passed = answered >= 40 && m <= 6;
  rows.push_back({"laminate seen through the bore", "answered on >= 40 %, median <= 6 %", "3 %",
                  fmt::format("{:.0f} %, {:.2f} %, held {:.0f} %", answered, m, held_pct(depth)), passed,
                  passed && m <= 3});
}

void add_refusal_row(const PhotoSets& sets, std::vector<BarRow>& rows) {
  const PhotoSet set = joined(sets, {"neg_noref", "neg_nohole", "neg_blur", "neg_refcrop"});
  if (set.pictures == 0) return;
  rows.push_back({"pictures that cannot be measured", "no answer", "",
                  fmt::format("{} answered of {}", set.invented, set.pictures), set.invented == 0, false});
}

void add_interval_rows(const PhotoSets& sets, std::vector<BarRow>& rows) {
  const PhotoSet beside_card = joined(sets, {"hole_card", "two_holes"});
  if (!beside_card.values.empty()) {
    const double width = median(half_widths_pct(beside_card));
    rows.push_back({"median half-width beside the card", "<= 0.6 %", "0.35 %", fmt::format("{:.2f} %", width),
                    width <= 0.6, width <= 0.35});
  }
  for (const auto& [name, set] : sets) {
    if (set.values.size() < 20) continue;
    const double held = held_pct(set);
    rows.push_back({"intervals, " + name, "hold the truth on 90-99 %", "",
                    fmt::format("{:.1f} % of {}", held, set.values.size()), held >= 90 && held <= 99, false});
  }
}

// Median and 90th percentile of one plain method's error, with how often it gave a value at all.
std::string plain_cell(const PhotoSet& set, std::optional<double> Value::*method) {
  Sizes errors;
  for (const Value& v : set.values)
    if (v.*method) errors.push_back(pct(*(v.*method), v.truth));
  if (errors.empty()) return "-";
  return fmt::format("{:.2f} / {:.2f} ({})", median(errors), ninetieth(errors), errors.size());
}

}  // namespace

std::vector<BarRow> bar_rows(const PhotoSets& sets) {
  const std::vector<ErrorBar> bars{
      {"hole beside the card", {"hole_card", "two_holes"}, 0.25, 0.8, 0.12, true},
      {"hole beside a coin", {"hole_coin"}, 1.0, 3, 0.5, false},
      {"hole beside a steel rule", {"hole_ruler"}, 0.5, 1.5, 0.2, false},
      {"flange of a fitting", {"fitting_card"}, 0.5, 0, 0.3, false},
      {"bore of a fitting", {"fitting_card bore"}, 1.0, 0, 0.3, false},
      {"real euro coins, near the reference", {"real euro_phone near"}, 1.0, 3, 0.8, false},
      {"real equal coins", {"real equal_coins near", "real equal_coins far"}, 0.35, 0, 0.25, false},
  };
  std::vector<BarRow> rows;
  for (const ErrorBar& bar : bars) add_error_row(sets, bar, rows);
  add_edge_rows(sets, rows);
  add_depth_row(sets, rows);
  add_refusal_row(sets, rows);
  add_interval_rows(sets, rows);
  return rows;
}

std::string markdown(const std::vector<BarRow>& rows) {
  std::string out = "| what | bar | stretch | measured | |\n| --- | --- | --- | --- | --- |\n";
  for (const BarRow& row : rows)
    fmt::format_to(std::back_inserter(out), "| {} | {} | {} | {} | {} |\n", row.what, row.bar, row.stretch,
                   row.measured,
                   row.stretched ? "stretch"
                   : row.passed  ? "pass"
                                 : "miss");
  return out;
}

std::string side_by_side(const PhotoSets& sets) {
  std::string out =
      "| set | pictures | refused or missed | invented | values | median error % | 90th percentile % | 95 % "
      "interval "
      "holds % | median half-width % | cv::HoughCircles median / p90 % (values) | cv::fitEllipse median / "
      "p90 % "
      "(values) |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
  for (const auto& [name, set] : sets) {
    const std::string ours =
        set.values.empty()
            ? "- | - | - | -"
            : fmt::format("{:.2f} | {:.2f} | {:.0f} | {:.2f}", median(errors_pct(set)),
                          ninetieth(errors_pct(set)), held_pct(set), median(half_widths_pct(set)));
    fmt::format_to(std::back_inserter(out), "| {} | {} | {} | {} | {} | {} | {} | {} |\n", name,
                   set.pictures ? std::to_string(set.pictures) : "", set.wrongly_refused, set.invented,
                   set.values.size(), ours, plain_cell(set, &Value::hough), plain_cell(set, &Value::ellipse));
  }
  return out;
}

std::string notes_of(const PhotoSets& sets) {
  std::string out;
  for (const auto& [name, set] : sets)
    for (const auto& note : set.notes) out += "- " + name + ": " + note + "\n";
  return out;
}

}  // namespace spile::bench
