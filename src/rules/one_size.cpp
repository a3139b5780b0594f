#include "rules/one_size.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

double work_of(PartKind kind) {
  switch (kind) {
    case PartKind::Hose:
    case PartKind::Tail:
    case PartKind::Connector:
    case PartKind::Reducer:
    case PartKind::NonReturn:
    case PartKind::Other:
      return 1;
    case PartKind::Elbow:
    case PartKind::Strainer:
    case PartKind::Loop:
    case PartKind::Tee:
      return 2;
    case PartKind::Valve:
    case PartKind::Fixture:
      return 4;
    case PartKind::Pump:
      return 5;
    case PartKind::ThroughHull:
      return 10;
  }
  return 1;
}

const NominalStep* step_of(const PartEnd& end) {
  return end.joins() && !end.size.empty() ? nominal_step(end.size) : nullptr;
}

bool of_size(const PartEnd& end, const NominalStep& size) {
  const auto* step = step_of(end);
  return step == nullptr || step == &size;
}

std::string size_text(const NominalStep& size) {
  return fmt::format("{} in ({:g} mm hose)", size.inches, size.hose_mm);
}

namespace {

constexpr double kEnlarge = 6;      // cutting the hole larger, sealing its edge
constexpr double kShortHose = 100;  // mm between two tails
constexpr double kHaulOut = 10;     // what can only be done ashore

bool of_size(const StockPart& part, const NominalStep& size) {
  return of_size(part.in, size) && of_size(part.out, size);
}

bool same_way(const PartEnd& a, const PartEnd& b) {
  return a.form == b.form;
}

bool stays(PartKind kind) {
  return kind == PartKind::Fixture || kind == PartKind::Pump;
}

// A sink's waste stays a sink's waste and a bilge pump a bilge pump: they are of one family by their key up
// to its size.
bool may_stand_in(const StockPart& p, const PlacedPart& part) {
  if (p.kind != part.stock->kind) return false;
  const auto family = [](const std::string& key) { return key.substr(0, key.find_first_of("0123456789")); };
  return !stays(p.kind) || family(p.choice.key) == family(part.stock->choice.key);
}

// The stocked part of the same kind and ends, of that size: same roughness first, so that hose stays the hose
// it is.
const StockPart* sibling(const PlacedPart& part, const NominalStep& size, const Stock& stock) {
  const StockPart* found = nullptr;
  const auto apart = [&](const StockPart& p) {
    const bool same_name = p.choice.key.substr(0, 6) == part.stock->choice.key.substr(0, 6);
    return (same_name ? 0 : 1) +
           std::abs(p.rough_mm / p.bore_mm - part.stock->rough_mm / part.stock->bore_mm);
  };
  for (const auto& p : stock.parts()) {
    if (!may_stand_in(p, part) || !same_way(p.in, part.stock->in) || !same_way(p.out, part.stock->out))
      continue;
    if (!of_size(p, size) || (step_of(p.in) == nullptr && step_of(p.out) == nullptr)) continue;
    if (found == nullptr || apart(p) < apart(*found)) found = &p;
  }
  return found;
}

void put(PlacedPart& part, const StockPart& row) {
  const bool turned = !same_way(part.in, part.stock->in) ||
                      (same_way(part.stock->in, part.stock->out) && part.in.size != part.stock->in.size);
  part.stock = &row;
  part.in = turned ? row.out : row.in;
  part.out = turned ? row.in : row.out;
  part.bore_mm = row.bore_mm;
  part.bore_u95_mm = row.bore_u95_mm;
  if (row.kind == PartKind::Pump) part.curve = row.curve;
}

void put_straight(PlacedPart& part, const StockPart& row) {
  part.stock = &row;
  part.in = row.in;
  part.out = row.out;
  part.bore_mm = row.bore_mm;
  part.bore_u95_mm = row.bore_u95_mm;
}

// A part of the kind of `part` whose end fits `after`.
const StockPart* that_fits(const PlacedPart& part, const PartEnd& after, const NominalStep& size,
                           const Stock& stock) {
  for (const auto& p : stock.parts())
    if (may_stand_in(p, part) && of_size(p, size) && p.in.form != EndForm::Any &&
        fit(p.out, after) == Fit::Good)
      return &p;
  return nullptr;
}

// A link of a chain, turned so that it fits what comes before it.
PlacedPart link_behind(const PartEnd& before, const StockPart& row) {
  PlacedPart part;
  put_straight(part, row);
  if (fit(before, row.in) != Fit::Good) std::swap(part.in, part.out);
  part.length_mm = row.kind == PartKind::Hose ? kShortHose : row.length_mm;
  return part;
}

class OneSize {
 public:
  OneSize(const RemedyCase& facts, const NominalStep& size) : facts_(facts), size_(size) {}

  std::optional<Remedy> build() {
    remedy_.after = facts_.run;
    resize();
    mend_joints();
    if (!possible_) return std::nullopt;
    account();
    return std::move(remedy_);
  }

 private:
  void resize() {
    auto& parts = remedy_.after.parts;
    for (const auto& part : parts) before_.push_back(part.stock);
    for (std::size_t i = 0; i < parts.size(); ++i) {
      if (of_size(parts[i].in, size_) && of_size(parts[i].out, size_)) continue;
      if (parts[i].stock->kind == PartKind::Reducer) {
        taken_out_.insert(i);
      } else if (const auto* other = sibling(parts[i], size_, facts_.stock)) {
        put(parts[i], *other);
      } else if (!stays(parts[i].stock->kind)) {
        // What is not made in that size and stays as it is has the joint behind it mended.
        possible_ = false;
      }
    }
  }

