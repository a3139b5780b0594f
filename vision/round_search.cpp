#include "vision/round_search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <opencv2/imgproc.hpp>
#include <random>

#include "vision/circle_search.hpp"
#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr int kRays = 72;
constexpr double kUsualRadius = 45;  // px of the copy in which an outline is looked for
constexpr double kTolerance = 0.02;  // of the radius
constexpr double kFlattest = 0.42;   // minor to major axis: 65 degrees of tilt
constexpr int kTrials = 2500;
constexpr double kLoudest = 60;  // coded values: a step need not be clearer than that
constexpr double kLeastSupport = 0.6;
constexpr double kLeastWithin = 0.84;  // of the outline's size: a shadow makes it that much larger

// ---- copies of the picture, small enough that an outline is some dozens of pixels across
// -------------------

struct Copy {
  std::unique_ptr<Picture::Pixels> own;
  const Picture::Pixels* pixels = nullptr;
  double scale = 1;
  [[nodiscard]] Point2 shrunk(const Point2& p) const {
    return (p.array() - 0.5 * (scale - 1)).matrix() / scale;
  }
  [[nodiscard]] Point2 full(const Point2& p) const {
    return (scale * p.array() + 0.5 * (scale - 1)).matrix();
  }
  [[nodiscard]] Ellipse full(Ellipse e) const {
    e.centre = full(e.centre);
    e.major *= scale;
    e.minor *= scale;
    return e;
  }
};

class Copies {
 public:
  explicit Copies(const Picture::Pixels& pixels) : pixels_(pixels) {}

  // Where a radius given in pixels of the picture comes nearest to the usual one.
  const Copy& for_radius(double radius) {
    int factor = 1;
    while (radius / factor > 1.5 * kUsualRadius) factor *= 2;
    auto& copy = copies_[factor];
    if (!copy.pixels) copy = made(factor);
    return copy;
  }

 private:
  [[nodiscard]] Copy made(int factor) const {
    Copy out;
    out.scale = factor;
    out.pixels = &pixels_;
    if (factor == 1) return out;
    out.own = std::make_unique<Picture::Pixels>();
    const cv::Mat& from = factor >= 4 ? pixels_.quarter() : pixels_.half();
    const cv::Size size(pixels_.grey.cols / factor, pixels_.grey.rows / factor);
    cv::resize(from, out.own->grey, size, 0, 0, cv::INTER_AREA);
    const cv::Size chroma((size.width + 1) / 2, (size.height + 1) / 2);
    cv::resize(pixels_.cb, out.own->cb, chroma, 0, 0, cv::INTER_AREA);
    cv::resize(pixels_.cr, out.own->cr, chroma, 0, 0, cv::INTER_AREA);
    out.pixels = out.own.get();
    return out;
  }

  const Picture::Pixels& pixels_;
  std::map<int, Copy> copies_;
};

// ---- edges about a point, as seen from it
// -------------------------------------------------------------------

struct FanEdge {
  double reach = 0, voice = 0;
};

struct Fan {
  Point2 from = Point2::Zero();
  double size = 1;  // the radius expected
  std::array<std::vector<FanEdge>, kRays> rays;
  [[nodiscard]] static double direction(std::size_t ray) {
    return 2 * M_PI * static_cast<double>(ray) / kRays;
  }
  [[nodiscard]] Point2 place(std::size_t ray, double reach) const {
    return from + reach * Point2(std::cos(direction(ray)), std::sin(direction(ray)));
  }
};

// How far a ray goes before it leaves the picture.
double room(const Picture::Pixels& pixels, const Point2& from, const Point2& along) {
  const Point2 limit(pixels.grey.cols - 5.0, pixels.grey.rows - 5.0);
  double out = 1e9;
  for (const int k : {0, 1}) {
    if (along[k] > 1e-9) out = std::min(out, (limit[k] - from[k]) / along[k]);
    if (along[k] < -1e-9) out = std::min(out, (from[k] - 3) / -along[k]);
  }
  return out;
}

Fan fan_about(const Picture::Pixels& pixels, const Point2& from, double size, double nearest,
              double farthest) {
  const ColourView view(pixels);
  Fan fan{from, size, {}};
  for (std::size_t k = 0; k < kRays; ++k) {
    const Point2 along(std::cos(Fan::direction(k)), std::sin(Fan::direction(k)));
    const double to = std::min(farthest * size, room(pixels, from, along));
    if (to < 1.1 * nearest * size) continue;
    const auto colours = sample_colours(view, {from.x(), from.y()}, {along.x(), along.y()}, nearest * size,
                                        to, std::max(0.5, size / 60));
    for (const auto& [reach, contrast] : steps_of(colours))
      fan.rays[k].push_back({reach, std::sqrt(std::min(contrast, kLoudest))});
  }
  return fan;
}

// ---- the ellipses among them ------------------------------------------------------------------------------

