#include "vision/colour_profile.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kDarkest = 0.004;  // below this the tone curve is a straight line and noise has a floor
constexpr std::array<double, 3> kLuma{0.2126, 0.7152, 0.0722};  // of linear light, ITU-R BT.709
constexpr double kLumaIsEnough = 14;                            // coded values

// Coded channel values reach a little beyond 0..255 after interpolation.
const std::array<float, 1024>& table() {
  static const std::array<float, 1024> t = [] {
    std::array<float, 1024> v{};
    for (std::size_t i = 0; i < v.size(); ++i) {
      v[i] = static_cast<float>(light_from_coded(std::clamp(static_cast<double>(i) / 4, 0.0, 255.0)));
    }
    return v;
  }();
  return t;
}

float light_of(float coded) {
  const float at = std::clamp(coded * 4, 0.0F, 1022.0F);
  const auto i = static_cast<std::size_t>(at);
  const float f = at - static_cast<float>(i);
  return table()[i] + f * (table()[i + 1] - table()[i]);
}

float bilinear(const cv::Mat& image, float x, float y) {
  const int xi = std::clamp(static_cast<int>(x), 0, image.cols - 2);
  const int yi = std::clamp(static_cast<int>(y), 0, image.rows - 2);
  const float fx = x - static_cast<float>(xi), fy = y - static_cast<float>(yi);
  const std::uint8_t* p = image.ptr<std::uint8_t>(yi) + xi;
  const std::uint8_t* q = p + image.step[0];
  const float top = static_cast<float>(p[0]) + fx * static_cast<float>(p[1] - p[0]);
  const float bottom = static_cast<float>(q[0]) + fx * static_cast<float>(q[1] - q[0]);
  return top + fy * (bottom - top);
}

struct Mean {
  std::array<double, 3> before{}, after{};
};

Mean sides_of(const ColourProfile& colours, double at, double reach, double gap) {
  Mean mean;
  double before = 0, after = 0;
  for (std::size_t i = 0; i < colours.light.size(); ++i) {
    const double d = colours.t(i) - at;
    if (std::abs(d) < gap || std::abs(d) > reach) continue;
    for (std::size_t k = 0; k < 3; ++k)
      (d < 0 ? mean.before : mean.after)[k] += static_cast<double>(colours.light[i][k]);
    (d < 0 ? before : after) += 1;
  }
  for (std::size_t k = 0; k < 3; ++k) {
    mean.before[k] /= std::max(before, 1.0);
    mean.after[k] /= std::max(after, 1.0);
  }
  return mean;
}

double luma(const std::array<double, 3>& c) {
  return c[0] * kLuma[0] + c[1] * kLuma[1] + c[2] * kLuma[2];
}

// Weights by contrast over noise, both in light; noise in light is even noise in coded values over the slope.
std::array<double, 3> mixture_for(const Mean& mean) {
  if (std::abs(coded_from_light(luma(mean.after)) - coded_from_light(luma(mean.before))) > kLumaIsEnough)
    return kLuma;
  std::array<double, 3> weight{};
  double size = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const double slope = coded_slope(std::max(kDarkest, 0.5 * (mean.before[k] + mean.after[k])));
    weight[k] = (mean.after[k] - mean.before[k]) * slope * slope;
    size += std::abs(weight[k]);
  }
  if (size < 1e-9) return kLuma;
  for (double& w : weight) w /= size;
  return weight;
}

}  // namespace

std::array<float, 3> ColourView::ycc_at(double x, double y) const {
  const float xf = static_cast<float>(x), yf = static_cast<float>(y);
  const float hx = (xf - 0.5F) / 2, hy = (yf - 0.5F) / 2;
  return {bilinear(grey_, xf, yf), bilinear(cb_, hx, hy) - 128, bilinear(cr_, hx, hy) - 128};
}

Colour ColourView::at(double x, double y) const {
  const auto [luma, cb, cr] = ycc_at(x, y);
  // ITU-R BT.601, full range (JFIF).
  return {light_of(luma + 1.402F * cr), light_of(luma - 0.344136F * cb - 0.714136F * cr),
          light_of(luma + 1.772F * cb)};
}

ColourProfile sample_colours(const ColourView& view, cv::Point2d foot, cv::Point2d normal, double from,
                             double to, double step, int across) {
  const cv::Point2d tangent(-normal.y, normal.x);
  const double side = 0.5 * across;
  for (const double a : {from, to}) {
    for (const double b : {-side, side}) {
      const cv::Point2d corner = foot + a * normal + b * tangent;
      if (!view.holds(corner.x, corner.y)) return {};
    }
  }
  ColourProfile out{from, step, {}};
  const int count = static_cast<int>(std::floor((to - from) / step)) + 1;
  out.light.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    Colour sum{};
    for (int j = 0; j <= across; ++j) {
      const cv::Point2d p = foot + (from + i * step) * normal + (j - side) * tangent;
      const Colour c = view.at(p.x, p.y);
      for (std::size_t k = 0; k < 3; ++k) sum[k] += c[k] / static_cast<float>(across + 1);
    }
    out.light.push_back(sum);
  }
  return out;
}

Profile best_mixture(const ColourProfile& colours, double at, double reach, double gap) {
  const auto mix = mixture_for(sides_of(colours, at, reach, gap));
  Profile out;
  out.first = colours.first;
  out.step = colours.step;
  for (const Colour& c : colours.light) {
    double value = 0, variance = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const double light = static_cast<double>(c[k]);
      const double u = mix[k] / coded_slope(std::max(light, kDarkest));
      value += mix[k] * light;
      variance += u * u;
    }
    out.light.push_back(static_cast<float>(value));
    out.weight.push_back(static_cast<float>(1 / std::sqrt(variance)));
  }
  return out;
}

}  // namespace spile::vision
