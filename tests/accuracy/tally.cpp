#include "tally.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>

namespace spile::accuracy {

namespace {

using Belongs = std::function<bool(const Trial&)>;

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Tally tally(const std::string& name, const std::vector<Trial>& trials, const Belongs& belongs) {
  Tally out;
  out.name = name;
  double z = 0, z2 = 0, e2 = 0;
  std::vector<double> error, u95;
  for (const Trial& t : trials) {
    if (!belongs(t)) continue;
    ++out.trials;
    if (!t.answered()) continue;
    ++out.answered;
    out.held += t.held() ? 1 : 0;
    z += t.z();
    z2 += t.z() * t.z();
    error.push_back(100 * std::abs(t.error_mm()) / t.true_mm);
    e2 += error.back() * error.back();
    u95.push_back(100 * t.u95_mm / t.true_mm);
  }
  const double n = std::max(1, out.answered);
  out.mean_z = z / n;
  out.sd_z = std::sqrt(std::max(0.0, z2 / n - out.mean_z * out.mean_z));
  out.rms_error_pct = std::sqrt(e2 / n);
  out.median_error_pct = median(error);
  out.median_u95_pct = median(u95);
  return out;
}

struct Classes {
  const char *what, *unit;
  std::vector<double> limits;
  std::function<double(const Trial&)> of;
};

}  // namespace

std::vector<Tally> tallied(const std::vector<Trial>& trials) {
  const std::vector<Classes> ways{
      {"tilt", "deg", {0, 15, 30, 45}, [](const Trial& t) { return t.tilt_deg; }},
      {"radius", "px", {0, 90, 160, 1e4}, [](const Trial& t) { return t.radius_px; }},
      {"blur", "px", {0.8, 1.03, 1.27, 1.5}, [](const Trial& t) { return t.blur_px; }},
  };
  std::vector<Tally> out{tally("all", trials, [](const Trial&) { return true; })};
  for (const Classes& way : ways)
    for (std::size_t i = 0; i + 1 < way.limits.size(); ++i) {
      const double from = way.limits[i], to = way.limits[i + 1];
      const std::string name = to < 1e4 ? fmt::format("{} {:g}-{:g} {}", way.what, from, to, way.unit)
                                        : fmt::format("{} {:g} {} and more", way.what, from, way.unit);
      out.push_back(tally(name, trials, [&](const Trial& t) { return way.of(t) >= from && way.of(t) < to; }));
    }
  return out;
}

Limits binomial_limits(double from_pct, double to_pct, int n) {
  const auto slack = [n](double pct) { return 2.6 * std::sqrt(pct * (100 - pct) / std::max(1, n)); };
  return {from_pct - slack(from_pct), std::min(100.0, to_pct + slack(to_pct))};
}

std::string markdown(const std::vector<Tally>& tallies) {
  std::string out =
      "| scenes | drawn | answered | 95 % interval holds % | mean z | sd(z) | RMS error % | median error % | "
      "median half-width % |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
  for (const Tally& t : tallies)
    fmt::format_to(std::back_inserter(out),
                   "| {} | {} | {} | {:.1f} | {:+.2f} | {:.2f} | {:.2f} | {:.2f} | {:.2f} |\n", t.name,
                   t.trials, t.answered, t.held_pct(), t.mean_z, t.sd_z, t.rms_error_pct, t.median_error_pct,
                   t.median_u95_pct);
  return out;
}

}  // namespace spile::accuracy
