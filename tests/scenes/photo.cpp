#include "photo.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/core.hpp>

#include "develop.hpp"
#include "geometry.hpp"
#include "rim.hpp"
#include "solids.hpp"
#include "tracer.hpp"

namespace spile::scenes {

namespace {

constexpr int kEdgeSamples = 64;
constexpr int kFineSamples = 16;  // ticks and cracks are many, and measured over their length
constexpr double kRadians = std::numbers::pi / 180;

// `samples`, a power of two, points spread evenly over the pixel, also along its sides (Hammersley), so that
// an upright edge is placed as well as a slanting one.
std::vector<Pixel> spread(int samples) {
  std::vector<Pixel> points;
  for (int i = 0; i < samples; ++i) {
    double y = 0, part = 0.5;
    for (int bits = i; bits; bits >>= 1, part /= 2) y += (bits & 1) * part;
    points.push_back({(i + 0.5) / samples - 0.5, y + 0.5 / samples - 0.5});
  }
  return points;
}

struct Plain {
  cv::Mat light;   // CV_32FC3, B, G, R
  cv::Mat pieces;  // CV_16U; the top bit marks fine detail
};

constexpr std::uint16_t kFine = 0x8000;

void put(cv::Mat& light, int x, int y, Rgb c) {
  light.at<cv::Vec3f>(y, x) = {c.b, c.g, c.r};
}

Plain one_ray_each(const Tracer& tracer, cv::Size size) {
  Plain plain{cv::Mat(size, CV_32FC3), cv::Mat(size, CV_16U)};
  cv::parallel_for_({0, size.height}, [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y)
      for (int x = 0; x < size.width; ++x) {
        const Met met = tracer.at(x, y);
        put(plain.light, x, y, met.light);
        plain.pieces.at<std::uint16_t>(y, x) = static_cast<std::uint16_t>(met.piece | (met.fine ? kFine : 0));
      }
  });
  return plain;
}

// How many rays a pixel needs: 1 where nothing changes.
int rays_for(const cv::Mat& pieces, int x, int y) {
  const std::uint16_t own = pieces.at<std::uint16_t>(y, x);
  const int left = std::max(x - 1, 0), right = std::min(x + 1, pieces.cols - 1);
  for (int row = std::max(y - 1, 0); row <= std::min(y + 1, pieces.rows - 1); ++row) {
    const auto* p = pieces.ptr<std::uint16_t>(row);
    for (int column = left; column <= right; ++column)
      if ((p[column] & ~kFine) != (own & ~kFine)) return kEdgeSamples;
  }
  return own & kFine ? kFineSamples : 1;
}

Rgb many_rays(const Tracer& tracer, const std::vector<Pixel>& points, int x, int y) {
  Rgb sum;
  for (const auto& p : points) {
    const Rgb c = tracer.at(x + p.x, y + p.y).light;
    sum = {sum.r + c.r, sum.g + c.g, sum.b + c.b};
  }
  return sum * (1.0F / static_cast<float>(points.size()));
}

cv::Mat gather(const Scene& scene, const Camera& camera) {
  const Tracer tracer(scene, camera);
  Plain plain = one_ray_each(tracer, {camera.width_px, camera.height_px});
  const std::vector<Pixel> fine = spread(kFineSamples), edge = spread(kEdgeSamples);
  cv::parallel_for_({0, plain.light.rows}, [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y)
      for (int x = 0; x < plain.light.cols; ++x)
        if (const int rays = rays_for(plain.pieces, x, y); rays > 1)
          put(plain.light, x, y, many_rays(tracer, rays == kEdgeSamples ? edge : fine, x, y));
  });
  return plain.light;
}

HoleTruth truth_of(const Hole& hole, const Pinhole& eye) {
  const auto [a, b] = semi_axes(hole);
  HoleTruth truth;
  truth.centre_px = eye.project({hole.x, hole.y, 0});
  truth.diameter_mm = hole.diameter_mm;
  truth.major_mm = 2 * a;
  truth.minor_mm = 2 * b;
  truth.ovality_pct = hole.ovality_pct;
  truth.depth_mm = hole.depth_mm;
  for (const auto& chip : hole.chips) truth.edge_damage_mm = std::max(truth.edge_damage_mm, chip.depth_mm);
  const double c = std::cos(hole.major_at_deg * kRadians), s = std::sin(hole.major_at_deg * kRadians);
  for (int i = 0; i < 72; ++i) {
    const double u = a * std::cos(i * 5 * kRadians), v = b * std::sin(i * 5 * kRadians);
    truth.rim_px.push_back(eye.project({hole.x + u * c - v * s, hole.y + u * s + v * c, 0}));
  }
  const Pixel right = eye.project({hole.x + 0.5, hole.y, 0}), left = eye.project({hole.x - 0.5, hole.y, 0});
  const Pixel low = eye.project({hole.x, hole.y + 0.5, 0}), high = eye.project({hole.x, hole.y - 0.5, 0});
  truth.mm_per_px = 1 / std::sqrt(std::hypot(right.x - left.x, right.y - left.y) *
                                  std::hypot(low.x - high.x, low.y - high.y));
  return truth;
}

