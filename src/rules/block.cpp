#include "rules/block.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/names.hpp"
#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using metrology::Conformity;

constexpr double kSheetMin =
    12.7;  // where the table's best material is not to be had: 1/2 in sheet, common practice

Conformity worse(Conformity a, Conformity b) {
  if (a == Conformity::NotMet || b == Conformity::NotMet) return Conformity::NotMet;
  return a == Conformity::TooCloseToTell ? a : b;
}

struct Size {
  double value = 0, u95 = 0;
  std::string text;
};

std::optional<Size> thickness_recorded(const Case& facts, const Tables& tables) {
  if (const auto m = best(facts, model::Quantity::BackingThickness)) {
    return Size{m->measurement.value, m->measurement.u95, measured(m->measurement)};
  }
  if (!facts.observation || !facts.observation->backing_thickness_mm) return std::nullopt;
  // Written down without a method: as if read off a tape.
  const double value = *facts.observation->backing_thickness_mm;
  const auto* tape = tables.instrument(model::key(model::Method::Tape));
  const double u95 = tape ? tape->u95 : value;
  return Size{value, u95, with_interval(value, u95)};
}

double thickness_wanted(const BackingMaterial& material, const Tables& tables,
                        std::optional<double> hull_mm) {
  const double share = tables.threshold("reinforce.block.hull-share").value;
  return std::max(material.min_thickness_mm.value_or(kSheetMin), share * hull_mm.value_or(0));
}

void judge_thickness(BlockFound& found, const Case& facts, const Tables& tables,
                     const BackingMaterial& material, std::optional<double> hull_mm) {
  const auto size = thickness_recorded(facts, tables);
  if (!size) {
    found.serves.reset();
    found.would_change.emplace_back("The thickness of the block.");
    return;
  }
  found.input.text += ", " + size->text;
  found.thickness_mm = size->value;
  const double wanted = thickness_wanted(material, tables, hull_mm);
  const auto judged = metrology::at_least(size->value, size->u95, wanted);
  if (judged == Conformity::TooCloseToTell) {
    found.would_change.emplace_back("The block's thickness, by caliper.");
  }
  found.serves = worse(*found.serves, judged);
  found.reasons.push_back(fmt::format("The block is {} thick and should be at least {}{}.", size->text,
                                      mm(wanted, 1),
                                      judged == Conformity::Met      ? ""
                                      : judged == Conformity::NotMet ? ": too thin"
                                                                     : ": too close to tell"));
}

void judge_width(BlockFound& found, const Case& facts, const Tables& tables) {
  const auto width = best(facts, model::Quantity::BackingWidth);
  if (width) found.width_mm = width->measurement.value;
  const auto flange = flange_of(facts, tables);
  if (!width || !flange || !found.serves) return;
  const auto& overlap = tables.threshold("reinforce.block.overlap");
  const double wanted = flange->diameter_mm + 2 * overlap.value;
  const auto judged = metrology::at_least(width->measurement.value, width->measurement.u95, wanted);
  if (judged == Conformity::Met) return;
  if (judged == Conformity::TooCloseToTell) {
    found.would_change.emplace_back("The block's width, measured again.");
  }
  found.serves = worse(*found.serves, judged);
  found.reasons.push_back(
      fmt::format("The block is {} across; {} beyond a flange of {} all round would be {}.",
                  measured(width->measurement), mm(overlap.value), mm(flange->diameter_mm), mm(wanted)));
}

BlockFound not_present(const Case& facts) {
  BlockFound found;
  const bool none = facts.observation && facts.observation->backing == model::Backing::None;
  found.input = {"Backing block", none ? "none" : std::string(kNotRecorded)};
  if (!none) found.would_change.emplace_back("Whether there is a backing block, and of what.");
  return found;
}

}  // namespace

BlockFound judge_block(const Case& facts, const Tables& tables, std::optional<double> hull_mm) {
  if (!facts.observation || facts.observation->backing != model::Backing::Present) return not_present(facts);
  BlockFound found;
  found.present = true;
  const auto* material = tables.backing_material(facts.observation->backing_material);
  if (!material || material->choice.key == "backing-unknown") {
    found.input = {"Backing block", "fitted, material not recorded"};
    found.would_change.emplace_back("What the backing block is made of: scrape its edge.");
    return found;
  }
  found.input = {"Backing block", lower_first(material->choice.label)};
  found.sources.push_back(material->choice.source);
  if (material->below_waterline == Suitability::Reject) {
    found.serves = Conformity::NotMet;
    found.reasons.push_back(fmt::format("The block does not count ({}): {}",
                                        lower_first(material->choice.label), lower_first(material->why)));
    return found;
  }
  found.serves = Conformity::Met;
  found.conditional = material->below_waterline == Suitability::Conditional;
  if (found.conditional) {
    found.reasons.push_back(fmt::format("The block counts while it is sound ({}): {}",
                                        lower_first(material->choice.label), lower_first(material->why)));
  }
  judge_thickness(found, facts, tables, *material, hull_mm);
  judge_width(found, facts, tables);
  return found;
}

BlockToFit block_to_fit(const Case& facts, const Tables& tables, std::optional<double> hull_mm) {
  const auto* sheet = tables.backing_material("glass-epoxy");
  const double least = sheet ? thickness_wanted(*sheet, tables, hull_mm) : kSheetMin;
  BlockToFit block{std::ceil(least), std::nullopt, {}};
  const double overlap = tables.threshold("reinforce.block.overlap").value;
  if (const auto flange = flange_of(facts, tables)) {
    block.width_mm = std::ceil((flange->diameter_mm + 2 * overlap) / 5) * 5;
    block.in_words = fmt::format("at least {} thick and {} across (flange {}, {}, and {} all round)",
                                 mm(block.thickness_mm), mm(*block.width_mm), mm(flange->diameter_mm),
                                 flange->how, mm(overlap));
  } else {
    block.in_words = fmt::format("at least {} thick, reaching {} beyond the flange all round",
                                 mm(block.thickness_mm), mm(overlap));
  }
  return block;
}

std::vector<std::string> block_actions(const BlockToFit& block, const Tables& tables) {
  return {
      fmt::format(
          "Make a backing block of glass-epoxy sheet (G-10, FR-4) or solid laminate, {}; round, its edge "
          "bevelled {:.0f} to 45 degrees.",
          block.in_words, tables.threshold("reinforce.block.bevel").value),
      fmt::format(
          "Grind hull and block to clean laminate, seat it flat within {}, and bond it in thickened epoxy.",
          plain_mm(tables.threshold("reinforce.block.flat").value)),
      "Seal the hole's edge through hull and block with two or three coats of epoxy before bedding the "
      "fitting.",
  };
}

}  // namespace spile::rules
