#include "rules/load_reasons.hpp"

#include <fmt/format.h>

#include "rules/facts.hpp"
#include "rules/load.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

struct Lever {
  double mm = 0, u95 = 0;
  bool assumed = false;
};

// From the middle of the skin to the top of what stands on it; assumed where nobody measured it.
Lever lever_of(const Case& facts, const Tables& tables, std::optional<double> hull_mm) {
  if (!facts.fitting || !facts.fitting->stack_mm)
    return {tables.threshold("load.lever").value, tables.threshold("load.lever.u95").value, true};
  return {*facts.fitting->stack_mm + hull_mm.value_or(0) / 2, tables.threshold("room.length.u95").value,
          false};
}

class Check {
 public:
  Check(const Case& facts, const Tables& tables, const SkinSeen& skin)
      : skin_(skin),
        lever_(lever_of(facts, tables, skin.hull_mm)),
        asked_(tables.threshold("load.static").value),
        panel_(facts.opening.frame_mm.value_or(tables.threshold("reinforce.panel.radius").value)) {
    const double share = tables.threshold("laminate.design.share").value;
    strengths_ = {tables.threshold("laminate.flexural.strength").value * share,
                  tables.threshold("laminate.shear.strength").value * share,
                  tables.threshold("laminate.strength.u95").value};
  }
  [[nodiscard]] const Lever& lever() const { return lever_; }
  [[nodiscard]] LoadCheck alone(double flange_mm) const { return at(flange_mm, skin_.thickness_mm); }
  // A block carries at two places: at the flange with its own thickness added, and at its edge with the skin
  // alone.
  [[nodiscard]] LoadCheck with_block(double flange_mm, double width_mm, double block_mm) const {
    const auto at_flange = at(flange_mm, skin_.thickness_mm + block_mm),
               at_edge = at(width_mm, skin_.thickness_mm);
    return at_edge.times < at_flange.times ? at_edge : at_flange;
  }

 private:
  [[nodiscard]] LoadCheck at(double boss_mm, double thickness_mm) const {
    return check_load(asked_, {boss_mm / 2, panel_, thickness_mm, lever_.mm}, strengths_, skin_.u95,
                      lever_.u95);
  }

  const SkinSeen& skin_;
  Lever lever_;
  double asked_, panel_;
  Strengths strengths_;
};

std::string times(const LoadCheck& check) {
  return fmt::format("{:.1f} ± {:.1f}", check.times, check.u95);
}

}  // namespace

// The worst direction for a fitting is sideways at its inboard end: that tilts the flange in the skin.
LoadVerdict explain_load(Verdict& verdict, const Case& facts, const Tables& tables, const SkinSeen& skin) {
  const auto flange = flange_of(facts, tables);
  if (!flange || skin.thickness_mm <= 0) return {};
  const Check check(facts, tables, skin);
  const auto& asked = tables.threshold("load.static");
  const bool there = skin.block.present && skin.block.serves && skin.block.width_mm;
  const auto fit = block_to_fit(facts, tables, skin.hull_mm);
  const double width = there ? *skin.block.width_mm : fit.width_mm.value_or(flange->diameter_mm);
  const double block = there ? skin.block.thickness_mm : fit.thickness_mm;
  const auto alone = check.alone(flange->diameter_mm);
  verdict.reasons.push_back(fmt::format(
      "Load check, advice and no certificate: a fitting is asked to stand {} (500 lbf) sideways at the end "
      "of its {} "
      "lever{} and straight out. {} {} {} times that ({} governs; in shear {:.1f} times); with {} block {} "
      "across and "
      "{} thick, bonded, {} times.",
      newtons(asked.value), mm(check.lever().mm), check.lever().assumed ? ", assumed," : "",
      mm(skin.thickness_mm, 1), skin.words, times(alone), alone.governs, alone.in_shear, there ? "the" : "a",
      mm(width), mm(block), times(check.with_block(flange->diameter_mm, width, block))));
  add_source(verdict, asked.source);
  add_source(verdict, tables.threshold("laminate.flexural.strength").source);
  add_source(verdict, "from memory: Roark, table 11.2, cases 1f and 21");
  return {alone.times - alone.u95 >= 1, alone.times + alone.u95 < 1};
}

void explain_crush(Verdict& verdict, const Case& facts, const Tables& tables, std::optional<double> hull_mm) {
  const auto* block = facts.observation && facts.observation->backing == model::Backing::Present
                          ? tables.backing_material(facts.observation->backing_material)
                          : nullptr;
  const bool wood = construction_of(facts).value == model::HullConstruction::Timber ||
                    (block && block->choice.group == "Wood");
  const auto flange = flange_of(facts, tables);
  if (!wood || !flange) return;
  const auto hole = best(facts, model::Quantity::HoleDiameter);
  const double base = flange->diameter_mm / 2;
  const double bore = hole && hole->measurement.value / 2 < base ? hole->measurement.value / 2 : 0;
  const auto lever = lever_of(facts, tables, hull_mm);
  const double pressure = edge_pressure(tables.threshold("load.static").value * lever.mm, base, bore);
  const auto& crush = tables.threshold("load.wood.crush");
  verdict.reasons.push_back(
      fmt::format("{} (500 lbf) at a lever of {} makes a base {} across press its edge into the wood with "
                  "{:.1f} MPa; softwood "
                  "crushes across the grain from {} MPa{}.",
                  newtons(tables.threshold("load.static").value), mm(lever.mm), mm(flange->diameter_mm),
                  pressure, plain_number(crush.value),
                  pressure > crush.value ? ": spread it with a wide metal or laminate washer plate" : ""));
  add_source(verdict, crush.source);
  add_source(verdict, tables.threshold("load.static").source);
}

// A flat seat on a curved hull rocks; the gap at its edge is what must be shimmed or shaped.
void explain_seat(Verdict& verdict, const Case& facts, const Tables& tables, std::optional<double> hull_mm) {
  const auto fit = block_to_fit(facts, tables, hull_mm);
  const auto flange = flange_of(facts, tables);
  if (!facts.opening.hull_radius_mm || (!fit.width_mm && !flange)) return;
  const double seat = fit.width_mm ? *fit.width_mm : flange->diameter_mm;
  const double gap = sagitta(*facts.opening.hull_radius_mm, seat);
  const auto& shim = tables.threshold("reinforce.block.shim");
  verdict.reasons.push_back(
      fmt::format("On a hull that curves at {} a flat seat {} across stands off by {} at its edge{}.",
                  mm(*facts.opening.hull_radius_mm), mm(seat), mm(gap, 1),
                  gap < shim.value ? ": thickened epoxy fills that" : ""));
  add_source(verdict, shim.source);
  if (gap < shim.value) return;
  verdict.actions.push_back(
      fmt::format("Shape the block's face to the hull, or shim it with thickened epoxy: {} at the edge, "
                  "nothing in the middle; its "
                  "other face stays flat for the nut.",
                  mm(gap, 1)));
}

}  // namespace spile::rules
