// How a standing is marked: shape, word and colour role together, so that none of them is needed alone.
#pragma once

#include <string_view>

#include "figures/figure.hpp"
#include "rules/verdict.hpp"

namespace spile::figures {

struct StandingLook {
  Shape shape = Shape::Ring;
  Role role = Role::Unknown;
  std::string_view word;      // beside a mark
  std::string_view sentence;  // in a legend
};

[[nodiscard]] constexpr StandingLook look_of(rules::Standing standing) {
  switch (standing) {
    case rules::Standing::Good:
      return {Shape::Disc, Role::Good, "good", "nothing to do"};
    case rules::Standing::Watch:
      return {Shape::Square, Role::Watch, "watch", "keep an eye on it"};
    case rules::Standing::Act:
      return {Shape::Triangle, Role::Act, "act", "something has to be done"};
    case rules::Standing::TooCloseToTell:
      return {Shape::Diamond, Role::Unsure, "too close", "too close to tell"};
    case rules::Standing::NotKnownYet:
      return {Shape::Ring, Role::Unknown, "not known", "not known yet"};
    case rules::Standing::NotApplicable:
      break;
  }
  return {Shape::Ring, Role::Faint, "n/a", "does not apply"};
}

}  // namespace spile::figures