std::vector<std::array<Pixel, 4>> corners_of(const Card& card, const Pinhole& eye) {
  const Plate middle = Plate::turned(card.x, card.y, card.turn_deg, 0, 0, 0, 0);
  const double w = card.width_mm / 2, h = card.height_mm / 2, half = card.marker_mm / 2;
  const std::array<Pixel, 4> centres = {Pixel{-w, -h}, Pixel{w, -h}, Pixel{w, h}, Pixel{-w, h}};
  const std::array<Pixel, 4> around = {Pixel{-half, -half}, Pixel{half, -half}, Pixel{half, half},
                                       Pixel{-half, half}};
  std::vector<std::array<Pixel, 4>> corners;
  for (const auto& centre : centres) {
    std::array<Pixel, 4> marker{};
    for (std::size_t i = 0; i < 4; ++i) {
      const auto [x, y] = middle.outward((centre.x + around.at(i).x) * card.print_scale_x,
                                         (centre.y + around.at(i).y) * card.print_scale_y);
      marker.at(i) = eye.project({x, y, -card.face_height_mm});
    }
    corners.push_back(marker);
  }
  return corners;
}

EdgeTruth truth_of(const CutEdge& edge, const Pinhole& eye) {
  EdgeTruth truth;
  truth.layers = edge.layers;
  const Plate piece = Plate::turned(edge.x, edge.y, edge.turn_deg, 0, 0, 0, 0);
  const auto add = [&](double through) {
    for (const double along : {0.0, edge.length_mm}) {
      const auto [x, y] = piece.outward(through, along);
      truth.boundaries_px.push_back(eye.project({x, y, 0}));
    }
  };
  add(0);
  bool core = false;
  for (const auto& layer : edge.layers) {
    truth.thickness_mm += layer.thickness_mm;
    core = core || layer.kind == "core";
    add(truth.thickness_mm);
  }
  truth.thinnest_mm = truth.thickness_mm - edge.thin_mm;
  const auto [tx, ty] = piece.outward(truth.thinnest_mm, edge.thin_at_mm);
  truth.thinnest_px = eye.project({tx, ty, 0});
  truth.construction = core ? "sandwich" : "single-skin";
  return truth;
}

FlangeTruth truth_of(const Flange& flange, const Pinhole& eye) {
  FlangeTruth truth{flange.diameter_mm, flange.bore_mm, flange.height_mm, {}};
  for (int i = 0; i < 72; ++i)
    truth.rim_px.push_back(
        eye.project({flange.x + flange.diameter_mm / 2 * std::cos(i * 5 * kRadians),
                     flange.y + flange.diameter_mm / 2 * std::sin(i * 5 * kRadians), -flange.height_mm}));
  return truth;
}

}  // namespace

Pixel project(const Camera& camera, double x, double y, double z) {
  return Pinhole(camera).project({x, y, z});
}

Truth truth_of(const Scene& scene, const Camera& camera) {
  const Pinhole eye(camera);
  Truth truth;
  if (scene.card) {
    truth.reference = "card";
    truth.marker_corners = corners_of(*scene.card, eye);
  } else if (scene.rule) {
    truth.reference = "rule";
  } else if (scene.disc) {
    truth.reference = "disc";
  }
  if (scene.disc)
    truth.disc_centre_px = eye.project({scene.disc->x, scene.disc->y, -scene.disc->thickness_mm});
  for (const auto& hole : scene.holes) truth.holes.push_back(truth_of(hole, eye));
  std::stable_sort(truth.holes.begin(), truth.holes.end(),
                   [](const auto& a, const auto& b) { return a.diameter_mm > b.diameter_mm; });
  if (scene.edge) truth.edge = truth_of(*scene.edge, eye);
  if (scene.flange) truth.flange = truth_of(*scene.flange, eye);
  if (scene.nut)
    truth.nut = NutTruth{scene.nut->across_flats_mm, scene.nut->height_mm,
                         eye.project({scene.nut->x, scene.nut->y, -scene.nut->height_mm})};
  return truth;
}

Photo take(const Scene& scene, const Camera& camera) {
  return {encode(develop(gather(scene, camera), camera), camera), truth_of(scene, camera)};
}

std::vector<float> trace(const Scene& scene, const Camera& camera) {
  const cv::Mat light = gather(scene, camera);
  std::vector<float> rgb(light.total() * 3);
  for (std::size_t i = 0; i < light.total(); ++i)
    for (std::size_t c = 0; c < 3; ++c) rgb[3 * i + c] = light.ptr<float>()[3 * i + 2 - c];
  return rgb;
}

}  // namespace spile::scenes
