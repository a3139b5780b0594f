#include "rules/stem.hpp"

#include <fmt/format.h>

#include <cmath>

#include "rules/facts.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

// Half the step between a nominal size's two standards, and what makers differ by besides.
constexpr double kMakersDiffer = 0.3;

std::string form_of(const Case& facts, const Tables& tables) {
  const auto* thread = facts.fitting ? tables.thread(facts.fitting->thread) : nullptr;
  return thread ? thread->form : std::string();
}

Stem usual_stem(const NominalSize& size, const std::string& form) {
  const bool american = form == "npt" || form == "npsm", metric = form == "g" || form == "r";
  if (american) {
    return {size.nps_outside_mm, kMakersDiffer,
            fmt::format("usual for {} in, 60-degree pipe thread", size.size_in), size.source};
  }
  if (metric) {
    return {size.g_outside_mm, kMakersDiffer,
            fmt::format("usual for {} in, 55-degree pipe thread", size.size_in), size.source};
  }
  const double half = std::abs(size.nps_outside_mm - size.g_outside_mm) / 2;
  return {(size.nps_outside_mm + size.g_outside_mm) / 2, kMakersDiffer + half,
          fmt::format("usual for {} in, thread not recorded", size.size_in), size.source};
}

}  // namespace

bool replacement_planned(const Case& facts) {
  return facts.fitting && facts.fitting->next.planned();
}

std::string size_to_fit(const Case& facts) {
  if (!facts.fitting) return {};
  return replacement_planned(facts) ? facts.fitting->next.nominal_size : facts.fitting->nominal_size;
}

std::optional<Stem> stem_of(const Case& facts, const Tables& tables) {
  if (!facts.fitting) return std::nullopt;
  const auto& measured = replacement_planned(facts) ? facts.fitting->next.shank_mm : facts.fitting->shank_mm;
  if (measured) return Stem{*measured, tables.threshold("size.shank.u95").value, "as measured", {}};
  const auto* size = nominal_size(tables, size_to_fit(facts));
  return size ? std::optional(usual_stem(*size, form_of(facts, tables))) : std::nullopt;
}

std::optional<FlangeSpan> flange_to_fit(const Case& facts, const Tables& tables) {
  const double caliper = tables.threshold("size.shank.u95").value;
  if (replacement_planned(facts)) {
    if (const auto& mm = facts.fitting->next.flange_mm) return FlangeSpan{*mm, *mm, caliper, "as measured"};
  } else if (const auto flange = best(facts, model::Quantity::FlangeDiameter)) {
    const auto& m = flange->measurement;
    return FlangeSpan{m.value, m.value, m.u95, "as measured"};
  }
  const auto* size = nominal_size(tables, size_to_fit(facts));
  if (!size) return std::nullopt;
  return FlangeSpan{size->flange.from_mm, size->flange.to_mm, 0,
                    fmt::format("usual for {} in", size->size_in)};
}

}  // namespace spile::rules
