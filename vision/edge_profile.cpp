#include "vision/edge_profile.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/bell.hpp"

namespace spile::vision {
namespace {

using Vector4 = std::array<double, 4>;

struct Sample {
  double t = 0, light = 0, weight = 1;
};

std::vector<Sample> samples_within(const Profile& profile, double centre, double window) {
  const Coder& coder = Coder::table();
  std::vector<Sample> out;
  out.reserve(static_cast<std::size_t>(2 * window / profile.step) + 2);
  for (std::size_t i = 0; i < profile.light.size(); ++i) {
    const double light = static_cast<double>(profile.light[i]);
    if (std::abs(profile.t(i) - centre) <= window) {
      const double weight = profile.weight.empty() ? coder.at(std::max(light, 0.004)).slope
                                                   : static_cast<double>(profile.weight[i]);
      out.push_back({profile.t(i), light, weight});
    }
  }
  return out;
}

// Normal equations of the unknowns offset, log of the blur, light before, light after. The matrix by its
// lower triangle, row after row.
struct Normal {
  std::array<double, 10> matrix{};
  Vector4 gradient{};
  double cost = 0;
};

constexpr std::array<std::size_t, 4> kDiagonal{0, 2, 5, 9};

Normal normal_equations(const std::vector<Sample>& samples, const Vector4& x) {
  const Bell& bell = Bell::table();
  const double offset = x[0], per_blur = std::exp(-x[1]), before = x[2], jump = x[3] - x[2];
  Normal out;
  for (const Sample& s : samples) {
    const double z = (s.t - offset) * per_blur;
    const auto [step, density] = bell.at(z);
    const double residual = (s.light - before - jump * step) * s.weight;
    const double bend = -jump * density * s.weight;
    const Vector4 slope{bend * per_blur, bend * z, (1 - step) * s.weight, step * s.weight};
    for (std::size_t i = 0, k = 0; i < 4; ++i) {
      out.gradient[i] += slope[i] * residual;
      for (std::size_t j = 0; j <= i; ++j) out.matrix[k++] += slope[i] * slope[j];
    }
    out.cost += residual * residual;
  }
  return out;
}

// Solves the equations by Cholesky's root, the diagonal raised by a share and a trifle.
Vector4 solved(std::array<double, 10> l, Vector4 v, double share, double trifle) {
  for (const std::size_t k : kDiagonal) l[k] = l[k] * (1 + share) + trifle;
  const auto at = [](std::size_t i, std::size_t j) { return i * (i + 1) / 2 + j; };
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = l[at(i, j)];
      for (std::size_t k = 0; k < j; ++k) sum -= l[at(i, k)] * l[at(j, k)];
      l[at(i, j)] = i == j ? std::sqrt(std::max(sum, trifle)) : sum / l[at(j, j)];
    }
    for (std::size_t k = 0; k < i; ++k) v[i] -= l[at(i, k)] * v[k];
    v[i] /= l[at(i, i)];
  }
  for (std::size_t i = 4; i-- > 0;) {
    for (std::size_t k = i + 1; k < 4; ++k) v[i] -= l[at(k, i)] * v[k];
    v[i] /= l[at(i, i)];
  }
  return v;
}

Vector4 first_guess(const std::vector<Sample>& samples, double start) {
  const std::size_t third = std::max<std::size_t>(1, samples.size() / 4);
  double before = 0, after = 0;
  for (std::size_t i = 0; i < third; ++i) {
    before += samples[i].light;
    after += samples[samples.size() - 1 - i].light;
  }
  const double n = static_cast<double>(third);
  return {start, std::log(1.0), before / n, after / n};
}

// The step in coded values: exact for plain grey, by the mean weight of either side for a mixture of colours.
double coded_step(const Profile& profile, const std::vector<Sample>& samples, const Vector4& x) {
  if (profile.weight.empty()) {
    return coded_from_light(std::clamp(x[3], 0.0, 1.2)) - coded_from_light(std::clamp(x[2], 0.0, 1.2));
  }
  return (x[3] - x[2]) * std::sqrt(samples.front().weight * samples.back().weight);
}

// The profile in coded values; a mixture of colours is summed up step by step by its own weights.
std::vector<double> coded_values(const Profile& profile) {
  const Coder& coder = Coder::table();
  std::vector<double> coded(profile.light.size(), 0.0);
  for (std::size_t i = 0; i < coded.size(); ++i) {
    const double light = static_cast<double>(profile.light[i]);
    if (profile.weight.empty()) {
      coded[i] = coder.at(light).coded;
    } else if (i > 0) {
      const double weight =
          std::sqrt(static_cast<double>(profile.weight[i]) * static_cast<double>(profile.weight[i - 1]));
      coded[i] = coded[i - 1] + weight * (light - static_cast<double>(profile.light[i - 1]));
    }
  }
  return coded;
}

