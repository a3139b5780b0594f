#include "rules/urgency.hpp"

namespace spile::rules {

int urgency_of(Standing standing) {
  switch (standing) {
    case Standing::Act:
      return 0;
    case Standing::TooCloseToTell:
      return 1;
    case Standing::Watch:
      return 2;
    case Standing::NotKnownYet:
      return 3;
    case Standing::Good:
      return 4;
    case Standing::NotApplicable:
      return 5;
  }
  return 5;
}

}  // namespace spile::rules
