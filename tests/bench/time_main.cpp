// spile_bench_time [--rounds N] [PHOTO...]: time and memory of one measurement of each photo, or of two made
// here.
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>

#include "time_of_measuring.hpp"

int main(int argc, char** argv) {
  using namespace spile::bench;
  int rounds = 15;
  std::vector<TimedPicture> pictures;
  for (int i = 1; i < argc; ++i) {
    if (std::strcmp(argv[i], "--rounds") == 0 && i + 1 < argc) {
      rounds = std::atoi(argv[++i]);
      continue;
    }
    std::ifstream in(argv[i], std::ios::binary);
    if (!in) {
      fmt::print(stderr, "{} cannot be opened. Check the name.\n", argv[i]);
      return 1;
    }
    pictures.push_back({argv[i], {std::istreambuf_iterator<char>(in), {}}});
  }
  if (pictures.empty()) pictures = made_pictures();
  fmt::print("{:>10} {:>10} {:>9} {:>8} {:>6} {:>9} {:>10}  picture\n", "imdecode", "measured", "ratio",
             "one core", "Mpx", "MB above", "outcome");
  for (const TimedPicture& picture : pictures) {
    const double memory = memory_of_measuring(picture);
    const MeasuringTime t = time_of_measuring(picture, rounds);
    fmt::print("{:>7.1f} ms {:>7.1f} ms {:>9.2f} {:>8.2f} {:>6.1f} {:>9.0f} {:>10}  {}\n", t.decode_ms,
               t.measure_ms, t.ratio(), t.cpu_ratio, t.megapixels, memory, t.outcome, t.name);
  }
  return 0;
}
