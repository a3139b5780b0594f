// Changes of colour along a normal of a rim, and which of several is taken for the rim's; for this folder
// only.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "vision/colour_profile.hpp"

namespace spile::vision {

// Place and size of every change of colour along a profile, coded values (root of the mean square of the
// three channels).
[[nodiscard]] std::vector<std::pair<double, double>> steps_of(const ColourProfile& colours);

// Which of several steps along a normal is taken for the rim's: the clearest near the expected place, or the
// outermost clear one, from further away. The second gets a rim out of a mixture of itself and what lies
// within; the nearest holds on to a faint rim beside a loud one, when the place is already known well.
enum class StepChoice { Clearest, Outermost, Nearest };

[[nodiscard]] std::optional<double> chosen_step(const ColourProfile& colours, double reach,
                                                StepChoice choice);

// How far about a step, in px, the profile is its own: 4 at most.
[[nodiscard]] double clear_of_other_steps(const ColourProfile& colours, double at);

}  // namespace spile::vision
