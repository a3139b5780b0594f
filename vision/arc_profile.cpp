#include "vision/arc_profile.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kSpan = 11;   // px to either side of the rim
constexpr double kStep = 0.5;  // px
constexpr double kNoise = 3;   // coded values of luma: what is left in a mean profile, noise and model alike
constexpr double kChromaNoise = 5;  // chroma is stored at half size and more coarsely
constexpr double kChromaBlurPx = 1.0;
constexpr double kSharpeningPx = 1.2;            // radius of the soft picture in a camera's sharpening
constexpr double kOffsetU = 4;                   // px
constexpr double kInside = 3.0, kOutside = 4.5;  // px of profile used beyond the steps

// Unknowns: offset, log blur, kappa (light on the coat's side over its face), hull and wall in three colours.
constexpr int kUnknowns = 9;
using Vector = Eigen::Matrix<double, kUnknowns, 1>;
using Matrix = Eigen::Matrix<double, kUnknowns, kUnknowns>;
using Row = Eigen::Matrix<double, 1, kUnknowns>;

// ITU-R BT.601, full range (JFIF): rows luma, Cb, Cr over red, green, blue.
constexpr double kYcc[3][3] = {
    {0.299, 0.587, 0.114}, {-0.168736, -0.331264, 0.5}, {0.5, -0.418688, -0.081312}};

// Normal integral and density by table: these sit in the innermost loop.
struct Bell {
  static constexpr double kReach = 5, kPerUnit = 64;
  std::array<double, static_cast<std::size_t>(2 * kReach * kPerUnit) + 2> integral{}, density{};
  Bell() {
    for (std::size_t i = 0; i < integral.size(); ++i) {
      const double z = static_cast<double>(i) / kPerUnit - kReach;
      integral[i] = 0.5 * std::erfc(-z * M_SQRT1_2);
      density[i] = std::exp(-0.5 * z * z) * 0.3989422804014327;
    }
  }
  struct At {
    double integral = 0, density = 0;
  };
  [[nodiscard]] At at(double z) const {
    const double place = (std::clamp(z, -kReach, kReach) + kReach) * kPerUnit;
    const auto i = static_cast<std::size_t>(place);
    const double f = place - static_cast<double>(i);
    return {integral[i] + f * (integral[i + 1] - integral[i]),
            density[i] + f * (density[i + 1] - density[i])};
  }
};

const Bell& bell() {
  static const Bell table;
  return table;
}

// Coded value and slope by table over the square root of light, where the curve is nearly straight.
struct Coder {
  static constexpr std::size_t kSize = 1024;
  std::array<double, kSize + 2> coded{}, slope{};
  Coder() {
    for (std::size_t i = 0; i < coded.size(); ++i) {
      const double root = static_cast<double>(i) / kSize;
      coded[i] = coded_from_light(root * root);
      slope[i] = coded_slope(std::max(root * root, 0.003));
    }
  }
  struct At {
    double coded = 0, slope = 0;
  };
  [[nodiscard]] At at(double light) const {
    const double place = std::sqrt(std::clamp(light, 0.0, 1.0)) * kSize;
    const auto i = static_cast<std::size_t>(place);
    const double f = place - static_cast<double>(i);
    return {coded[i] + f * (coded[i + 1] - coded[i]), slope[i]};
  }
};

const Coder& coder() {
  static const Coder table;
  return table;
}

struct System {
  Matrix matrix = Matrix::Zero();
  Vector gradient = Vector::Zero();
  double cost = 0;

  void add(const Vector& slope, double residual) {
    matrix.noalias() += slope * slope.transpose();
    gradient.noalias() += slope * residual;
    cost += residual * residual;
  }
  void hold(int unknown, double away, double u) {
    matrix(unknown, unknown) += 1 / (u * u);
    gradient[unknown] += away / (u * u);
    cost += away * away / (u * u);
  }
};

// Shares of hull, coat and wall at one place, and how they move.
struct Shape {
  double hull = 0, coat = 0, wall = 0;
  double d_offset_outer = 0, d_offset_inner = 0, d_blur_outer = 0, d_blur_inner = 0;
};

