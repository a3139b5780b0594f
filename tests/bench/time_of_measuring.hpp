// What one measurement costs beside what nobody can save: reading the same picture to colours by
// cv::imdecode, in the same process and in turns. A measurement includes its own decode.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace spile::bench {

struct TimedPicture {
  std::string name;
  std::vector<std::uint8_t> bytes;  // a photo file with a card in view
};

struct MeasuringTime {
  std::string name;
  double megapixels = 0;
  double decode_ms = 0;   // cv::imdecode in colour, least of all rounds
  double measure_ms = 0;  // Picture::decode and measure, least of all rounds
  double cpu_ratio = 0;   // processor time of both, all threads added: what holds on one core
  std::string outcome;    // the largest hole's diameter, or the refusal's code
  [[nodiscard]] double ratio() const { return measure_ms / decode_ms; }
};

// 12 megapixels with a card beside a hole, made here: a white hull, and bare laminate full of texture and
// noise.
[[nodiscard]] std::vector<TimedPicture> made_pictures();

// Least times of `rounds` alternating rounds; the first round warms up and counts like any other.
[[nodiscard]] MeasuringTime time_of_measuring(const TimedPicture& picture, int rounds);

// Most memory held during one measurement above what the process held before it, MB (10^6 bytes); Linux only,
// 0 where the kernel does not tell.
[[nodiscard]] double memory_of_measuring(const TimedPicture& picture);

}  // namespace spile::bench