constexpr double kMinBlur = 0.25, kMaxBlur = 12;
constexpr double kSettledPx = 1e-3, kSettledShare = 1e-4;  // far below what noise does to an edge

}  // namespace

Profile sample_profile(const LightView& view, cv::Point2d foot, cv::Point2d normal, double half_length,
                       double step, int across) {
  const cv::Point2d tangent(-normal.y, normal.x);
  const double side = 0.5 * across;
  for (const double a : {-half_length, half_length}) {
    for (const double b : {-side, side}) {
      const cv::Point2d corner = foot + a * normal + b * tangent;
      if (!view.holds(corner.x, corner.y)) return {};
    }
  }
  Profile out;
  const int reach = static_cast<int>(std::floor(half_length / step));
  out.first = -reach * step;
  out.step = step;
  out.light.reserve(static_cast<std::size_t>(2 * reach + 1));
  for (int i = -reach; i <= reach; ++i) {
    float sum = 0;
    for (int j = 0; j <= across; ++j) {
      const cv::Point2d p = foot + (i * step) * normal + (j - side) * tangent;
      sum += view.at(p.x, p.y);
    }
    out.light.push_back(sum / static_cast<float>(across + 1));
  }
  return out;
}

std::optional<EdgeFit> fit_edge(const Profile& profile, double start, double window, double min_contrast) {
  const auto samples = samples_within(profile, start, window);
  if (samples.size() < 6) return std::nullopt;
  Vector4 x = first_guess(samples, start);
  Normal normal = normal_equations(samples, x);
  double damping = 1e-3;
  for (int iteration = 0; iteration < 25; ++iteration) {
    const auto change = solved(normal.matrix, normal.gradient, damping, 1e-12);
    Vector4 trial = x;
    for (std::size_t k = 0; k < 4; ++k) trial[k] += change[k];
    trial[1] = std::clamp(trial[1], std::log(kMinBlur), std::log(kMaxBlur));
    const Normal next = normal_equations(samples, trial);
    if (!(next.cost <= normal.cost)) {
      damping *= 10;
      if (damping > 1e6 || next.cost - normal.cost < kSettledShare * normal.cost) break;
      continue;
    }
    const bool settled =
        std::abs(trial[0] - x[0]) < kSettledPx && normal.cost - next.cost < kSettledShare * normal.cost;
    x = trial;
    normal = next;
    damping = std::max(damping * 0.2, 1e-9);
    if (settled) break;
  }
  EdgeFit fit{x[0], std::exp(x[1]), x[2], x[3], 0, 0, coded_step(profile, samples, x)};
  if (std::abs(fit.offset - start) > window || std::abs(fit.contrast()) < min_contrast) return std::nullopt;
  // Samples closer than a pixel share their pixels: count the pixels, not the samples.
  const double share = std::min(1.0, profile.step);
  const double freedom = std::max(1.0, static_cast<double>(samples.size()) * share - 4);
  fit.noise = std::sqrt(normal.cost * share / freedom);
  const double variance = solved(normal.matrix, {1, 0, 0, 0}, 0, 1e-9)[0];
  fit.u = fit.noise * std::sqrt(std::max(0.0, variance) / share);
  return fit;
}

std::vector<EdgePeak> edge_peaks(const Profile& profile, double min_contrast) {
  const std::size_t n = profile.light.size();
  const std::vector<double> coded = coded_values(profile);
  std::vector<double> slope(n, 0.0);
  const auto lag = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(1.0 / profile.step)));
  for (std::size_t i = lag; i + lag < n; ++i) slope[i] = coded[i + lag] - coded[i - lag];
  std::vector<EdgePeak> out;
  for (std::size_t i = lag; i + lag < n; ++i) {
    const double here = std::abs(slope[i]);
    if (here < min_contrast / 3 || here < std::abs(slope[i - 1]) || here <= std::abs(slope[i + 1])) continue;
    // The step's height: as far as the slope keeps its sign and is not yet small.
    std::size_t from = i, to = i;
    while (from > 0 && slope[from - 1] * slope[i] > 0 && std::abs(slope[from - 1]) > 0.15 * here) --from;
    while (to + 1 < n && slope[to + 1] * slope[i] > 0 && std::abs(slope[to + 1]) > 0.15 * here) ++to;
    const double contrast = coded[to] - coded[from];
    if (std::abs(contrast) >= min_contrast) out.push_back({profile.t(i), contrast});
  }
  return out;
}

}  // namespace spile::vision