  // Index of the next part that stays; parts.size() where there is none.
  [[nodiscard]] std::size_t next(std::size_t i) const {
    for (++i; i < remedy_.after.parts.size() && taken_out_.contains(i); ++i) {
    }
    return i;
  }

  void mend_joints() {
    auto& parts = remedy_.after.parts;
    for (std::size_t i = parts.size(); possible_ && i-- > 0;) {
      if (taken_out_.contains(i) || next(i) == parts.size()) continue;
      const PartEnd& after = parts[next(i)].in;
      if (matches(fit(parts[i].out, after))) continue;
      if (const auto* other = that_fits(parts[i], after, size_, facts_.stock)) {
        put_straight(parts[i], *other);
      } else if (const auto chain = shortest_chain(parts[i].out, after, facts_.stock);
                 chain && chain->parts.size() <= 2) {
        added_[i] = *chain;
      } else {
        possible_ = false;
      }
    }
  }

  void account() {
    const auto& parts = remedy_.after.parts;
    PlacedRun after;
    after.notes = remedy_.after.notes;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      if (taken_out_.contains(i)) {
        remedy_.steps.push_back(fmt::format("Take out {}.", lower_first(before_[i]->choice.label)));
        remedy_.work += work_of(PartKind::Reducer);
        continue;
      }
      after.parts.push_back(parts[i]);
      if (parts[i].stock != before_[i]) replaced(i);
      if (const auto added = added_.find(i); added != added_.end())
        add_chain(remedy_, added->second, after, parts[next(i)]);
    }
    remedy_.after = std::move(after);
  }

  void replaced(std::size_t i) {
    const auto& part = remedy_.after.parts[i];
    if (part.stock->kind == PartKind::ThroughHull) {
      replace_fitting(part);
    } else {
      remedy_.steps.push_back(fmt::format(
          "Replace {} by {}{}.", lower_first(before_[i]->choice.label), lower_first(part.stock->choice.label),
          part.stock->kind == PartKind::Hose ? fmt::format(", {} of it", mm(part.length_mm))
                                             : std::string()));
      remedy_.work += work_of(part.stock->kind);
    }
    remedy_.buy.push_back(part.stock->choice.label);
  }

  void replace_fitting(const PlacedPart& part) {
    remedy_.replaces_fitting = true;
    remedy_.work += work_of(PartKind::ThroughHull) + (facts_.end.below_waterline ? kHaulOut : 0);
    std::string step =
        fmt::format("Replace the fitting in the hull by {}", lower_first(part.stock->choice.label));
    const auto* hardware = nominal_size(facts_.tables, std::string(size_.inches) + " in");
    if (hardware == nullptr) {
      remedy_.steps.push_back(step + "; measure its shank for the hole.");
      remedy_.enlarges_opening = facts_.end.below_waterline;
      return;
    }
    remedy_.steps.push_back(step + hole(*hardware));
  }

  std::string hole(const NominalSize& hardware) {
    const std::string wanted =
        hardware.hole.from_mm == hardware.hole.to_mm
            ? mm(hardware.hole.to_mm)
            : fmt::format("{} to {}", plain_number(hardware.hole.from_mm), mm(hardware.hole.to_mm));
    if (!facts_.end.hole_mm) {
      const bool larger = size_.hose_mm > facts_.run.parts.back().bore_mm;
      remedy_.enlarges_opening = larger;
      if (larger) remedy_.work += kEnlarge;
      return fmt::format(": its hole usually is {}; measure the one that is there.", wanted);
    }
    const double there = *facts_.end.hole_mm;
    if (there < hardware.hole.from_mm) {
      remedy_.enlarges_opening = true;
      remedy_.work += kEnlarge;
      return fmt::format(": enlarge the hole from {} as measured to {}.", mm(there, 1), wanted);
    }
    if (there > hardware.hole.to_mm + 3) {
      remedy_.work += kEnlarge;
      return fmt::format(": the hole of {} is too wide for it ({}): fill it and cut it anew.", mm(there, 1),
                         wanted);
    }
    return fmt::format(": the hole of {} as measured will do ({}).", mm(there, 1), wanted);
  }

  const RemedyCase& facts_;
  const NominalStep& size_;
  Remedy remedy_;
  std::vector<const StockPart*> before_;
  std::set<std::size_t> taken_out_;
  std::map<std::size_t, Chain> added_;
  bool possible_ = true;
};

std::string name_in_chain(const StockPart& link) {
  const std::string name = lower_first(link.choice.label);
  return link.kind == PartKind::Hose ? fmt::format("{}, a piece of {}", name, mm(kShortHose)) : name;
}

}  // namespace

void add_chain(Remedy& remedy, const Chain& chain, PlacedRun& after, const PlacedPart& next) {
  const std::string from = lower_first(after.parts.back().stock->choice.label);
  std::string names;
  for (const auto* link : chain.parts) {
    after.parts.push_back(link_behind(after.parts.back().out, *link));
    names += (names.empty() ? "" : "; ") + name_in_chain(*link);
    remedy.buy.push_back(link->choice.label);
    remedy.work += work_of(link->kind);
  }
  remedy.steps.push_back(fmt::format("Join {} to {} by {}{}.", from, lower_first(next.stock->choice.label),
                                     chain.parts.size() > 1 ? "these, in this order: " : "", names));
}

std::optional<Remedy> of_one_size(const RemedyCase& facts, const NominalStep& size) {
  return OneSize(facts, size).build();
}

}  // namespace spile::rules
