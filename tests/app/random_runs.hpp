// Many random runs of stocked parts, some joined at tees, some with pumps, some that cannot flow: the same
// for the same seed. For tests and the benchmark.
#pragma once

#include <random>
#include <string>
#include <vector>

#include "app/session.hpp"
#include "app/water.hpp"

namespace spile::app::test {

struct RandomRuns {
  model::Vessel vessel;
  std::vector<OpeningView> openings;
  std::vector<model::SurveyId> surveys;
  std::vector<model::Run> runs;
  model::Bilge bilge;
  [[nodiscard]] WaterCase facts(const rules::Tables& tables, const rules::Stock& stock) const {
    return {vessel, openings, surveys, runs, bilge, tables, stock};
  }
};

class RunDice {
 public:
  explicit RunDice(unsigned seed) : dice_(seed) {}
  // Both ends included; by the raw engine, so that every library draws the same.
  int in(int least, int most) {
    return least + static_cast<int>(dice_() % static_cast<unsigned>(most - least + 1));
  }
  bool one_in(int n) { return in(1, n) == 1; }

 private:
  std::mt19937 dice_;
};

inline model::RunPart random_part(RunDice& dice, const std::string& key) {
  model::RunPart part;
  part.part = key;
  if (key.starts_with("hose")) {
    part.length_mm = dice.in(100, 4000);
    if (dice.one_in(3)) part.bends = dice.in(0, 5);
    if (dice.one_in(4)) part.rise_mm = dice.in(-100, 100) * *part.length_mm / 100;
  }
  if (dice.one_in(5)) part.bore_mm = dice.in(80, 600) / 10.0;
  return part;
}

inline model::Run random_run(RunDice& dice, model::RunId id, model::OpeningId opening) {
  static const std::vector<std::string> starts = {
      "sink-25", "sink-38", "cockpit-38", "icebox-13", "pump-shower-19", "pump-bilge-4000", "pump-toilet-38"};
  static const std::vector<std::string> others = {
      "hose-13",          "hose-19",          "hose-25",       "hose-38",
      "hose-wire-38",     "hose-ridged-25",   "tail-npt-1-25", "reducer-hose-38-25",
      "ball-valve-npt-1", "strainer-hose-25", "duckbill-38",   "elbow-npt-1"};
  model::Run run;
  run.id = id;
  run.opening = opening;
  run.name = "run " + std::to_string(id.value);
  run.outlet_height_mm = dice.in(-600, 900);
  run.basin_depth_mm = dice.in(0, 300);
  run.basin_litres = dice.in(1, 60);
  run.from_centreline_mm = dice.in(-800, 1200);
  run.parts.push_back(random_part(dice, starts[static_cast<std::size_t>(dice.in(0, 6))]));
  const int count = dice.in(2, 6), tee = dice.in(1, count);
  for (int i = 1; i <= count; ++i)
    run.parts.push_back(
        random_part(dice, i == tee ? "tee-hose-38" : others[static_cast<std::size_t>(dice.in(0, 11))]));
  return run;
}

inline RandomRuns random_runs(int count, unsigned seed) {
  RunDice dice(seed);
  RandomRuns many;
  many.vessel.length_mm = 10000;
  many.vessel.beam_mm = 3200;
  many.vessel.freeboard_mm = 1100;
  static const std::vector<std::string> services = {"galley-sink-drain", "head-basin-drain", "cockpit-drain",
                                                    "shower-discharge"};
  for (int i = 0; i < count; ++i) {
    const bool joins = i > 0 && dice.one_in(4);
    if (!joins) {
      OpeningView view;
      view.opening.id = {i + 1};
      view.opening.tag = "O-" + std::to_string(i + 1);
      view.opening.service = services[static_cast<std::size_t>(dice.in(0, 3))];
      view.opening.height_mm = dice.in(-600, 400);
      view.opening.half_breadth_mm = dice.in(0, 1600);
      many.openings.push_back(view);
    }
    many.runs.push_back(random_run(dice, {i + 1}, many.openings.back().opening.id));
    if (!joins) continue;
    const auto& host = many.runs[many.runs.size() - 2];
    for (std::size_t p = 0; p < host.parts.size(); ++p)
      if (host.parts[p].part == "tee-hose-38")
        many.runs.back().joins = model::RunJoin{host.id, static_cast<int>(p)};
  }
  return many;
}

}  // namespace spile::app::test
