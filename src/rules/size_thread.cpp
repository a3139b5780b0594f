#include <fmt/format.h>

#include <array>
#include <cmath>

#include "metrology/decision.hpp"
#include "rules/block.hpp"
#include "rules/facts.hpp"
#include "rules/size.hpp"
#include "rules/stem.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

namespace {

using metrology::Conformity;

struct Part {
  const char* name;
  double mm = 0, u95 = 0;
  std::string how;
};

class ThreadJudge {
 public:
  ThreadJudge(const Case& facts, const Tables& tables, std::span<const Verdict> earlier, Verdict verdict)
      : facts_(facts),
        tables_(tables),
        thread_(facts.fitting ? tables.thread(facts.fitting->thread) : nullptr),
        block_is_wanted_(wants_block(earlier)),
        v_(std::move(verdict)) {}

  [[nodiscard]] Verdict find();

 private:
  [[nodiscard]] static bool wants_block(std::span<const Verdict> earlier) {
    for (const auto& v : earlier)
      if (v.rule == "reinforcement") return v.answer == "reinforce" || v.answer == "too-close-to-tell";
    return false;
  }
  void add_hull();
  void add_block();
  void add_nut();
  void compare();
  void set(std::string_view key, Standing standing, std::string headline) {
    v_.answer = key;
    v_.standing = standing;
    v_.headline = std::move(headline);
  }

