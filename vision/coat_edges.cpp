#include "vision/coat_edges.hpp"

#include <algorithm>
#include <cmath>

#include "vision/least_squares.hpp"
#include "vision/light.hpp"

namespace spile::vision {
namespace {

constexpr double kNearWhite = 0.9;  // light from which tone curves flatten and values are cut off
constexpr double kExcess = 0.05, kExcessSpread = 0.15;  // log of the coat's true light over the most shown
// Where it is near white nothing shown tells how bright it is: gelcoat sends back two to four times the light
// that glass laminate does. Logarithm.
constexpr double kOverLaminate = 1.0, kOverLaminateSpread = 0.3;
// Light that is cut off spreads over both edges, px.
constexpr double kBloom = 0.5, kBloomU = 0.4;
constexpr double kBlurSpread = 0.15;  // of its logarithm
// The border to the laminate is wavy, which makes it look softer than the outer edge. Logarithm.
constexpr double kSofter = 0.2, kSofterSpread = 0.3;
constexpr double kNoise = 3;         // coded values
constexpr double kBeyond = 3;        // blur widths outside both edges that are looked at
constexpr double kLeastStep = 0.02;  // light

enum Unknown { Middle, LogWidth, Outside, Excess, Inside, LogBlur, Softer, kUnknowns };

struct Sample {
  double t = 0, coded = 0;
};

class CoatFit {
 public:
  CoatFit(const Profile& profile, double outer, double inner, double blur) : blur_(blur) {
    const double beyond = kBeyond * blur;
    double most = 0;
    for (std::size_t i = 0; i < profile.light.size(); ++i) {
      const double t = profile.t(i), light = static_cast<double>(profile.light[i]);
      if (t < outer - beyond || t > inner + beyond) continue;
      samples_.push_back({t, coded_from_light(std::clamp(light, 0.0, 1.0))});
      if (t > outer - blur && t < inner + blur) most = std::max(most, light);
    }
    shown_ = std::min(most, 1.0);
    cut_off_ = shown_ > kNearWhite;
  }

  [[nodiscard]] std::optional<CoatEdges> solve(double outer, double inner) const {
    if (samples_.size() < 10) return std::nullopt;
    Eigen::VectorXd start(kUnknowns), step(kUnknowns);
    const double before = light_from_coded(samples_.front().coded),
                 after = light_from_coded(samples_.back().coded);
    start << 0.5 * (outer + inner), std::log(std::max(0.5, inner - outer)), before, 0.1, after, 0, kSofter;
    step << 1e-3, 1e-3, 1e-4, 1e-3, 1e-4, 1e-3, 1e-3;
    const auto solved =
        least_squares([&](const Eigen::VectorXd& x) { return residuals(x); }, start, step, 25);
    const double half = 0.5 * std::exp(solved.x[LogWidth]), middle = solved.x[Middle];
    const double bright = coat_light(solved.x);
    const bool holds = std::isfinite(half) && middle - half > outer - kBeyond * blur_ &&
                       middle + half < inner + kBeyond * blur_ && bright > solved.x[Outside] + kLeastStep &&
                       bright > solved.x[Inside] + kLeastStep;
    if (!holds) return std::nullopt;
    const auto n = static_cast<Eigen::Index>(samples_.size());
    const Eigen::MatrixXd shared = solved.covariance_from(n, 3);
    const auto u = [&](double sign) {
      return std::sqrt(std::max(0.0, shared(Middle, Middle) + half * half * shared(LogWidth, LogWidth) +
                                         2 * sign * half * shared(Middle, LogWidth)));
    };
    const double bloom = cut_off_ ? kBloom : 0, u_bloom = cut_off_ ? kBloomU : 0;
    return CoatEdges{middle - half + bloom, middle + half - bloom, std::hypot(u(-1), u_bloom),
                     std::hypot(u(+1), u_bloom)};
  }

 private:
  // How far the coat's brightness lies from what is expected of it, in standard deviations.
  [[nodiscard]] double surprise(const Eigen::VectorXd& x) const {
    if (!cut_off_) return (x[Excess] - kExcess) / kExcessSpread;
    const double expected = std::max(kExcess, std::log(std::max(0.05, x[Inside]) / shown_) + kOverLaminate);
    return (x[Excess] - expected) / kOverLaminateSpread;
  }
  [[nodiscard]] double coat_light(const Eigen::VectorXd& x) const { return shown_ * std::exp(x[Excess]); }

  [[nodiscard]] Eigen::VectorXd residuals(const Eigen::VectorXd& x) const {
    Eigen::VectorXd r(static_cast<Eigen::Index>(samples_.size()) + 3);
    const double half = 0.5 * std::exp(x[LogWidth]), blur = blur_ * std::exp(x[LogBlur]),
                 coat = coat_light(x), soft = blur * std::exp(x[Softer]);
    const auto past = [](double t, double edge, double width) {
      return 0.5 * std::erfc((edge - t) / width * M_SQRT1_2);
    };
    for (std::size_t i = 0; i < samples_.size(); ++i) {
      const double t = samples_[i].t;
      const double light = x[Outside] + (coat - x[Outside]) * past(t, x[Middle] - half, blur) +
                           (x[Inside] - coat) * past(t, x[Middle] + half, soft);
      // What is near white may be cut off anywhere above what is shown.
      const double coded = coded_from_light(std::clamp(light, 0.0, cut_off_ ? shown_ : 2.0));
      // Samples half a pixel apart share their noise.
      r[static_cast<Eigen::Index>(i)] = (coded - samples_[i].coded) / (kNoise * M_SQRT2);
    }
    r.tail(3) << surprise(x), x[LogBlur] / kBlurSpread, (x[Softer] - kSofter) / kSofterSpread;
    return r;
  }

  double blur_, shown_ = 0;
  bool cut_off_ = false;
  std::vector<Sample> samples_;
};

}  // namespace

std::optional<CoatEdges> fit_coat_edges(const Profile& profile, double outer, double inner, double blur_px) {
  return CoatFit(profile, outer, inner, blur_px).solve(outer, inner);
}

}  // namespace spile::vision
