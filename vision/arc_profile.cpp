#include "vision/arc_profile.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "vision/bell.hpp"

namespace spile::vision {
namespace {

constexpr double kSpan = 11;   // px to either side of the rim
constexpr double kStep = 0.5;  // px
constexpr double kNoise = 3;   // coded values of luma: what is left in a mean profile, noise and model alike
constexpr double kChromaNoise = 5;  // chroma is stored at half size and more coarsely
constexpr double kChromaBlurPx = 1.0;
constexpr double kSharpeningPx = 1.2;            // radius of the soft picture in a camera's sharpening
constexpr double kSettledShare = 1e-3;           // of the cost
constexpr double kOffsetU = 4;                   // px
constexpr double kInside = 3.0, kOutside = 4.5;  // px of profile used beyond the steps

// Unknowns: offset, log blur, kappa (light on the coat's side over its face), hull and wall in three colours.
constexpr int kUnknowns = 9;
using Vector = Eigen::Matrix<double, kUnknowns, 1>;
using Matrix = Eigen::Matrix<double, kUnknowns, kUnknowns>;
// How a value moves with each unknown, and the value itself.
using Row = std::array<double, kUnknowns + 1>;
constexpr std::size_t kValue = kUnknowns;

// ITU-R BT.601, full range (JFIF): rows luma, Cb, Cr over red, green, blue.
constexpr double kYcc[3][3] = {
    {0.299, 0.587, 0.114}, {-0.168736, -0.331264, 0.5}, {0.5, -0.418688, -0.081312}};

// Looked up once: asked for at every sample, even the asking shows.
const Bell& kBell = Bell::table();
const Coder& kCoder = Coder::table();

// Sums of products of rows, residual included: normal matrix, gradient and cost in one. Of the symmetric sums
// the lower triangle is kept, in pairs of columns.
struct System {
  std::array<Row, kUnknowns + 1> sums{};

