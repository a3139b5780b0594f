#include "radius.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "vision/picture_pixels.hpp"
#include "vision/rim.hpp"
#include "vision/rim_arcs.hpp"

namespace spile::accuracy {

namespace {

using vision::Point2;
using vision::RimPoint;

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kRoundness = 0.012;  // what the engine allows a drilled hole
constexpr double kReadingPx = 0.41;
constexpr int kNormals = 400;

double radius_of(const std::vector<RimPoint>& points) {
  const auto fit = vision::fit_round(points, kRoundness);
  if (!fit) throw std::runtime_error("no circle through the rim of a flat disc");
  return fit->radius;
}

double by_engine(const FlatDisc& disc, const FlatDiscPicture& picture) {
  vision::Picture::Pixels pixels;
  pixels.grey = picture.grey;
  pixels.cb = pixels.cr = cv::Mat((picture.grey.rows + 1) / 2, (picture.grey.cols + 1) / 2, CV_8UC1, 128);
  const vision::ColourView view(pixels);
  const vision::RimPlace place{view, picture.plane, 0};
  const Point2 slip(0.004 * picture.radius_mm, -0.006 * picture.radius_mm);
  auto rim = vision::fine_rim(place, {picture.centre_mm + slip, 1.01 * picture.radius_mm}, kRoundness);
  if (!rim) throw std::runtime_error("the engine sees no rim on a flat disc");
  // The reference beside a hole is blurred like the hole; reading between pixels adds to what it shows.
  vision::refine_by_arcs(place, std::hypot(disc.blur_px, kReadingPx), kRoundness, *rim);
  return rim->fit.radius;
}

// The same error function along the same normals, on the values as coded.
double tone_ignored(const FlatDiscPicture& picture) {
  const vision::Plane& plane = picture.plane;
  std::vector<RimPoint> points;
  for (int i = 0; i < kNormals; ++i) {
    const Point2 out(std::cos(kTurn * i / kNormals), std::sin(kTurn * i / kNormals)),
        along(-out.y(), out.x());
    const auto px = [&](const Point2& away) {
      const Point2 mm = picture.centre_mm + picture.radius_mm * (out + away);
      return plane.px_from_mm(vision::Point3(mm.x(), mm.y(), 0));
    };
    const Point2 foot = px(Point2::Zero()), tangent = px(1e-3 * along) - px(-1e-3 * along);
    Point2 normal = Point2(-tangent.y(), tangent.x()).normalized();
    if (normal.dot(px(1e-3 * out) - foot) < 0) normal = -normal;
    vision::Profile profile{-6, 0.5, {}, {}};
    for (int k = 0; k <= 24; ++k) {
      const Point2 at = foot + profile.t(static_cast<std::size_t>(k)) * normal;
      cv::Mat value;
      cv::getRectSubPix(picture.grey, {1, 1},
                        cv::Point2f(static_cast<float>(at.x()), static_cast<float>(at.y())), value, CV_32F);
      profile.light.push_back(value.at<float>(0, 0) / 255);
    }
    profile.weight.assign(profile.light.size(), 255.0F);
    if (const auto edge = vision::fit_edge(profile, 0))
      if (const auto mm = plane.mm_from_px(foot + edge->offset * normal)) points.push_back({*mm, 1});
  }
  return radius_of(points);
}

double by_fit_ellipse(const FlatDiscPicture& picture) {
  cv::Mat edges;
  cv::Canny(picture.grey, edges, 60, 150);
  std::vector<cv::Point> on;
  cv::findNonZero(edges, on);
  const cv::RotatedRect ellipse = cv::fitEllipse(on);
  const double turn = static_cast<double>(ellipse.angle) * std::numbers::pi / 180;
  std::vector<RimPoint> points;
  for (int i = 0; i < kNormals; ++i) {
    const double a = static_cast<double>(ellipse.size.width) / 2 * std::cos(kTurn * i / kNormals);
    const double b = static_cast<double>(ellipse.size.height) / 2 * std::sin(kTurn * i / kNormals);
    const Point2 px(static_cast<double>(ellipse.center.x) + a * std::cos(turn) - b * std::sin(turn),
                    static_cast<double>(ellipse.center.y) + a * std::sin(turn) + b * std::cos(turn));
    if (const auto mm = picture.plane.mm_from_px(px)) points.push_back({*mm, 1});
  }
  return radius_of(points);
}

}  // namespace

RadiusErrors radius_errors(const FlatDisc& disc) {
  const FlatDiscPicture picture = drawn(disc);
  const auto px = [&](double radius_mm) { return (radius_mm - picture.radius_mm) / picture.mm_per_px; };
  return {px(by_engine(disc, picture)), px(tone_ignored(picture)), px(by_fit_ellipse(picture))};
}

std::vector<RadiusTrial> radius_trials(int repeats) {
  std::vector<FlatDisc> discs;
  std::uint64_t seed = 1;
  for (const double radius : {60.0, 120.0, 200.0, 400.0})
    for (const double tilt : {0.0, 15.0, 30.0, 45.0})
      for (const double blur : {0.8, 1.1, 1.5})
        for (int repeat = 0; repeat < repeats; ++repeat, ++seed) {
          FlatDisc disc;
          disc.radius_px = radius;
          disc.tilt_deg = tilt;
          disc.azimuth_deg = static_cast<double>(seed * 47 % 360);
          disc.blur_px = blur;
          disc.noise = std::array{2.0, 4.0, 8.0}.at(seed % 3);
          disc.jpeg_quality = std::array{95, 90, 85}.at(seed / 3 % 3);
          disc.off_x = 0.1 * static_cast<double>(seed * 7 % 11) - 0.5;
          disc.off_y = 0.1 * static_cast<double>(seed * 5 % 13) - 0.6;
          disc.seed = seed;
          discs.push_back(disc);
        }
  std::vector<RadiusTrial> trials(discs.size());
  cv::parallel_for_({0, static_cast<int>(discs.size())}, [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i) {
      const auto k = static_cast<std::size_t>(i);
      trials[k] = {discs[k], radius_errors(discs[k])};
    }
  });
  return trials;
}