// `extra` is blur added in quadrature to the unknown one.
Shape shape_at(double x, const Vector& v, double coat_px, double extra) {
  const double own = std::exp(v[1]), blur = std::hypot(own, extra);
  const double outer = (x - v[0]) / blur, inner = (x - v[0] + coat_px) / blur;
  const auto at_outer = bell().at(outer), at_inner = bell().at(inner);
  const double d_log = own * own / (blur * blur);
  Shape s;
  s.hull = at_outer.integral;
  s.wall = 1 - at_inner.integral;
  s.coat = 1 - s.hull - s.wall;
  s.d_offset_outer = -at_outer.density / blur;
  s.d_offset_inner = -at_inner.density / blur;
  s.d_blur_outer = -at_outer.density * outer * d_log;
  s.d_blur_inner = -at_inner.density * inner * d_log;
  return s;
}

struct Coded {
  double value = 0;
  Row slope = Row::Zero();
};

// Coded red, green or blue for a mixture of hull, coat and wall.
Coded coded_at(const Shape& s, const Vector& v, int k) {
  const double hull = v[3 + k], wall = v[6 + k];
  const double light = hull * (s.hull + v[2] * s.coat) + wall * s.wall;
  const auto code = coder().at(light);
  Coded out;
  out.value = code.coded;
  if (light >= 1) return out;
  const double outer_step = hull * (1 - v[2]), inner_step = hull * v[2] - wall;
  out.slope[0] = code.slope * (outer_step * s.d_offset_outer + inner_step * s.d_offset_inner);
  out.slope[1] = code.slope * (outer_step * s.d_blur_outer + inner_step * s.d_blur_inner);
  out.slope[2] = code.slope * hull * s.coat;
  out.slope[3 + k] = code.slope * (s.hull + v[2] * s.coat);
  out.slope[6 + k] = code.slope * s.wall;
  return out;
}

constexpr std::size_t kPad = 6;  // samples to either side for the sharpening to draw on

// Weights of the soft picture over neighbouring samples.
const std::array<double, 2 * kPad + 1>& soft_weights() {
  static const std::array<double, 2 * kPad + 1> weights = [] {
    std::array<double, 2 * kPad + 1> w{};
    double sum = 0;
    for (std::size_t i = 0; i < w.size(); ++i) {
      const double d = (static_cast<double>(i) - static_cast<double>(kPad)) * kStep / kSharpeningPx;
      sum += w[i] = std::exp(-0.5 * d * d);
    }
    for (double& v : w) v /= sum;
    return w;
  }();
  return weights;
}

Coded mixed(const std::array<Coded, 3>& rgb, int row) {
  Coded out;
  for (int k = 0; k < 3; ++k) {
    out.value += kYcc[row][k] * rgb[static_cast<std::size_t>(k)].value;
    out.slope += kYcc[row][k] * rgb[static_cast<std::size_t>(k)].slope;
  }
  return out;
}

std::array<Coded, 3> rgb_at(double x, const Vector& v, const ArcModel& model, double extra) {
  const Shape s = shape_at(x, v, model.coat_px, extra);
  return {coded_at(s, v, 0), coded_at(s, v, 1), coded_at(s, v, 2)};
}

// Reading between pixels smooths the coded values, by sqrt(1/6) px on average over where the reading falls;
// three samples half a pixel apart have that spread. The outermost stay: they feed the sharpening alone.
std::vector<Coded> read_between_pixels(const std::vector<Coded>& plain) {
  std::vector<Coded> out = plain;
  for (std::size_t i = 1; i + 1 < plain.size(); ++i) {
    out[i].value = (plain[i - 1].value + plain[i].value + plain[i + 1].value) / 3;
    out[i].slope = (plain[i - 1].slope + plain[i].slope + plain[i + 1].slope) / 3;
  }
  return out;
}

