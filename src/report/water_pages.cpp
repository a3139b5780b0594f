#include <fmt/format.h>

#include "figures/standing.hpp"
#include "report/paint_figure.hpp"
#include "report/sections.hpp"

namespace spile::report {

namespace {

const TextStyle kWhy{9, Weight::Regular, kBlack};

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const auto& line : lines) text += (text.empty() ? "" : "\n") + line;
  return text;
}

void flooding(Flow& flow, const ReportWater& water) {
  flow.new_page();
  flow.heading(1, "What comes in if one lets go", "flooding");
  flow.paragraph(
      "In the order in which to worry: what floods her at her mooring with nobody aboard first, then what "
      "needs "
      "heel. Each at its worst: the fitting gone from its hole, or what is screwed on it broken off.",
      kBody);
  flow.gap(2);
  std::vector<std::vector<Cell>> rows;
  for (const auto& f : water.floods) {
    if (f.rank == 0) continue;
    rows.push_back({{fmt::format("{}", f.rank), nullptr, Weight::Medium, {}},
                    {f.tag, nullptr, Weight::Medium, {}},
                    {f.service + ": " + f.way, nullptr, Weight::Regular, {}},
                    {f.at_rest, nullptr, Weight::Medium, {}},
                    {f.buckets, nullptr, Weight::Regular, {}},
                    {f.heeled, nullptr, Weight::Regular, {}},
                    {f.sole, nullptr, Weight::Regular, {}},
                    {f.pumped, nullptr, Weight::Regular, {}}});
  }
  const double rest = flow.width() - (9 + 15 + 31 + 18 + 17 + 19 + 18);
  if (rows.empty()) {
    flow.paragraph("No opening is known to let water in; what is missing is named below.", kBody);
  } else {
    flow.table({{"", 9},
                {"Tag", 15},
                {"What, and how it lets go", rest},
                {"L/min at rest", 31, Set::Right},
                {"Buckets a minute", 18, Set::Right},
                {"L/min heeled", 17, Set::Right},
                {water.sole_column, 19, Set::Right},
                {"With the pumps", 18, Set::Right}},
               rows);
  }
  flow.paragraph(
      "A bucket is 10 L. Q = Cd A sqrt(2 g h): Cd 0.61 for a bare hole, 0.82 for a fitting broken off; "
      "published "
      "tables that leave the coefficient out read up to 1/0.6 higher. " +
          water.pumps,
      kSmall);
  flow.gap(2);
  for (const auto& figure : water.flooding) flow.figure(figure);
  for (const auto& f : water.floods)
    if (f.rank == 0) flow.item("–", fmt::format("{}: {}", f.tag, f.way), kWhy);
  flow.gap(2);
  flow.boxed("Caution", joined(water.cautions));
}

void all_runs(Flow& flow, const ReportWater& water) {
  const double rest = flow.width() - (30 + 22 + 34 + 50);
  std::vector<std::vector<Cell>> rows;
  for (const auto& run : water.runs)
    rows.push_back({{run.title, &run.standing, Weight::Medium, {}},
                    {run.joints, nullptr, Weight::Regular, {}},
                    {run.bore, nullptr, Weight::Regular, {}},
                    {run.flow, nullptr, Weight::Regular, {}},
                    {run.sea, nullptr, Weight::Regular, {}}});
  flow.table({{"Run", rest},
              {"Joints", 30},
              {"Narrowest", 22, Set::Right},
              {"Flow at rest, L/min", 34, Set::Right},
              {"When she heels", 50}},
             rows);
}

void parts(Flow& flow, const ReportRun& run) {
  for (const auto& part : run.parts) {
    flow.paragraph(part.text, kWhy, 4);
    if (part.wrong.empty()) continue;
    flow.need(8);
    paint_mark(flow.pdf(), figures::Shape::Triangle, figures::Role::Act, {flow.left() + 9, flow.y() + 2},
               2.6);
    flow.paragraph(part.wrong, {9, Weight::Medium, kBlack}, 12);
  }
  flow.gap(2);
}

void remedies(Flow& flow, const ReportRun& run) {
  if (run.remedies.empty()) return;
  flow.need(20);
  flow.heading(2, "What would make it match, best first", "");
  int number = 0;
  for (const auto& remedy : run.remedies) {
    flow.need(12);
    flow.item(fmt::format("{}", ++number), remedy.title, kStrong, 5);
    for (const auto& line : remedy.lines) flow.paragraph(line, kWhy, 5);
    flow.gap(1.5);
  }
}

void one_run(Flow& flow, const ReportRun& run) {
  flow.need(90);
  flow.heading(1, run.title, "run " + run.title, true);
  const auto look = figures::look_of(run.standing);
  paint_mark(flow.pdf(), look.shape, look.role, {flow.left() + 1.8, flow.y() + 2.2}, 3.4);
  flow.paragraph(fmt::format("{}: {}", look.word, run.headline), kStrong, 6);
  flow.gap(2);
  if (!run.figures.empty()) flow.figure(run.figures.front());
  parts(flow, run);
  for (const auto& line : run.says) flow.paragraph(line, kWhy);
  flow.gap(2);
  if (!run.dangers.empty()) flow.boxed("Danger", joined(run.dangers));
  for (std::size_t i = 1; i < run.figures.size(); ++i) flow.figure(run.figures[i]);
  remedies(flow, run);
}

}  // namespace

void water_pages(Flow& flow, const SurveyReport& data) {
  const ReportWater& water = data.water;
  if (!water.floods.empty()) flooding(flow, water);
  if (water.runs.empty()) return;
  flow.new_page();
  flow.heading(1, "Runs of hose and parts", "runs");
  flow.paragraph(
      "Each run from its fixture to the opening: whether sizes and threads match all the way, what flows, "
      "and "
      "whether the sea can run back. Flows with their 95 % interval.",
      kBody);
  flow.gap(2);
  all_runs(flow, water);
  for (const auto& run : water.runs) one_run(flow, run);
}

}  // namespace spile::report