RadiusSummary summary(const std::vector<RadiusTrial>& trials, double RadiusErrors::*method) {
  RadiusSummary out;
  std::map<double, std::map<double, std::pair<double, int>>> by_size;  // radius, blur: sum of % and count
  for (const RadiusTrial& t : trials) {
    const double error = t.error.*method;
    out.rms_px += error * error;
    out.bias_px += error;
    auto& [sum, count] = by_size[t.disc.radius_px][t.disc.blur_px];
    sum += 100 * error / t.disc.radius_px;
    ++count;
  }
  const double n = std::max<double>(1, static_cast<double>(trials.size()));
  out.rms_px = std::sqrt(out.rms_px / n);
  out.bias_px /= n;
  for (const auto& [radius, blurs] : by_size) {
    double least = 1e9, most = -1e9;
    for (const auto& [blur, sum] : blurs) {
      least = std::min(least, sum.first / sum.second);
      most = std::max(most, sum.first / sum.second);
    }
    out.bias_over_blur_pct = std::max(out.bias_over_blur_pct, most - least);
  }
  return out;
}

std::string markdown(const std::vector<RadiusTrial>& trials) {
  std::string out =
      "| radius px | discs | Spile: RMS px | bias px | bias over blur % | tone curve ignored: RMS px | bias "
      "px | bias "
      "over blur % | cv::fitEllipse: RMS px | bias px | bias over blur % |\n"
      "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
  const auto row = [&](const std::string& name, const std::vector<RadiusTrial>& some) {
    fmt::format_to(std::back_inserter(out), "| {} | {} |", name, some.size());
    for (const auto method : {&RadiusErrors::ours, &RadiusErrors::tone_ignored, &RadiusErrors::fit_ellipse}) {
      const RadiusSummary s = summary(some, method);
      fmt::format_to(std::back_inserter(out), " {:.3f} | {:+.3f} | {:.3f} |", s.rms_px, s.bias_px,
                     s.bias_over_blur_pct);
    }
    out += "\n";
  };
  row("all", trials);
  for (const double radius : {60.0, 120.0, 200.0, 400.0}) {
    std::vector<RadiusTrial> some;
    std::copy_if(trials.begin(), trials.end(), std::back_inserter(some),
                 [&](const RadiusTrial& t) { return t.disc.radius_px == radius; });
    row(fmt::format("{:g}", radius), some);
  }
  return out;
}

}  // namespace spile::accuracy
