#include "rules/run_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "rules/wording.hpp"

namespace spile::rules {

namespace {

constexpr double kLongestRun = 50'000;  // mm
constexpr double kWidestBore = 300;     // mm
constexpr double kMeasuredBore =
    0.5;  // mm, 95 %: a caliper or rule in a hose that is not quite round (common practice)
constexpr double kLikelyDoubt = 0.08;  // share of a bore taken from the table

class Placer {
 public:
  Placer(const Stock& stock, PlacedRun& into) : stock_(stock), into_(into) {}

  void add(const model::RunPart& typed) {
    const StockPart* row = stock_.part(typed.part);
    number_ = into_.parts.size() + 1;
    if (row == nullptr) {
      fault(fmt::format("\"{}\" is not in the table of parts", typed.part));
      row = stock_.part("own-part");
    }
    PlacedPart part;
    part.stock = row;
    part.in = row->in;
    part.out = row->out;
    if (typed.turned) std::swap(part.in, part.out);
    name_ = row->choice.label;
    bore(typed, part);
    length(typed, part);
    if (typed.bends) part.bends = allowed("a number of bends", *typed.bends, 0, 100, 0);
    curve(typed, part);
    into_.parts.push_back(std::move(part));
  }

 private:
  void fault(const std::string& what) {
    into_.faults.push_back(fmt::format("Part {}{}{}: {}.", number_, name_.empty() ? "" : ", ", name_, what));
  }
  double allowed(std::string_view what, double typed, double least, double most, double otherwise) {
    if (std::isfinite(typed) && typed >= least && typed <= most) return typed;
    fault(fmt::format("{} of {:g} cannot be; it is kept as typed until somebody corrects it", what, typed));
    return otherwise;
  }
  void bore(const model::RunPart& typed, PlacedPart& part) {
    part.bore_mm = part.stock->bore_mm;
    part.bore_u95_mm = part.stock->bore_u95_mm;
    if (!typed.bore_mm) return;
    const double read = allowed("a bore in mm", *typed.bore_mm, 0.5, kWidestBore, 0);
    if (read <= 0) return;
    part.bore_mm = read;
    part.bore_u95_mm = kMeasuredBore;
  }
  void length(const model::RunPart& typed, PlacedPart& part) {
    part.length_mm = part.stock->length_mm;
    if (typed.length_mm)
      part.length_mm = allowed("a length in mm", *typed.length_mm, 0, kLongestRun, part.length_mm);
    if (!typed.rise_mm) return;
    const double rise = allowed("a rise in mm", *typed.rise_mm, -kLongestRun, kLongestRun, 0);
    if (std::abs(rise) > part.length_mm && part.stock->kind == PartKind::Hose) {
      fault(fmt::format("it rises by {} but is only {} long", mm(std::abs(rise), 0), mm(part.length_mm, 0)));
    }
    part.rise_mm = rise;
  }
  void curve(const model::RunPart& typed, PlacedPart& part) const {
    part.curve = typed.curve.empty() ? part.stock->curve : typed.curve;
  }

