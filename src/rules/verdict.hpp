// The answer of one rule for one opening: inputs, reasoning, source, caution, and what would change it.
#pragma once

#include <string>
#include <vector>

namespace spile::rules {

// How a verdict stands, from "nothing to do" to "cannot say". Drives the mark, never the wording.
enum class Standing { Good, Watch, Act, TooCloseToTell, NotKnownYet, NotApplicable };

struct Input {
  std::string label;  // "Laminate thickness"
  std::string text;   // "18.6 ± 0.5 mm (steel rule)"; "not recorded" where absent
};

struct Verdict {
  std::string rule;   // stable key: "zone", "reinforcement"
  std::string title;  // "Zone"
  std::string
      answer;  // stable key: "below-waterline", "met", "reinforce", "too-close-to-tell", "not-known-yet"
  Standing standing = Standing::NotKnownYet;
  std::string headline;  // one plain sentence
  std::vector<Input> inputs;
  std::vector<std::string> reasons;       // step by step, each a sentence
  std::vector<std::string> actions;       // what to do, in order
  std::vector<std::string> would_change;  // what would settle or change it
  std::vector<std::string>
      sources;            // publication and clause, "common practice", or "from memory: <document>"
  std::string margin;     // how far from the limit, with its interval; empty where nothing is compared
  bool planning = false;  // about work to come: marks the opening only where something must be done
  std::string caution;    // shown with the verdict wherever someone could be hurt; else empty
};

// What single further look would settle a verdict that is open; empty where nothing is open.
[[nodiscard]] inline std::string settle_by(const Verdict& verdict) {
  const bool open = verdict.standing == Standing::TooCloseToTell || verdict.standing == Standing::NotKnownYet;
  return open && !verdict.would_change.empty() ? verdict.would_change.front() : std::string();
}

}  // namespace spile::rules
