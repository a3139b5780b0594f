// Least wall and processor time of the same work done several times.
#pragma once

#include <algorithm>
#include <chrono>
#include <ctime>

namespace spile::bench {

struct Least {
  double wall_ms = 1e300, cpu_ms = 1e300;  // processor time of all threads added

  template <class Work>
  void time(const Work& work) {
    const double cpu = processor_ms();
    const auto start = std::chrono::steady_clock::now();
    work();
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    wall_ms = std::min(wall_ms, took.count());
    cpu_ms = std::min(cpu_ms, processor_ms() - cpu);
  }

 private:
  static double processor_ms() {
    timespec now{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) * 1e-6;
  }
};

}  // namespace spile::bench
