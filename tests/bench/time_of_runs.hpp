// How long random runs of stocked parts take to be worked out: joints, flow at rest and heeled with its
// range, the sea, tees, remedies.
#pragma once

namespace spile::bench {

struct RunsTime {
  int runs = 0, flowing = 0, refused = 0, diverged = 0;  // of the flows, at rest and heeled
  double whole_s = 0;                                    // everything the program says of them
  double flow_s = 0;                                     // the energy equation alone, once a run
};
// Least of `rounds` rounds.
[[nodiscard]] RunsTime time_of_runs(int runs, unsigned seed, int rounds);

}  // namespace spile::bench