  // `row` holds the residual in the value's place; both in units of `noise`.
  void add(const Row& row, double noise) {
    const double weight = 1 / (noise * noise);
#pragma GCC unroll 10
    for (std::size_t i = 0; i < kUnknowns + 1; ++i) {
      const double scaled = weight * row[i];
#pragma GCC unroll 10
      for (std::size_t j = 0; j <= (i | 1); ++j) sums[i][j] += scaled * row[j];
    }
  }
  void hold(std::size_t unknown, double away, double u) {
    Row row{};
    row[unknown] = 1;
    row[kValue] = away;
    add(row, u);
  }
  [[nodiscard]] double cost() const {
    return sums[kValue][kValue];
  }
  [[nodiscard]] Matrix matrix() const {
    Matrix m;
    for (int i = 0; i < kUnknowns; ++i) {
      for (int j = 0; j < kUnknowns; ++j)
        m(i, j) = sums[static_cast<std::size_t>(std::max(i, j))][static_cast<std::size_t>(std::min(i, j))];
    }
    return m;
  }
  [[nodiscard]] Vector gradient() const {
    return Vector(sums[kValue].data());
  }
};

// The unknown blur with a known one added in quadrature.
struct Blur {
  double total = 1, d_log = 1;
  Blur(double own, double extra) : total(std::hypot(own, extra)), d_log(own * own / (total * total)) {}
};

// Shares of hull, coat and wall at one place, and how they move.
struct Shape {
  double hull = 0, coat = 0, wall = 0;
  double d_offset_outer = 0, d_offset_inner = 0, d_blur_outer = 0, d_blur_inner = 0;
};

Shape shape_at(double x, const Vector& v, double coat_px, const Blur& blur) {
  const double outer = (x - v[0]) / blur.total, inner = (x - v[0] + coat_px) / blur.total;
  const auto at_outer = kBell.at(outer), at_inner = coat_px > 0 ? kBell.at(inner) : at_outer;
  Shape s;
  s.hull = at_outer.integral;
  s.wall = 1 - at_inner.integral;
  s.coat = 1 - s.hull - s.wall;
  s.d_offset_outer = -at_outer.density / blur.total;
  s.d_offset_inner = -at_inner.density / blur.total;
  s.d_blur_outer = -at_outer.density * outer * blur.d_log;
  s.d_blur_inner = -at_inner.density * inner * blur.d_log;
  return s;
}

// Coded red, green or blue for a mixture of hull, coat and wall, and how it moves with the unknowns it knows.
struct Channel {
  double value = 0, offset = 0, blur = 0, kappa = 0, hull = 0, wall = 0;
};

[[gnu::always_inline]] inline Channel channel_at(const Shape& s, const Vector& v, int k) {
  const double hull = v[3 + k], wall = v[6 + k], kappa = v[2];
  const double light = hull * (s.hull + kappa * s.coat) + wall * s.wall;
  const auto code = kCoder.at(light);
  if (light >= 1) return {code.coded};
  const double outer_step = code.slope * hull * (1 - kappa), inner_step = code.slope * (hull * kappa - wall);
  return {code.coded,
          outer_step * s.d_offset_outer + inner_step * s.d_offset_inner,
          outer_step * s.d_blur_outer + inner_step * s.d_blur_inner,
          code.slope * hull * s.coat,
          code.slope * (s.hull + kappa * s.coat),
          code.slope * s.wall};
}

using Rgb = std::array<Channel, 3>;

Rgb rgb_at(double x, const Vector& v, double coat_px, const Blur& blur) {
  const Shape s = shape_at(x, v, coat_px, blur);
  return {channel_at(s, v, 0), channel_at(s, v, 1), channel_at(s, v, 2)};
}

// Luma, Cb or Cr of it.
Row mixed(const Rgb& rgb, const double (&shares)[3]) {
  Row out{};
  for (std::size_t k = 0; k < 3; ++k) {
    const Channel& c = rgb[k];
    const double share = shares[k];
    out[0] += share * c.offset;
    out[1] += share * c.blur;
    out[2] += share * c.kappa;
    out[3 + k] = share * c.hull;
    out[6 + k] = share * c.wall;
    out[kValue] += share * c.value;
  }
  return out;
}

// How neighbouring samples of luma add up to one as read: what lies in the picture, sharpened by the camera,
// read between its pixels.
struct Kernel {
  static constexpr std::size_t kSoft = 6, kMost = kSoft + 1;  // samples to either side
  std::array<double, 2 * kMost + 1> weights{};                // about the middle
  std::size_t reach = 1;