struct Fit {
  Ellipse outline;
  double clearness = 0, support = 0;
};

Fit weighed(const Fan& fan, const Ellipse& outline) {
  Fit out{outline, 0, 0};
  for (std::size_t k = 0; k < kRays; ++k) {
    const auto reach = outline.reach(fan.from, Fan::direction(k));
    if (!reach) return {outline, 0, 0};
    double best = 0;
    for (const FanEdge& e : fan.rays[k]) {
      const double miss = (e.reach - *reach) / (kTolerance * fan.size + 0.4);
      if (std::abs(miss) < 1) best = std::max(best, (1 - miss * miss) * e.voice);
    }
    out.clearness += best / kRays;
    out.support += best > 0 ? 1.0 / kRays : 0;
  }
  return out;
}

bool plausible(const Fan& fan, const Ellipse& e) {
  return e.minor > kFlattest * e.major && e.major < 1.8 * fan.size && e.mean_radius() > 0.6 * fan.size &&
         (e.centre - fan.from).norm() < 0.6 * e.mean_radius();
}

std::optional<Ellipse> drawn(const Fan& fan, std::mt19937& random) {
  std::vector<Point2> points;
  const auto first = std::uniform_int_distribution<std::size_t>(0, kRays - 1)(random);
  for (std::size_t i = 0; i < 5; ++i) {
    const std::size_t jitter = std::uniform_int_distribution<std::size_t>(0, kRays / 6)(random);
    const std::size_t ray = (first + i * kRays / 5 + jitter) % kRays;
    if (fan.rays[ray].empty()) return std::nullopt;
    const auto pick = std::uniform_int_distribution<std::size_t>(0, fan.rays[ray].size() - 1)(random);
    points.push_back(fan.place(ray, fan.rays[ray][pick].reach));
  }
  return ellipse_through(points, fan.from, fan.size);
}

// Drawn closer to the edges it nearly goes through.
Fit settled(const Fan& fan, Fit fit) {
  for (const double tolerance : {2.0, 1.5, 1.0, 1.0}) {
    std::vector<Point2> on;
    for (std::size_t k = 0; k < kRays; ++k) {
      const auto reach = fit.outline.reach(fan.from, Fan::direction(k));
      if (!reach) return fit;
      const FanEdge* best = nullptr;
      for (const FanEdge& e : fan.rays[k]) {
        if (std::abs(e.reach - *reach) > tolerance * (kTolerance * fan.size + 0.4)) continue;
        if (!best || std::abs(e.reach - *reach) < std::abs(best->reach - *reach)) best = &e;
      }
      if (best) on.push_back(fan.place(k, best->reach));
    }
    const auto next =
        on.size() < kRays / 3 ? std::nullopt : ellipse_through(on, fit.outline.centre, fan.size);
    if (!next || !plausible(fan, *next)) return fit;
    const Fit trial = weighed(fan, *next);
    if (trial.clearness < 0.9 * fit.clearness) return fit;
    fit = trial;
  }
  return fit;
}

// The clearest ellipse of each size, sizes a twenty-fifth apart.
std::vector<Fit> fits_in(const Fan& fan) {
  std::mt19937 random(31415);
  std::map<int, Fit> best;
  for (int trial = 0; trial < kTrials; ++trial) {
    const auto outline = drawn(fan, random);
    if (!outline || !plausible(fan, *outline)) continue;
    const Fit fit = weighed(fan, *outline);
    if (fit.support < 0.5 * kLeastSupport) continue;
    Fit& place = best[static_cast<int>(std::floor(25 * std::log(outline->mean_radius())))];
    if (fit.clearness > place.clearness) place = fit;
  }
  std::vector<Fit> out;
  for (const auto& [size, fit] : best) {
    const Fit closer = settled(fan, fit);
    if (closer.support >= kLeastSupport) out.push_back(closer);
  }
  return out;
}

// A coin's relief, its inner ring and the hole of a washer are round too: of the clear outlines the
// outermost. A shadow's border is larger still, but nowhere as clear all round.
std::optional<Fit> outermost(std::vector<Fit> fits) {
  if (fits.empty()) return std::nullopt;
  const auto clearer = [](const Fit& a, const Fit& b) { return a.clearness < b.clearness; };
  const Fit clearest = *std::max_element(fits.begin(), fits.end(), clearer);
  Fit best = clearest;
  for (const Fit& fit : fits) {
    const bool wider = fit.outline.mean_radius() > best.outline.mean_radius();
    if (wider && fit.clearness > 0.85 * clearest.clearness && fit.support >= 0.95 * clearest.support)
      best = fit;
  }
  return best;
}

std::vector<Fit> looked_at(Copies& copies, const Point2& at, double radius, double nearest, double farthest) {
  const Copy& copy = copies.for_radius(radius);
  auto fits = fits_in(fan_about(*copy.pixels, copy.shrunk(at), radius / copy.scale, nearest, farthest));
  for (Fit& fit : fits) fit.outline = copy.full(fit.outline);
  return fits;
}