  const Stock& stock_;
  PlacedRun& into_;
  std::size_t number_ = 0;
  std::string name_;
};

std::string thread_form(const std::string& thread) {
  return thread.substr(0, thread.find('-'));
}

void add_fitting(const RunEnd& end, const Stock& stock, PlacedRun& run) {
  if (!run.parts.empty() && run.parts.back().stock->kind == PartKind::ThroughHull) {
    run.parts.back().from_fitting = true;
  } else {
    const StockPart* row =
        end.fitting ? stock.through_hull(end.fitting->nominal_size, thread_form(end.fitting->thread))
                    : nullptr;
    if (row == nullptr) {
      run.notes.emplace_back(
          "The size of the fitting in the hull is not recorded, so the last joint is not judged.");
      return;
    }
    if (end.fitting->thread.empty())
      run.notes.emplace_back(
          "The fitting's thread is not recorded; it is taken to have a hose tail of its own.");
    PlacedPart part;
    part.stock = row;
    part.in = row->in;
    part.out = row->out;
    part.bore_mm = row->bore_mm;
    part.bore_u95_mm = std::max(row->bore_u95_mm, kLikelyDoubt * row->bore_mm);
    part.length_mm = row->length_mm;
    part.from_fitting = true;
    run.parts.push_back(std::move(part));
  }
  if (!end.bore_mm) return;
  run.parts.back().bore_mm = *end.bore_mm;
  run.parts.back().bore_u95_mm = end.bore_u95_mm.value_or(kMeasuredBore);
}

void note_order(PlacedRun& run) {
  for (std::size_t i = 0; i < run.parts.size(); ++i) {
    const auto kind = run.parts[i].stock->kind;
    if (kind == PartKind::Fixture && i > 0)
      run.faults.push_back(
          fmt::format("{} stands in the middle: a run starts from its fixture.", numbered(run, i)));
    if (kind == PartKind::ThroughHull && i + 1 < run.parts.size())
      run.faults.push_back(
          fmt::format("{} stands in the middle: it is where the run ends.", numbered(run, i)));
  }
}

// Follows the tees down to the hull. Stops with a fault at a run that is not there or was met before.
class Follower {
 public:
  Follower(std::span<const model::Run> all, PlacedRun& into) : all_(all), into_(into) {}

  // The run's parts, then those of its hosts; `tees` holds the indices entered by a branch.
  std::vector<model::RunPart> follow(const model::Run& run, std::set<std::size_t>& tees) {
    std::vector<model::RunPart> parts = run.parts;
    std::set<model::RunId> met{run.id};
    for (auto join = run.joins; join;) {
      const auto* host = host_of(*join, met);
      if (host == nullptr) break;
      if (host->opening != run.opening)
        stop(fmt::format(
            "Joined at a tee, {} leaves by another opening than this run: record the one that the "
            "water leaves by.",
            name_of(*host)));
      tees.insert(parts.size());
      parts.insert(parts.end(), host->parts.begin() + join->behind_part, host->parts.end());
      join = host->joins;
    }
    return parts;
  }

 private:
  const model::Run* host_of(const model::RunJoin& join, std::set<model::RunId>& met) {
    const auto host =
        std::find_if(all_.begin(), all_.end(), [&](const model::Run& r) { return r.id == join.run; });
    if (host == all_.end()) return stop("The run that this one joins is not in the logbook.");
    const std::string name = name_of(*host);
    if (!met.insert(join.run).second)
      return stop(
          fmt::format("The tees go round in a loop: {} is met twice. Let each run end in a tee of the next, "
                      "and the last one in the hull.",
                      name));
    if (join.behind_part < 0 || join.behind_part >= static_cast<int>(host->parts.size()))
      return stop(fmt::format("There is no part {} in {}, which has {}.", join.behind_part + 1, name,
                              host->parts.size()));
    return &*host;
  }
  static std::string name_of(const model::Run& host) {
    return host.name.empty() ? "the run it joins" : host.name;
  }
  const model::Run* stop(const std::string& fault) {
    into_.faults.push_back(fault);
    return nullptr;
  }

  std::span<const model::Run> all_;
  PlacedRun& into_;
};

}  // namespace

PlacedRun place(const model::Run& run, const RunEnd& end, const Stock& stock,
                std::span<const model::Run> all) {
  PlacedRun placed;
  std::set<std::size_t> tees;
  const auto parts = Follower(all, placed).follow(run, tees);
  Placer placer(stock, placed);
  for (const auto& part : parts) placer.add(part);
  for (const auto i : tees) {
    placed.parts[i].branch = true;
    if (placed.parts[i].stock->kind != PartKind::Tee)
      placed.faults.push_back(fmt::format("{} is no tee, so no run can join there.", numbered(placed, i)));
  }
  add_fitting(end, stock, placed);
  note_order(placed);
  return placed;
}

std::string numbered(const PlacedRun& run, std::size_t index) {
  return fmt::format("{}. {}", index + 1, run.parts[index].stock->choice.label);
}

}  // namespace spile::rules