  explicit Kernel(double sharpening) : reach(sharpening > 0 ? kMost : 1) {
    std::array<double, 2 * kMost + 1> sharp{};
    double sum = 0;
    for (std::size_t i = 1; i + 1 < sharp.size(); ++i) {
      const double d = (static_cast<double>(i) - static_cast<double>(kMost)) * kStep / kSharpeningPx;
      sum += sharp[i] = std::exp(-0.5 * d * d);
    }
    for (double& w : sharp) w *= -sharpening / sum;
    sharp[kMost] += 1 + sharpening;
    // Reading between pixels smooths the coded values, by sqrt(1/6) px on average over where the reading
    // falls; three samples half a pixel apart have that spread.
    for (std::size_t i = 0; i < weights.size(); ++i) {
      const double before = i > 0 ? sharp[i - 1] : 0, after = i + 1 < sharp.size() ? sharp[i + 1] : 0;
      weights[i] = (before + sharp[i] + after) / 3;
    }
  }
  [[nodiscard]] Row at(const Row* middle) const {
    Row out{};
    for (std::size_t j = kMost - reach; j <= kMost + reach; ++j) {
      const Row& row = *(middle + j - kMost);
      for (std::size_t u = 0; u < out.size(); ++u) out[u] += weights[j] * row[u];
    }
    return out;
  }
};

void add_luma(const ArcProfile& arc, const ArcModel& model, const Vector& v, std::size_t from, std::size_t to,
              System& out) {
  const Blur blur(std::exp(v[1]), 0);
  const Kernel kernel(model.sharpening);
  std::vector<Row> plain;
  plain.reserve(to - from + 2 * kernel.reach);
  for (std::size_t i = from; i < to + 2 * kernel.reach; ++i) {
    const double x = arc.x(i) - kStep * static_cast<double>(kernel.reach);
    plain.push_back(mixed(rgb_at(x, v, model.coat_px, blur), kYcc[0]));
  }
  for (std::size_t i = from; i < to; ++i) {
    Row row = kernel.at(&plain[i - from + kernel.reach]);
    const double value = row[kValue];
    if (value >= 255 || value <= 0) row.fill(0);
    row[kValue] = std::clamp(value, 0.0, 255.0) - static_cast<double>(arc.ycc[i][0]);
    out.add(row, kNoise);
  }
}

void add_chroma(const ArcProfile& arc, const ArcModel& model, const Vector& v, std::size_t from,
                std::size_t to, System& out) {
  const Blur blur(std::exp(v[1]), kChromaBlurPx);
  for (std::size_t i = from; i < to; ++i) {
    const auto rgb = rgb_at(arc.x(i), v, model.coat_px, blur);
    for (const std::size_t channel : {1, 2}) {
      Row row = mixed(rgb, kYcc[channel]);
      row[kValue] -= static_cast<double>(arc.ycc[i][channel]);
      out.add(row, kChromaNoise);
    }
  }
}

System system_at(const ArcProfile& arc, const ArcModel& model, const Vector& v, std::size_t from,
                 std::size_t to) {
  System out;
  add_luma(arc, model, v, from, to, out);
  add_chroma(arc, model, v, from, to, out);
  out.hold(0, v[0] - model.start, kOffsetU);
  out.hold(1, model.blur ? v[1] - std::log(*model.blur) : v[1] - std::log(0.9),
           model.blur ? model.u_log_blur : 0.5);
  out.hold(2, v[2] - model.kappa, model.u_kappa);
  for (int k = 0; k < 3; ++k) out.hold(static_cast<std::size_t>(6 + k), v[6 + k] - 0.8, 2);
  return out;
}

Vector start_of(const ArcProfile& arc, const ArcModel& model) {
  Vector v = Vector::Zero();
  v[0] = model.start;
  v[1] = std::log(model.blur.value_or(0.9));
  v[2] = model.kappa;
  double outside = 0, inside = 0;
  for (std::size_t i = 0; i < arc.ycc.size(); ++i) {
    const double d = arc.x(i) - model.start;
    const bool out = d > 1.5 && d < kOutside, in = d < -model.coat_px - 1.2 && d > -model.coat_px - 3;
    if (!out && !in) continue;
    for (std::size_t k = 0; k < 3; ++k)
      v[(out ? 3 : 6) + static_cast<int>(k)] += static_cast<double>(arc.light[i][k]);
    (out ? outside : inside) += 1;
  }
  v.segment<3>(3) /= std::max(outside, 1.0);
  v.segment<3>(6) /= std::max(inside, 1.0);
  return v;
}

double contrast_of(const Vector& v, bool coated) {
  double sum = 0;
  for (int k = 0; k < 3; ++k) {
    const double hull = std::clamp(v[3 + k], 0.0, 1.0);
    const double next = std::clamp(coated ? hull * v[2] : v[6 + k], 0.0, 1.0);
    sum += std::pow(kCoder.at(hull).coded - kCoder.at(next).coded, 2) / 3;
  }
  return std::sqrt(sum);
}

}  // namespace

namespace {

Colour light_of(const std::array<float, 3>& ycc) {
  const Colour rgb{ycc[0] + 1.402F * ycc[2], ycc[0] - 0.344136F * ycc[1] - 0.714136F * ycc[2],
                   ycc[0] + 1.772F * ycc[1]};
  Colour light;
  for (std::size_t k = 0; k < 3; ++k) {
    light[k] = static_cast<float>(light_from_coded(std::clamp(static_cast<double>(rgb[k]), 0.0, 255.0)));
  }
  return light;
}

void describe(const RimPlace& place, const FineRim& rim, ArcProfile& arc) {
  arc.first = -kSpan;
  arc.step = kStep;
  const double radius = rim.fit.radius_at(arc.angle);
  const auto foot = place.foot(rim.fit.centre, radius, arc.angle);
  arc.mm_per_px = foot.mm_per_px;
  arc.normal = foot.normal;
  const Point2 mm = rim.fit.centre + radius * Point2(std::cos(arc.angle), std::sin(arc.angle));
  const Point2 deeper = place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z - 1));
  arc.depth_px = -(deeper - foot.px).dot(foot.normal);
}