// Once more from its own centre.
RoundSeen seen_again(Copies& copies, const Fit& first) {
  const auto again = looked_at(copies, first.outline.centre, first.outline.mean_radius(), 0.75, 1.35);
  auto best = outermost(again);
  if (!best || best->clearness < 0.8 * first.clearness) best = first;
  RoundSeen out{best->outline, best->support, {}, best->clearness};
  for (const Fit& fit : again) {
    const double share = fit.outline.mean_radius() / best->outline.mean_radius();
    if (share > kLeastWithin && share < 0.985 && fit.clearness > 0.7 * best->clearness)
      out.within.push_back(fit.outline);
  }
  return out;
}

// ---- anywhere in the picture
// --------------------------------------------------------------------------------

// A plane seen from far away, foreshortened to `aspect` across the direction `angle`: there ellipses of one
// shape are circles, and one millimetre is one pixel of the picture's longer direction.
Plane from_far(const Picture::Pixels& pixels, double aspect, double angle) {
  const double far = 1e4 * std::max(pixels.grey.cols, pixels.grey.rows);
  Plane plane;
  plane.focal_px = far;
  plane.centre = Point2(0.5 * (pixels.grey.cols - 1), 0.5 * (pixels.grey.rows - 1));
  plane.origin = Point3(0, 0, far);
  const Eigen::Matrix3d turn =
      Eigen::AngleAxisd(std::acos(aspect), Point3(std::cos(angle), std::sin(angle), 0)).toRotationMatrix();
  Eigen::Matrix3d square_on = Eigen::Matrix3d::Identity();
  square_on(1, 1) = square_on(2, 2) = -1;
  plane.rotation = turn * square_on;
  return plane;
}

bool same_place(const Ellipse& a, const Ellipse& b) {
  return (a.centre - b.centre).norm() < 0.5 * std::max(a.mean_radius(), b.mean_radius());
}

struct Guess {
  Point2 centre = Point2::Zero();
  double radius = 0, score = 0;
};

std::vector<Guess> guesses(const Picture::Pixels& pixels) {
  constexpr std::size_t kEach = 14;
  std::vector<Guess> out;
  for (const auto& [aspect, angle] : std::vector<std::pair<double, double>>{
           {1, 0}, {0.75, 0}, {0.75, 0.25 * M_PI}, {0.75, 0.5 * M_PI}, {0.75, 0.75 * M_PI}}) {
    const Plane plane = from_far(pixels, aspect, angle);
    for (const auto& c : search_circles(pixels, plane, 0, {}, kEach)) {
      const Point2 px = plane.px_from_mm(Point3(c.centre_mm.x(), c.centre_mm.y(), 0));
      out.push_back({px, c.radius_mm * std::sqrt(aspect), c.score});
    }
  }
  std::sort(out.begin(), out.end(), [](const Guess& a, const Guess& b) { return a.score > b.score; });
  return out;
}

}  // namespace

std::optional<RoundSeen> round_thing_at(const Picture::Pixels& pixels, const Point2& at, double smallest,
                                        double largest) {
  Copies copies(pixels);
  std::vector<Fit> fits;
  for (double radius = std::max(10.0, smallest); radius < largest; radius *= 1.35) {
    if (auto fit = outermost(looked_at(copies, at, radius, 0.6, 1.5))) fits.push_back(*std::move(fit));
  }
  const auto best = outermost(std::move(fits));
  if (!best) return std::nullopt;
  return seen_again(copies, *best);
}

std::vector<RoundSeen> round_things(const Picture::Pixels& pixels) {
  Copies copies(pixels);
  std::vector<RoundSeen> out;
  std::vector<Guess> tried;
  for (const Guess& guess : guesses(pixels)) {
    const bool known = std::any_of(tried.begin(), tried.end(), [&](const Guess& t) {
      return (t.centre - guess.centre).norm() < 0.3 * guess.radius &&
             std::abs(std::log(t.radius / guess.radius)) < 0.2;
    });
    if (known) continue;
    tried.push_back(guess);
    const auto fit = outermost(looked_at(copies, guess.centre, guess.radius, 0.7, 1.4));
    if (fit) out.push_back(seen_again(copies, *fit));
  }
  std::sort(out.begin(), out.end(),
            [](const RoundSeen& a, const RoundSeen& b) { return a.clearness > b.clearness; });
  std::vector<RoundSeen> apart;
  for (const RoundSeen& seen : out) {
    const bool known = std::any_of(apart.begin(), apart.end(),
                                   [&](const RoundSeen& o) { return same_place(o.outline, seen.outline); });
    if (!known) apart.push_back(seen);
  }
  return apart;
}

}  // namespace spile::vision
