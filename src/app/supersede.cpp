#include "app/supersede.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace spile::app {

namespace {

using model::Measurement;
using model::Quantity;

enum class Thing { Hole, Edge, Fitting, Other };

Thing thing_of(const Measurement& m) {
  switch (m.quantity) {
    case Quantity::HoleDiameter:
    case Quantity::HoleOvality:
    case Quantity::EdgeDamage:
      return Thing::Hole;
    case Quantity::LaminateThickness:  // seen through the bore it rests on the hole's rim, which has a centre
      return m.trace && m.trace->centre ? Thing::Hole : Thing::Edge;
    case Quantity::LayerThickness:
      return Thing::Edge;
    case Quantity::FlangeDiameter:
    case Quantity::BoreDiameter:
      return Thing::Fitting;
    case Quantity::BackingThickness:
    case Quantity::BackingWidth:
    case Quantity::MoistureReading:
    case Quantity::CrackLength:
    case Quantity::StainArea:
      break;
  }
  return Thing::Other;
}

bool same_value_again(const Measurement& fresh, const Measurement& old) {
  if (fresh.opening != old.opening || fresh.survey != old.survey || fresh.quantity != old.quantity ||
      fresh.label != old.label || fresh.photo != old.photo)
    return false;
  if (fresh.photo) return thing_of(fresh) == thing_of(old);
  return fresh.method == old.method && fresh.quantity != Quantity::LayerThickness;
}

bool same_reading_again(const Measurement& fresh, const Measurement& old) {
  if (same_value_again(fresh, old)) return true;
  return fresh.photo && fresh.photo == old.photo && fresh.opening == old.opening &&
         fresh.survey == old.survey && thing_of(fresh) == thing_of(old) && thing_of(fresh) != Thing::Other;
}

}  // namespace

Replacement replacing(const std::vector<Measurement>& standing, std::vector<Measurement> fresh) {
  Replacement result;
  std::set<model::MeasurementId> taken;
  for (auto& value : fresh) {
    const auto old = std::find_if(standing.begin(), standing.end(), [&](const Measurement& m) {
      return !taken.contains(m.id) && same_value_again(value, m);
    });
    if (old == standing.end()) continue;
    value.supersedes = old->id;
    taken.insert(old->id);
  }
  for (const auto& old : standing) {
    if (taken.contains(old.id)) continue;
    const auto again = [&](const Measurement& value) { return same_reading_again(value, old); };
    if (std::any_of(fresh.begin(), fresh.end(), again)) result.withdraw.push_back(old.id);
  }
  result.add = std::move(fresh);
  return result;
}

}  // namespace spile::app
