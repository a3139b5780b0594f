// What comparing two photos of one opening costs beside reading both to colours by cv::imdecode, in the same
// process and in turns. Comparing includes its own two decodes.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace spile::bench {

struct TimedPair {
  std::vector<std::uint8_t> earlier, later;  // photo files
};

struct ComparingTime {
  double megapixels = 0;  // of one photo
  double decode_ms = 0;   // cv::imdecode in colour of both, least of all rounds
  double compare_ms = 0;  // Picture::decode of both and compare, least of all rounds
  double cpu_ratio = 0;   // processor time of both, all threads added: what holds on one core
  std::string outcome;    // "aligned, 2 changes", or the refusal's code
  [[nodiscard]] double ratio() const { return compare_ms / decode_ms; }
};

// Two photos of 12 megapixels drawn here: a hull seen again a year later from another side, in other light,
// with a crack that has grown and a new stain.
[[nodiscard]] TimedPair made_pair();

// Least times of `rounds` alternating rounds.
[[nodiscard]] ComparingTime time_of_comparing(const TimedPair& pair, int rounds);

}  // namespace spile::bench
