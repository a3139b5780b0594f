// Search over ends: each stocked part that fits an end leads to its other end. Breadth first, so that the
// first chain found is the shortest; among those of one length the widest is kept.
#include <algorithm>
#include <map>
#include <utility>

#include "rules/run_joints.hpp"

namespace spile::rules {

namespace {

constexpr std::size_t kLongest = 8;  // parts; nobody should build even half of that

using Place = std::pair<EndForm, std::string>;

Place place_of(const PartEnd& end) {
  return {end.form, end.size};
}

bool may_link(const StockPart& part) {
  return part.kind == PartKind::Reducer || part.kind == PartKind::Connector || part.kind == PartKind::Tail ||
         (part.kind == PartKind::Hose && part.rough_mm < 0.1);
}

struct Reached {
  PartEnd end;
  Chain chain;
};

// Every end one part further on, the widest way to each.
std::map<Place, Reached> step(const std::map<Place, Reached>& edge, const Stock& stock) {
  std::map<Place, Reached> next;
  for (const auto& [place, from] : edge) {
    for (const auto& part : stock.parts()) {
      if (!may_link(part)) continue;
      for (const auto& [near, far] : {std::pair(&part.in, &part.out), std::pair(&part.out, &part.in)}) {
        if (fit(from.end, *near) != Fit::Good) continue;
        Chain chain = from.chain;
        chain.parts.push_back(&part);
        chain.narrowest_mm =
            from.chain.parts.empty() ? part.bore_mm : std::min(from.chain.narrowest_mm, part.bore_mm);
        const auto known = next.find(place_of(*far));
        if (known == next.end()) {
          next.emplace(place_of(*far), Reached{*far, std::move(chain)});
        } else if (chain.narrowest_mm > known->second.chain.narrowest_mm) {
          known->second = {*far, std::move(chain)};
        }
      }
    }
  }
  return next;
}

}  // namespace

std::optional<Chain> shortest_chain(const PartEnd& from, const PartEnd& to, const Stock& stock) {
  if (fit(from, to) == Fit::Good) return Chain{};
  if (!from.joins() || !to.joins() || from.form == EndForm::Any || to.form == EndForm::Any)
    return std::nullopt;
  std::map<Place, Reached> edge{{place_of(from), {from, {}}}};
  std::map<Place, bool> seen{{place_of(from), true}};
  for (std::size_t length = 1; length <= kLongest && !edge.empty(); ++length) {
    edge = step(edge, stock);
    const Chain* best = nullptr;
    for (const auto& [place, reached] : edge)
      if (fit(reached.end, to) == Fit::Good &&
          (best == nullptr || reached.chain.narrowest_mm > best->narrowest_mm))
        best = &reached.chain;
    if (best != nullptr) return *best;
    std::erase_if(edge, [&](const auto& entry) { return !seen.emplace(entry.first, true).second; });
  }
  return std::nullopt;
}

}  // namespace spile::rules