void add_luma(const ArcProfile& arc, const ArcModel& model, const Vector& v, std::size_t from, std::size_t to,
              System& out) {
  std::vector<Coded> plain;
  plain.reserve(to - from + 2 * kPad);
  for (std::size_t i = from; i < to + 2 * kPad; ++i) {
    const double x = arc.x(i) - kStep * static_cast<double>(kPad);
    plain.push_back(mixed(rgb_at(x, v, model, 0), 0));
  }
  plain = read_between_pixels(plain);
  const auto& soft = soft_weights();
  for (std::size_t i = from; i < to; ++i) {
    const Coded& here = plain[i - from + kPad];
    Coded sharp{here.value * (1 + model.sharpening), here.slope * (1 + model.sharpening)};
    if (model.sharpening > 0) {
      for (std::size_t j = 0; j < soft.size(); ++j) {
        sharp.value -= model.sharpening * soft[j] * plain[i - from + j].value;
        sharp.slope -= model.sharpening * soft[j] * plain[i - from + j].slope;
      }
    }
    const bool over = sharp.value >= 255 || sharp.value <= 0;
    if (over) sharp.slope.setZero();
    const double residual = std::clamp(sharp.value, 0.0, 255.0) - static_cast<double>(arc.ycc[i][0]);
    out.add(sharp.slope.transpose() / kNoise, residual / kNoise);
  }
}

void add_chroma(const ArcProfile& arc, const ArcModel& model, const Vector& v, std::size_t from,
                std::size_t to, System& out) {
  for (std::size_t i = from; i < to; ++i) {
    const auto rgb = rgb_at(arc.x(i), v, model, kChromaBlurPx);
    for (const int row : {1, 2}) {
      const Coded c = mixed(rgb, row);
      out.add(c.slope.transpose() / kChromaNoise,
              (c.value - static_cast<double>(arc.ycc[i][static_cast<std::size_t>(row)])) / kChromaNoise);
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
  for (int k = 0; k < 3; ++k) out.hold(6 + k, v[6 + k] - 0.8, 2);
  return out;
}

Colour rgb_of(const std::array<float, 3>& ycc) {
  return {ycc[0] + 1.402F * ycc[2], ycc[0] - 0.344136F * ycc[1] - 0.714136F * ycc[2],
          ycc[0] + 1.772F * ycc[1]};
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
    const Colour rgb = rgb_of(arc.ycc[i]);
    for (std::size_t k = 0; k < 3; ++k) {
      const double light = light_from_coded(std::clamp(static_cast<double>(rgb[k]), 0.0, 255.0));
      v[(out ? 3 : 6) + static_cast<int>(k)] += light;
    }
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
    sum += std::pow(coded_from_light(hull) - coded_from_light(next), 2) / 3;
  }
  return std::sqrt(sum);
}

}  // namespace

namespace {

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
    Matrix damped = now.matrix;
    damped.diagonal() *= 1 + damping;
    const Vector change = damped.ldlt().solve(-now.gradient);
    Vector trial = v + change;
    trial[1] = std::clamp(trial[1], std::log(0.3), std::log(6.0));
    trial[2] = std::clamp(trial[2], 0.05, 3.0);
    trial.tail<6>() = trial.tail<6>().cwiseMax(0.0).cwiseMin(12.0);
    const System next = system_at(arc, model, trial, from, to);
    if (!(next.cost <= now.cost)) {
      damping *= 10;
      if (damping > 1e6) break;
      continue;
    }
    const bool settled = now.cost - next.cost < 1e-4 * now.cost + 1e-6;
    v = trial;
    now = next;
    damping = std::max(damping * 0.2, 1e-7);
    if (settled) break;
  }
  ArcFit fit;
  fit.offset = v[0];
  fit.u = std::sqrt(std::max(0.0, now.matrix.inverse()(0, 0)));
  fit.blur = std::exp(v[1]);
  fit.kappa = v[2];
  fit.cost = now.cost;
  fit.contrast = contrast_of(v, model.coat_px > 0);
  fit.clipped = v.tail<3>().maxCoeff() > 0.97;
  return fit;
}

}  // namespace spile::vision