  const Case& facts_;
  const Tables& tables_;
  const PipeThread* thread_;
  bool block_is_wanted_;
  std::vector<Part> parts_;
  Verdict v_;
};

void ThreadJudge::add_hull() {
  if (const auto laminate = best(facts_, model::Quantity::LaminateThickness)) {
    parts_.push_back(
        {"hull", laminate->measurement.value, laminate->measurement.u95, measured(laminate->measurement)});
  } else if (const auto layers = layers_seen(facts_)) {
    parts_.push_back({"hull", layers->total_mm, layers->u95, with_interval(layers->total_mm, layers->u95)});
  } else {
    v_.would_change.emplace_back("The thickness of the hull at the hole.");
  }
}

void ThreadJudge::add_block() {
  const auto& seen = facts_.observation;
  if (seen && seen->backing == model::Backing::Present && !block_is_wanted_) {
    const auto m = best(facts_, model::Quantity::BackingThickness);
    const auto mm_there = m ? std::optional(m->measurement.value) : seen->backing_thickness_mm;
    if (!mm_there) {
      v_.would_change.emplace_back("The thickness of the backing block that is there.");
      return;
    }
    const double u95 = m ? m->measurement.u95 : tables_.instrument("tape")->u95;
    parts_.push_back({"backing block", *mm_there, u95, with_interval(*mm_there, u95)});
    return;
  }
  if (!block_is_wanted_) return;
  const auto laminate = best(facts_, model::Quantity::LaminateThickness);
  const auto block =
      block_to_fit(facts_, tables_, laminate ? std::optional(laminate->measurement.value) : std::nullopt);
  parts_.push_back(
      {"backing block", block.thickness_mm, 1, fmt::format("{}, the one to fit", mm(block.thickness_mm))});
}

void ThreadJudge::add_nut() {
  const double caliper = tables_.threshold("size.shank.u95").value;
  if (facts_.fitting && facts_.fitting->nut_mm) {
    parts_.push_back({"nut or valve", *facts_.fitting->nut_mm, caliper, mm(*facts_.fitting->nut_mm, 1)});
  } else if (thread_ && thread_->hand_tight_mm) {
    parts_.push_back(
        {"valve, screwed on hand-tight", *thread_->hand_tight_mm, 1,
         fmt::format("{}, the standard's for {}", mm(*thread_->hand_tight_mm, 1), thread_->choice.label)});
    add_source(v_, thread_->choice.source);
  } else {
    v_.would_change.emplace_back("The thickness of the nut, or how much thread the valve takes up.");
  }
}

Verdict ThreadJudge::find() {
  v_.planning = true;
  v_.caution = kSinkingCaution;
  add_source(v_, tables_.threshold("size.bedding.film").source);
  add_hull();
  add_block();
  const auto& film = tables_.threshold("size.bedding.film");
  parts_.push_back({"bedding", film.value, 0.5, mm(film.value, 1)});
  add_nut();
  if (thread_) {
    const double pitch = 25.4 / thread_->threads_per_inch;
    const double turns = tables_.threshold("size.thread.beyond").value;
    parts_.push_back({"beyond it", turns * pitch, 0, fmt::format("{:.0f} turns of {}", turns, mm(pitch, 2))});
  }
  for (const auto& part : parts_) {
    std::string label(part.name);
    label.front() = static_cast<char>(label.front() - 'a' + 'A');
    v_.inputs.push_back({std::move(label), part.how});
  }
  compare();
  return std::move(v_);
}

void ThreadJudge::compare() {
  double needed = 0, u95 = tables_.threshold("size.shank.u95").value;
  std::string sum;
  for (const auto& part : parts_) {
    needed += part.mm;
    u95 = std::hypot(u95, part.u95);
    sum += fmt::format("{}{} {:.1f}", sum.empty() ? "" : " + ", part.name, part.mm);
  }
  const model::Fitting fitting = facts_.fitting.value_or(model::Fitting{});
  const auto& length = replacement_planned(facts_) ? fitting.next.thread_length_mm : fitting.thread_length_mm;
  v_.inputs.push_back({"Thread", length ? mm(*length, 1) : std::string(kNotRecorded)});
  if (!v_.would_change.empty()) {
    v_.reasons.push_back(fmt::format("Known so far: {} = {}.", sum, mm(needed, 1)));
    return set("not-known-yet", Standing::NotKnownYet, "How long the thread must be is not known yet.");
  }
  v_.reasons.push_back(fmt::format("From under the flange: {} = {}.", sum, with_interval(needed, u95)));
  if (block_is_wanted_) v_.reasons.emplace_back("The block is the one the laminate calls for.");
  if (!length) {
    v_.would_change.push_back(
        fmt::format("The length of the thread, from under the flange: {} is needed.", mm(needed, 1)));
    return set(
        "not-known-yet", Standing::NotKnownYet,
        fmt::format("The thread must be {} long from under the flange; nobody has recorded how long it is.",
                    mm(std::ceil(needed))));
  }
  v_.margin = fmt::format("{} over what is needed", with_interval(*length - needed, u95));
  switch (metrology::at_least(*length, u95, needed)) {
    case Conformity::Met:
      set("long-enough", Standing::Good,
          fmt::format("The thread is long enough: cut it to {} from under the flange.",
                      mm(std::ceil(needed))));
      v_.actions.push_back(
          fmt::format("Fit it dry first, then cut the stem to {} and chamfer its end, so that a valve does "
                      "not bottom on it.",
                      mm(std::ceil(needed))));
      return;
    case Conformity::NotMet:
      set("too-short", Standing::Act, fmt::format("The thread is too short by {}.", mm(needed - *length, 1)));
      v_.actions.emplace_back(
          "Take a fitting with a longer stem; never leave a nut short of thread or thin the block.");
      return;
    case Conformity::TooCloseToTell:
      set("too-close-to-tell", Standing::TooCloseToTell,
          "Too close to tell whether the thread is long enough.");
      v_.would_change.emplace_back(
          "The parts put together dry, without bedding: two turns must show beyond the nut.");
  }
}

}  // namespace

std::span<const std::string_view> ThreadLengthRule::goes_by() const {
  static constexpr std::array<std::string_view, 3> kRows{"size.bedding", "size.thread", "threads.csv"};
  return kRows;
}

Verdict ThreadLengthRule::judge(const Case& facts, const Tables& tables,
                                std::span<const Verdict> earlier) const {
  return ThreadJudge(facts, tables, earlier, start_verdict(key(), title())).find();
}

}  // namespace spile::rules
