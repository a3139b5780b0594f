// spile_bench_time [--rounds N] [PHOTO...]: time and memory of one measurement of each photo, or of two made
// here; then of comparing two photos: those given if they are two, or two made here.
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>

#include "time_of_comparing.hpp"
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
  const bool given = !pictures.empty();
  if (!given) pictures = made_pictures();
  fmt::print("{:>10} {:>10} {:>9} {:>8} {:>6} {:>9} {:>10}  picture\n", "imdecode", "measured", "ratio",
             "one core", "Mpx", "MB above", "outcome");
  for (const TimedPicture& picture : pictures) {
    const double memory = memory_of_measuring(picture);
    const MeasuringTime t = time_of_measuring(picture, rounds);
    fmt::print("{:>7.1f} ms {:>7.1f} ms {:>9.2f} {:>8.2f} {:>6.1f} {:>9.0f} {:>10}  {}\n", t.decode_ms,
               t.measure_ms, t.ratio(), t.cpu_ratio, t.megapixels, memory, t.outcome, t.name);
  }
  if (given && pictures.size() != 2) return 0;
  const TimedPair pair = given ? TimedPair{pictures[0].bytes, pictures[1].bytes} : made_pair();
  const ComparingTime t = time_of_comparing(pair, rounds);
  fmt::print("{:>7.1f} ms {:>7.1f} ms {:>9.2f} {:>8.2f} {:>6.1f}  two photos compared: {}\n", t.decode_ms,
             t.compare_ms, t.ratio(), t.cpu_ratio, t.megapixels, t.outcome);
  return 0;
}
