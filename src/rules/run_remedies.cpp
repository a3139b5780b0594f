#include "rules/run_remedies.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <tuple>

#include "rules/one_size.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

double narrowest(const PlacedRun& run) {
  double bore = run.parts.empty() ? 0 : run.parts.front().bore_mm;
  for (const auto& part : run.parts) bore = std::min(bore, part.bore_mm);
  return bore;
}

// Every bad joint bridged by what is stocked, nothing else touched.
std::optional<Remedy> bridged(const RemedyCase& facts) {
  Remedy remedy;
  remedy.title = "Keep all parts and bridge the joints with reducers";
  remedy.one_size = false;
  const auto& parts = facts.run.parts;
  std::size_t links = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    remedy.after.parts.push_back(parts[i]);
    if (i + 1 == parts.size() || matches(fit(parts[i].out, parts[i + 1].in))) continue;
    const auto chain = shortest_chain(parts[i].out, parts[i + 1].in, facts.stock);
    if (!chain) return std::nullopt;
    add_chain(remedy, *chain, remedy.after, parts[i + 1]);
    links += chain->parts.size();
  }
  if (links == 0) return std::nullopt;
  remedy.why_not = fmt::format("{} more {} to leak and to clog, and the bore stays at {}.", links,
                               links == 1 ? "part" : "parts", mm(narrowest(remedy.after), 1));
  return remedy;
}

void finish(Remedy& remedy, const RemedyCase& facts, const NominalStep* size) {
  remedy.narrowest_mm = narrowest(remedy.after);
  remedy.below_waterline = facts.end.below_waterline;
  if (facts.service != nullptr) {
    const RunMatch match = judge_joints(remedy.after, facts.service, facts.end.below_waterline);
    remedy.serves = match.size_note.empty();
    const bool too_wide = size != nullptr && size->hose_mm > facts.service->size_to_mm;
    if (!remedy.serves) remedy.why_not += (remedy.why_not.empty() ? "" : " ") + match.size_note;
    if (too_wide && remedy.replaces_fitting)
      remedy.why_not = fmt::format("Larger than this service takes ({} in): a larger hole for nothing.",
                                   facts.service->size_to);
  }
  if (remedy.enlarges_opening && remedy.below_waterline)
    remedy.why_not =
        "It enlarges an opening that water can reach; do it ashore, and only where nothing smaller serves." +
        (remedy.why_not.empty() ? std::string() : " " + remedy.why_not);
}

auto rank(const Remedy& r) {
  return std::tuple(!r.serves, !r.one_size, r.enlarges_opening && r.below_waterline, r.work);
}

}  // namespace

std::vector<Remedy> remedies(const RemedyCase& facts) {
  const RunMatch match = judge_joints(facts.run, facts.service, facts.end.below_waterline);
  if (facts.run.parts.empty() || (match.all_match && match.size_note.empty())) return {};
  std::set<const NominalStep*> sizes;
  for (const auto& part : facts.run.parts)
    for (const auto* end : {&part.in, &part.out})
      if (const auto* step = step_of(*end)) sizes.insert(step);
  if (facts.service != nullptr) sizes.insert(nominal_step(facts.service->size_from));
  std::vector<Remedy> found;
  for (const auto* size : sizes) {
    auto remedy = of_one_size(facts, *size);
    if (!remedy || remedy->steps.empty()) continue;
    const auto& first = remedy->after.parts.front();
    const bool all = of_size(first.in, *size) && of_size(first.out, *size);
    remedy->title = all ? "All of it " + size_text(*size)
                        : fmt::format("Keep the fixture ({}) and make everything after it {}",
                                      lower_first(first.stock->choice.label), size_text(*size));
    finish(*remedy, facts, size);
    found.push_back(std::move(*remedy));
  }
  if (auto remedy = bridged(facts)) {
    finish(*remedy, facts, nullptr);
    found.push_back(std::move(*remedy));
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Remedy& a, const Remedy& b) { return rank(a) < rank(b); });
  return found;
}

}  // namespace spile::rules
