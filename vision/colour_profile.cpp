#include "vision/colour_profile.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kDarkest = 0.004;  // below this the tone curve is a straight line and noise has a floor
constexpr std::array<double, 3> kLuma{0.2126, 0.7152, 0.0722};  // of linear light, ITU-R BT.709
constexpr double kLumaIsEnough = 14;                            // coded values

// Light, and coded values per unit of light, over quarters of a coded value.
struct Curve {
  struct At {
    float light = 0, slope = 0;
  };
  std::array<At, 4 * 255 + 2> at_quarter;

  Curve() {
    for (std::size_t i = 0; i < at_quarter.size(); ++i) {
      const double light = light_from_coded(std::min(static_cast<double>(i) / 4, 255.0));
      at_quarter[i] = {static_cast<float>(light), static_cast<float>(coded_slope(std::max(light, kDarkest)))};
    }
  }
  // `coded` within 0..255.
  [[nodiscard]] At at(float coded) const {
    const float place = 4 * coded;
    const auto i = static_cast<std::size_t>(place);
    const float f = place - static_cast<float>(i);
    const At &low = at_quarter[i], &high = at_quarter[i + 1];
    return {low.light + f * (high.light - low.light), low.slope + f * (high.slope - low.slope)};
  }
};

const Curve& curve() {
  static const Curve c;
  return c;
}

struct Corner {
  std::ptrdiff_t at = 0;
  float fx = 0, fy = 0;
};

Corner corner_of(const cv::Mat& image, float x, float y) {
  const int xi = std::clamp(static_cast<int>(x), 0, image.cols - 2);
  const int yi = std::clamp(static_cast<int>(y), 0, image.rows - 2);
  return {yi * static_cast<std::ptrdiff_t>(image.step[0]) + xi, x - static_cast<float>(xi),
          y - static_cast<float>(yi)};
}

float bilinear(const cv::Mat& image, const Corner& c) {
  const std::uint8_t *p = image.data + c.at, *q = p + image.step[0];
  const float top = static_cast<float>(p[0]) + c.fx * static_cast<float>(p[1] - p[0]);
  const float bottom = static_cast<float>(q[0]) + c.fx * static_cast<float>(q[1] - q[0]);
  return top + c.fy * (bottom - top);
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

float ColourView::luma_at(float x, float y) const {
  return bilinear(grey_, corner_of(grey_, x, y));
}

ColourView::Chroma ColourView::chroma_at(float x, float y) const {
  const Corner c = corner_of(cb_, (x - 0.5F) / 2, (y - 0.5F) / 2);
  return {bilinear(cb_, c) - 128, bilinear(cr_, c) - 128};
}

std::array<float, 3> ColourView::ycc_at(double x, double y) const {
  const float xf = static_cast<float>(x), yf = static_cast<float>(y);
  const Chroma chroma = chroma_at(xf, yf);
  return {luma_at(xf, yf), chroma.cb, chroma.cr};
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
  ColourProfile out{from, step, {}, {}};
  const auto count = static_cast<std::size_t>(std::floor((to - from) / step)) + 1;
  out.light.resize(count);
  out.coded.resize(count);
  const Curve& tone = curve();
  for (std::size_t i = 0; i < count; ++i) {
    const cv::Point2d middle = foot + out.t(i) * normal;
    const auto x = static_cast<float>(middle.x), y = static_cast<float>(middle.y);
    float luma = 0;
    for (int j = 0; j <= across; ++j) {
      const auto away = static_cast<float>(j - side);
      luma +=
          view.luma_at(x + away * static_cast<float>(tangent.x), y + away * static_cast<float>(tangent.y));
    }
    luma /= static_cast<float>(across + 1);
    const auto chroma = view.chroma_at(x, y);
    // ITU-R BT.601, full range (JFIF).
    const Colour rgb{luma + 1.402F * chroma.cr, luma - 0.344136F * chroma.cb - 0.714136F * chroma.cr,
                     luma + 1.772F * chroma.cb};
    for (std::size_t k = 0; k < 3; ++k) {
      out.coded[i][k] = std::clamp(rgb[k], 0.0F, 255.0F);
      out.light[i][k] = tone.at(out.coded[i][k]).light;
    }
  }
  return out;
}

Profile best_mixture(const ColourProfile& colours, double at, double reach, double gap) {
  const auto mix = mixture_for(sides_of(colours, at, reach, gap));
  const Curve& tone = curve();
  Profile out;
  out.first = colours.first;
  out.step = colours.step;
  out.light.resize(colours.light.size());
  out.weight.resize(colours.light.size());
  for (std::size_t i = 0; i < colours.light.size(); ++i) {
    float value = 0, variance = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const auto share = static_cast<float>(mix[k]);
      const float u = share / tone.at(colours.coded[i][k]).slope;
      value += share * colours.light[i][k];
      variance += u * u;
    }
    out.light[i] = value;
    out.weight[i] = 1 / std::sqrt(variance);
  }
  return out;
}

}  // namespace spile::vision