// Adds the colours along one normal; false where they leave the picture.
bool add_normal(const RimPlace& place, const FineRim& rim, double angle, ArcProfile& arc) {
  const auto foot = place.foot(rim.fit.centre, rim.fit.radius_at(angle), angle);
  const Point2 from = foot.px - kSpan * foot.normal, to = foot.px + kSpan * foot.normal;
  if (!place.view.holds(from.x(), from.y()) || !place.view.holds(to.x(), to.y())) return false;
  for (std::size_t i = 0; i < arc.ycc.size(); ++i) {
    const Point2 p = foot.px + arc.x(i) * foot.normal;
    const auto ycc = place.view.ycc_at(p.x(), p.y());
    for (std::size_t k = 0; k < 3; ++k) arc.ycc[i][k] += ycc[k];
  }
  ++arc.normals;
  return true;
}

}  // namespace

std::vector<ArcProfile> arc_profiles(const RimPlace& place, const FineRim& rim, int arcs) {
  std::vector<ArcProfile> out(static_cast<std::size_t>(arcs));
  for (std::size_t a = 0; a < out.size(); ++a) {
    out[a].angle = (static_cast<double>(a) + 0.5) / arcs * 2 * M_PI;
    out[a].ycc.resize(static_cast<std::size_t>(2 * kSpan / kStep) + 1);
    describe(place, rim, out[a]);
  }
  for (const RimSample& s : rim.samples) {
    if (!s.inlier) continue;
    add_normal(place, rim, s.angle, out[static_cast<std::size_t>(s.angle / (2 * M_PI) * arcs) % out.size()]);
  }
  for (ArcProfile& arc : out) {
    for (auto& sample : arc.ycc) {
      for (float& v : sample) v /= static_cast<float>(std::max(1, arc.normals));
    }
  }
  std::erase_if(out, [](const ArcProfile& arc) { return arc.normals < 3; });
  for (ArcProfile& arc : out) {
    for (const auto& sample : arc.ycc) arc.light.push_back(light_of(sample));
  }
  return out;
}

std::optional<ArcFit> fit_arc(const ArcProfile& arc, const ArcModel& model) {
  Vector v = start_of(arc, model);
  const double low = model.start - model.coat_px - kInside, high = model.start + kOutside;
  if (low < arc.first || high > arc.x(arc.ycc.size() - 1)) return std::nullopt;
  const auto from = static_cast<std::size_t>((low - arc.first) / kStep),
             to = static_cast<std::size_t>((high - arc.first) / kStep);
  System now = system_at(arc, model, v, from, to);
  double damping = 1e-3;
  for (int round = 0; round < 12; ++round) {
    Matrix damped = now.matrix();
    damped.diagonal() *= 1 + damping;
    const Vector change = damped.ldlt().solve(-now.gradient());
    Vector trial = v + change;
    trial[1] = std::clamp(trial[1], std::log(0.3), std::log(6.0));
    trial[2] = std::clamp(trial[2], 0.05, 3.0);
    trial.tail<6>() = trial.tail<6>().cwiseMax(0.0).cwiseMin(12.0);
    const System next = system_at(arc, model, trial, from, to);
    const bool settled = std::abs(now.cost() - next.cost()) < kSettledShare * now.cost() + 1e-6;
    if (!(next.cost() <= now.cost())) {
      damping *= 10;
      if (settled || damping > 1e6) break;
      continue;
    }
    v = trial;
    now = next;
    damping = std::max(damping * 0.2, 1e-7);
    if (settled) break;
  }
  ArcFit fit;
  fit.offset = v[0];
  fit.u = std::sqrt(std::max(0.0, now.matrix().ldlt().solve(Vector::Unit(0))[0]));
  fit.blur = std::exp(v[1]);
  fit.kappa = v[2];
  fit.cost = now.cost();
  fit.contrast = contrast_of(v, model.coat_px > 0);
  fit.clipped = v.tail<3>().maxCoeff() > 0.97;
  return fit;
}

}  // namespace spile::vision
