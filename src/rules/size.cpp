#include "rules/size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "metrology/decision.hpp"
#include "rules/facts.hpp"
#include "rules/saw.hpp"
#include "rules/stem.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using metrology::Conformity;

enum class Fit { TooSmall, Tight, Fits, Loose, TooBig };

class SizeJudge {
 public:
  SizeJudge(const Case& facts, const Tables& tables, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        hole_(best(facts, model::Quantity::HoleDiameter)),
        stem_(stem_of(facts, tables)),
        flange_(flange_to_fit(facts, tables)),
        v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find();

 private:
  void add_inputs();
  void nothing_to_compare();
  void what_the_hole_suits();
  void doubt_the_hole();
  [[nodiscard]] Fit fit_at(double clearance) const;
  void judge_clearance();
  void open_up(const char* key, const std::string& headline);
  void how_to_sand(double step);
  void how_to_saw();
  void fill_and_drill();
  void judge_flange();
  void set(std::string_view key, Standing standing, std::string headline);
  [[nodiscard]] double limit_of(std::string_view key) const { return tables_.threshold(key).value; }
  // Radius to the farthest damage of the rim as it is now.
  [[nodiscard]] double damaged_radius() const;

  const Case& facts_;
  const Tables& tables_;
  std::optional<Best> hole_;
  std::optional<Stem> stem_;
  std::optional<FlangeSpan> flange_;
  double final_hole_ = 0;  // after what the verdict says was done
  Verdict v_;
};

void SizeJudge::set(std::string_view key, Standing standing, std::string headline) {
  v_.answer = key;
  v_.standing = standing;
  v_.headline = std::move(headline);
}

void SizeJudge::add_inputs() {
  const std::string unknown(kNotRecorded);
  const auto chip = best(facts_, model::Quantity::EdgeDamage);
  const auto oval = best(facts_, model::Quantity::HoleOvality);
  const std::string size = size_to_fit(facts_);
  v_.inputs = {
      {"Hole", hole_ ? measured(hole_->measurement) : unknown},
      {replacement_planned(facts_) ? "Fitting to go in next" : "Fitting", size.empty() ? unknown : size},
      {"Stem",
       stem_ ? fmt::format("{} ({})", with_interval(stem_->diameter_mm, stem_->u95), stem_->how) : unknown},
      {"Flange",
       !flange_ ? unknown
       : flange_->least_mm == flange_->most_mm
           ? fmt::format("{} ({})", mm(flange_->least_mm, 1), flange_->how)
           : fmt::format("{:.0f} to {} ({})", flange_->least_mm, mm(flange_->most_mm), flange_->how)},
      {"Deepest chip", chip ? measured(chip->measurement) : unknown},
      {"Out of round", oval ? fmt::format("{:.1f} %", oval->measurement.value) : unknown},
  };
}

Verdict SizeJudge::find() {
  v_.planning = true;
  v_.caution = kLaminateCaution;
  add_inputs();
  add_source(v_, tables_.threshold("size.clearance.most").source);
  if (hole_ && !hole_->disagreement.empty()) v_.reasons.push_back(hole_->disagreement);
  if (!hole_ || !stem_) {
    nothing_to_compare();
    return std::move(v_);
  }
  if (!stem_->source.empty()) add_source(v_, stem_->source);
  doubt_the_hole();
  judge_clearance();
  judge_flange();
  return std::move(v_);
}

void SizeJudge::nothing_to_compare() {
  if (!stem_) {
    v_.would_change.emplace_back(
        "The stem of the fitting: its outside diameter over the thread, by caliper.");
  }
  if (!hole_) {
    v_.would_change.emplace_back(
        "The hole, with its fitting out: a photo with the card, or a caliper across it four ways.");
  }
  set("not-known-yet", Standing::NotKnownYet,
      !hole_ && !stem_ ? "Neither the hole nor the fitting's stem has been measured."
      : !hole_         ? "Nobody has measured the hole."
                       : "What is to go into the hole is not known yet.");
  if (hole_) what_the_hole_suits();
  if (stem_ && !hole_) {
    if (const auto saw = saw_for(stem_->diameter_mm, tables_)) {
      v_.reasons.push_back(
          fmt::format("A stem of {} wants a hole of {:.1f} to {}: a {} in ({}) saw cuts some {}.",
                      mm(stem_->diameter_mm, 1), stem_->diameter_mm + limit_of("size.clearance.from"),
                      mm(stem_->diameter_mm + limit_of("size.clearance.to"), 1), saw->saw->size_in,
                      mm(saw->saw->sold_as_mm), mm(saw->cut_mm, 1)));
    }
  }
}

void SizeJudge::what_the_hole_suits() {
  const double hole = hole_->measurement.value;
  std::string sizes;
  for (const auto& size : tables_.nominal_sizes()) {
    const double clearance = hole - std::max(size.nps_outside_mm, size.g_outside_mm);
    if (clearance < limit_of("size.clearance.least") || clearance > limit_of("size.clearance.most")) continue;
    sizes += (sizes.empty() ? "" : ", ") + size.size_in + " in";
  }
  v_.reasons.push_back(
      sizes.empty()
          ? "As it is, it suits none of the usual sizes."
          : fmt::format("As it is, it usually takes a {} fitting; measure the stem before you buy.", sizes));
}

void SizeJudge::doubt_the_hole() {
  if (replacement_planned(facts_)) return;
  const auto* size = nominal_size(tables_, size_to_fit(facts_));
  if (!size) return;
  const double hole = hole_->measurement.value, u95 = hole_->measurement.u95;
  if (hole + u95 >= size->nps_outside_mm - 1 && hole - u95 <= size->hole.to_mm + 4) return;
  v_.reasons.push_back(
      fmt::format("A {} in fitting usually sits in a hole of {:.0f} to {}: one of the two is wrong.",
                  size->size_in, size->hole.from_mm, mm(size->hole.to_mm)));
}

Fit SizeJudge::fit_at(double clearance) const {
  if (clearance < 0) return Fit::TooSmall;
  if (clearance < limit_of("size.clearance.least")) return Fit::Tight;
  if (clearance <= limit_of("size.clearance.to")) return Fit::Fits;
  return clearance <= limit_of("size.clearance.most") ? Fit::Loose : Fit::TooBig;
}

void SizeJudge::judge_clearance() {
  const auto& m = hole_->measurement;
  const double clearance = m.value - stem_->diameter_mm, u95 = std::hypot(m.u95, stem_->u95);
  const Fit low = fit_at(clearance - u95), high = fit_at(clearance + u95);
  v_.margin =
      fmt::format("clearance {}, allowed {} to {}", with_interval(clearance, u95),
                  plain_number(limit_of("size.clearance.least")), mm(limit_of("size.clearance.most"), 1));
  const std::string room =
      clearance < 0 ? fmt::format("The stem is {} bigger than the hole", with_interval(-clearance, u95))
                    : fmt::format("The stem has {} of room on the diameter", with_interval(clearance, u95));
  v_.reasons.push_back(
      fmt::format("{}; {} to {} is what to aim for, {} to {} will do.", room,
                  plain_number(limit_of("size.clearance.from")), plain_mm(limit_of("size.clearance.to")),
                  plain_number(limit_of("size.clearance.least")), plain_mm(limit_of("size.clearance.most"))));
  final_hole_ = m.value;
  if (high == Fit::TooSmall) return open_up("too-small", "The hole is too small for the stem");
  if (high == Fit::Tight) return open_up("tight", "The stem would jam in the hole");
  if (low == Fit::TooBig) return fill_and_drill();
  if (low >= Fit::Fits && high <= Fit::Loose) {
    const bool loose = low == Fit::Loose || (clearance > limit_of("size.clearance.to"));
    return set(loose ? "loose" : "fits", loose ? Standing::Watch : Standing::Good,
               loose ? "The stem goes in with more room than one aims for: bed it thickly and centre it."
                     : "The stem fits the hole.");
  }
  set("too-close-to-tell", Standing::TooCloseToTell, "Too close to tell whether the stem fits the hole.");
  v_.would_change.emplace_back(
      stem_->source.empty()
          ? "A caliper across the hole, the mean of four directions, inside and outside."
          : "The stem's outside diameter over the thread, by caliper, instead of the usual one.");
  v_.actions.emplace_back("Try the stem in the hole dry: it must drop in without force and not rattle.");
}

void SizeJudge::open_up(const char* key, const std::string& headline) {
  const double from = stem_->diameter_mm + limit_of("size.clearance.from");
  const double to = stem_->diameter_mm + limit_of("size.clearance.to");
  const double step = (from + to) / 2 - hole_->measurement.value;
  const bool sanding = step <= limit_of("size.sanding.most");
  set(key, Standing::Act,
      fmt::format("{}: open it up to {:.1f} to {}, {} more.", headline, from, mm(to, 1), mm(step, 1)));
  final_hole_ = (from + to) / 2;
  sanding ? how_to_sand(step) : how_to_saw();
  v_.would_change.emplace_back("Another fitting, with a smaller stem.");
}

void SizeJudge::how_to_sand(double step) {
  v_.actions.push_back(fmt::format(
      "Sanding is enough: take {} off all round with a drum, turning round the rim, and try the stem often.",
      mm(step / 2, 1)));
  v_.reasons.push_back(fmt::format("Up to {} on the diameter is sanded; a saw would have nothing to hold it.",
                                   plain_mm(limit_of("size.sanding.most"))));
}

void SizeJudge::how_to_saw() {
  const auto saw = saw_for(stem_->diameter_mm, tables_);
  if (!saw) {
    v_.actions.emplace_back("No stocked saw cuts what this stem wants: cut one under and sand up to it.");
    return;
  }
  final_hole_ = saw->cut_mm;
  v_.actions.push_back(fmt::format("Saw: {} in ({}). By hand it cuts some {}, which leaves {} of room.",
                                   saw->saw->size_in, mm(saw->saw->sold_as_mm),
                                   with_interval(saw->cut_mm, saw->u95), mm(saw->clearance_mm, 1)));
  v_.reasons.emplace_back(
      "The pilot drill has nothing left to bite in: the old hole is where the centre was.");
  v_.actions.push_back(
      fmt::format("Centre it: glue a wooden plug of {} into the hole, flush outside, and mark its centre for "
                  "the pilot; or screw a "
                  "board with a hole of the saw's size over it.",
                  mm(hole_->measurement.value, 1)));
  if (const auto* guide = guide_saw(hole_->measurement.value, tables_)) {
    v_.actions.push_back(
        fmt::format("Or a {} in ({}) saw that enters the old hole, on the same arbor as a guide.",
                    guide->size_in, mm(guide->sold_as_mm)));
  }
  v_.actions.emplace_back(
      "Cut from outside, slowly and square, the edge masked; keep the ring that comes out: it shows the "
      "layers. Seal "
      "the raw edge with two or three coats of epoxy.");
}

void SizeJudge::fill_and_drill() {
  const auto saw = saw_for(stem_->diameter_mm, tables_);
  set("too-big", Standing::Act,
      "The hole is too big for the stem: close it with laminate and drill again, or fit a larger one.");
  v_.actions.emplace_back("Do not fill the gap with bedding: it does not hold a fitting in the middle.");
  v_.actions.emplace_back(
      "Grind a taper of 12 to 1 round the hole, lay it up with laminate to full thickness, and fair it.");
  if (saw) {
    final_hole_ = saw->cut_mm;
    v_.actions.push_back(
        fmt::format("Then drill anew with a {} in ({}) saw.", saw->saw->size_in, mm(saw->saw->sold_as_mm)));
  }
  v_.would_change.emplace_back("A fitting with a larger stem.");
  what_the_hole_suits();
}

double SizeJudge::damaged_radius() const {
  const auto chip = best(facts_, model::Quantity::EdgeDamage);
  const auto oval = best(facts_, model::Quantity::HoleOvality);
  const double hole = hole_->measurement.value;
  // Ovality is 100 (major - minor) / mean, so half the major is this much over half the mean.
  const double out_of_round = oval ? hole * oval->measurement.value / 400 : 0;
  const double deep = chip ? chip->measurement.value + chip->measurement.u95 : 0;
  return (hole + hole_->measurement.u95) / 2 + out_of_round + deep;
}

void SizeJudge::judge_flange() {
  if (!flange_) {
    v_.would_change.emplace_back("The flange's outside diameter: whether it covers the edge is not known.");
    return;
  }
  const double edge = std::max(final_hole_ / 2, damaged_radius());
  const double wanted =
      std::max(limit_of("size.overlap.least"), limit_of("size.overlap.share") * final_hole_);
  const double least = (flange_->least_mm - flange_->u95) / 2 - edge,
               most = (flange_->most_mm + flange_->u95) / 2 - edge;
  const bool one = flange_->least_mm == flange_->most_mm;
  const auto text =
      one ? fmt::format("{:.1f}", (least + most) / 2) : fmt::format("{:.1f} to {:.1f}", least, most);
  v_.reasons.push_back(
      fmt::format("Beyond hole and chips the flange ({}) reaches {} mm over sound hull; {} is asked for.",
                  flange_->how, text, mm(wanted, 1)));
  add_source(v_, tables_.threshold("size.overlap.least").source);
  if (least >= wanted) return;
  if (most >= wanted) {
    v_.would_change.emplace_back(
        "The flange's outside diameter by caliper: whether it covers the edge is too close to tell.");
    if (v_.standing == Standing::Good)
      set("too-close-to-tell", Standing::TooCloseToTell,
          "The stem fits; too close to tell whether the flange covers the edge.");
    return;
  }
  v_.actions.emplace_back(
      "The flange does not cover the edge: build the edge up with laminate first, or take a fitting with a "
      "larger flange.");
  if (v_.standing != Standing::Act)
    set("flange-too-small", Standing::Act, "The stem fits, but the flange does not cover the damaged edge.");
}

}  // namespace

std::span<const std::string_view> SizeRule::goes_by() const {
  static constexpr std::array<std::string_view, 4> kRows{"size.", "hole_saws.csv", "nominal_sizes.csv",
                                                         "threads.csv"};
  return kRows;
}

Verdict SizeRule::judge(const Case& facts, const Tables& tables, std::span<const Verdict>) const {
  return SizeJudge(facts, tables, start_verdict(key(), title())).find();
}

}  // namespace spile::rules
