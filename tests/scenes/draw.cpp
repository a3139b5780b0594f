#include "draw.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry.hpp"
#include "noise.hpp"
#include "prints.hpp"
#include "solids.hpp"

namespace spile::scenes {

namespace {

constexpr double kRadians = std::numbers::pi / 180;
constexpr double kFrameMarginPx = 12;

double in(Random& random, Range range) {
  return random.uniform(range.from, range.to);
}

Hull any_hull(Random& random) {
  return std::array{Hull::White, Hull::Dark, Hull::BareLaminate, Hull::Timber}.at(
      static_cast<std::size_t>(random.pick(4)));
}

Hole any_hole(Random& random, const Priors& priors) {
  Hole hole;
  hole.diameter_mm = in(random, priors.diameter_mm);
  hole.ovality_pct = in(random, priors.ovality_pct);
  hole.major_at_deg = random.uniform(0, 180);
  hole.depth_mm = in(random, priors.hole_depth_mm);
  hole.skin_mm = random.uniform(0.2, 0.9);
  hole.roughness_mm = random.uniform(0.01, 0.05);
  if (random.chance(priors.chips))
    for (int i = 0, n = 1 + random.pick(3); i < n; ++i)
      hole.chips.push_back({random.uniform(0, 360), random.uniform(2, 6), random.uniform(0.5, 2)});
  if (random.chance(priors.sealant)) {
    const double inner = hole.diameter_mm + random.uniform(6, 20);
    hole.sealant = SealantRing{inner, inner + random.uniform(6, 16), random.uniform(0.1, 0.6)};
  }
  return hole;
}

Card any_card(Random& random, const Priors& priors) {
  Card card;
  card.turn_deg = random.uniform(0, 360);
  card.print_scale_x = 1 + priors.print_scale_sd * random.normal();
  card.print_scale_y = 1 + priors.print_scale_sd * random.normal();
  card.face_height_mm = in(random, priors.face_height_mm);
  return card;
}

// The card's sheet beside something of `radius` round the origin, at a gap; every turn of both is possible.
void lay_beside(Card& card, double radius, double gap, double towards_deg) {
  const CardPrint print(card);
  const double x = std::cos(towards_deg * kRadians), y = std::sin(towards_deg * kRadians);
  // Pushed out until the sheet is clear by the gap.
  for (double out = radius + gap;; out += 1) {
    card.x = x * out;
    card.y = y * out;
    const Plate middle = Plate::turned(card.x, card.y, card.turn_deg, 0, 0, 0, 0);
    const auto [cx, cy] = middle.outward(print.left(), print.top());
    const Plate sheet = Plate::turned(cx, cy, card.turn_deg, print.width(), print.height(), 0, 0);
    if (sheet.distance(0, 0) >= radius + gap) return;
  }
}

using Points = std::vector<std::array<double, 2>>;

void add_sheet(Points& points, const Card& card) {
  const Plate middle = Plate::turned(card.x, card.y, card.turn_deg, 0, 0, 0, 0);
  const double w = (card.width_mm + card.marker_mm) / 2 + 6, h = (card.height_mm + card.marker_mm) / 2 + 6;
  for (const auto& [sx, sy] : {std::pair{-w, -h}, {w, -h}, {w, h}, {-w, h}})
    points.push_back(middle.outward(sx, sy));
}

void add_round(Points& points, double x, double y, double radius) {
  for (int i = 0; i < 8; ++i)
    points.push_back({x + radius * std::cos(i * 45 * kRadians), y + radius * std::sin(i * 45 * kRadians)});
}

bool in_frame(const Camera& camera, const Points& points) {
  const Pinhole eye(camera);
  return std::all_of(points.begin(), points.end(), [&](const auto& p) {
    const Pixel at = eye.project({p[0], p[1], 0});
    return at.x > kFrameMarginPx && at.y > kFrameMarginPx && at.x < camera.width_px - kFrameMarginPx &&
           at.y < camera.height_px - kFrameMarginPx;
  });
}

Camera any_camera(Random& random, const Priors& priors, const Points& points) {
  Camera camera;
  camera.width_px = priors.width_px;
  camera.height_px = priors.height_px;
  const double diagonal = std::hypot(priors.width_px, priors.height_px);
  const double focal_35mm = std::round(random.uniform(24, 36));
  // 43.267 mm: diagonal of 36 x 24 mm
  camera.focal_px = focal_35mm / 43.267 * diagonal * std::exp(priors.focal_sd * random.normal());
  if (random.chance(priors.focal_known)) camera.focal_35mm = focal_35mm;
  camera.tilt_deg = in(random, priors.tilt_deg);
  camera.azimuth_deg = random.uniform(0, 360);
  camera.roll_deg = random.uniform(0, 360);
  camera.k1 = priors.k1_sd * random.normal();
  camera.k2 = priors.k2_sd * random.normal();
  camera.axis_x_px = priors.axis_sd * diagonal * random.normal();
  camera.axis_y_px = priors.axis_sd * diagonal * random.normal();
  camera.blur_px = in(random, priors.blur_px);
  camera.noise = in(random, priors.noise);
  camera.sharpening = in(random, priors.sharpening);
  camera.tone = in(random, priors.tone);
  camera.vignetting = random.uniform(0, 0.3);
  camera.warmth = random.uniform(-0.08, 0.08);
  camera.jpeg_quality = static_cast<int>(in(random, priors.jpeg_quality));
  camera.exif_orientation = std::array{1, 1, 6, 3, 8}.at(static_cast<std::size_t>(random.pick(5)));
  double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
  for (const auto& [x, y] : points) {
    left = std::min(left, x);
    right = std::max(right, x);
    top = std::min(top, y);
    bottom = std::max(bottom, y);
  }
  camera.look_x = (left + right) / 2;
  camera.look_y = (top + bottom) / 2;
  camera.distance_mm = 60;
  while (!in_frame(camera, points)) camera.distance_mm *= 1.01;
  camera.distance_mm *= in(random, priors.fill);
  return camera;
}

// Sizes as spanners are made (from memory: ISO 272, and inch sizes), a few tenths under as nuts are.
Nut any_nut(Random& random) {
  Nut nut;
  constexpr std::array kSpanners{36.0, 41.0, 46.0, 50.0, 55.0, 60.0, 65.0, 70.0, 38.1, 44.45, 57.15};
  nut.across_flats_mm = kSpanners.at(static_cast<std::size_t>(random.pick(11))) - random.uniform(0.05, 0.6);
  nut.stem_mm = nut.across_flats_mm * random.uniform(0.62, 0.74);
  nut.bore_mm = nut.stem_mm - random.uniform(6, 10);
  nut.height_mm = random.uniform(7, 14);
  nut.turn_deg = random.uniform(0, 60);
  nut.material = random.chance(0.5) ? FlangeMaterial::Bronze : FlangeMaterial::WhitePlastic;
  return nut;
}

CutEdge any_edge(Random& random) {
  CutEdge edge;
  edge.turn_deg = random.uniform(0, 360);
  edge.length_mm = random.uniform(45, 80);
  edge.waviness_mm = random.uniform(0.03, 0.12);
  edge.contrast = random.uniform(0.7, 1.2);
  edge.layers = {{"gelcoat", random.uniform(0.4, 1.0)}, {"laminate", random.uniform(5, 20)}};
  if (random.chance(0.4)) {
    edge.layers[1].thickness_mm = random.uniform(2.5, 6);
    edge.layers.push_back({"core", random.uniform(8, 20)});
    edge.layers.push_back({"laminate", random.uniform(2, 4)});
  }
  return edge;
}

double thickness_of(const CutEdge& edge) {
  double total = 0;
  for (const auto& layer : edge.layers) total += layer.thickness_mm;
  return total;
}

// The rule along the direction through the thickness, beside the piece, so that it can be read off.
Rule rule_beside(const CutEdge& edge, Random& random) {
  const Plate piece = Plate::turned(edge.x, edge.y, edge.turn_deg, 0, 0, 0, 0);
  Rule rule;
  rule.turn_deg = edge.turn_deg + random.normal();
  const auto [x, y] = piece.outward(-random.uniform(10, 40), edge.length_mm + random.uniform(1, 4));
  rule.x = x;
  rule.y = y;
  return rule;
}

// With its end at one side of the card and the layers square to that side, as one lays a cut-out down to be
// read.
void lay_end_on(CutEdge& edge, const Card& card, Random& random) {
  const CardPrint print(card);
  const double reach[] = {print.left() + print.width(), print.top() + print.height(), -print.left(),
                          -print.top()};
  const double across[] = {print.height(), print.width(), print.height(), print.width()};
  const int side = random.pick(4);
  const double slide = random.uniform(-0.25, 0.25) * across[side];
  edge.turn_deg = card.turn_deg + side * 90 - 90 + 1.5 * random.normal();
  const Plate outward = Plate::turned(card.x, card.y, card.turn_deg + side * 90, 0, 0, 0, 0);
  // Its thickness runs against the side's own direction, so the first layer starts on the far side.
  const auto [x, y] = outward.outward(reach[side] + random.uniform(1, 5), slide + thickness_of(edge) / 2);
  edge.x = x;
  edge.y = y;
}

void add_edge_points(Points& points, const CutEdge& edge) {
  const Plate piece = Plate::turned(edge.x, edge.y, edge.turn_deg, 0, 0, 0, 0);
  for (const double through : {0.0, thickness_of(edge)})
    for (const double along : {0.0, edge.length_mm}) points.push_back(piece.outward(through, along));
}

void add_rule_points(Points& points, const Rule& rule) {
  const Plate flat = Plate::turned(rule.x, rule.y, rule.turn_deg, 0, 0, 0, 0);
  // Not the whole rule has to be in the picture, only what lies beside the piece.
  for (const auto& [x, y] : {std::pair{8.0, 0.0}, {100.0, 0.0}, {8.0, rule.width_mm}, {100.0, rule.width_mm}})
    points.push_back(flat.outward(x, y));
}

void lay_edge_scene(Scene& scene, Points& points, Random& random, const Priors& priors, bool card) {
  scene.edge = any_edge(random);
  add_edge_points(points, *scene.edge);
  if (!card) {
    scene.rule = rule_beside(*scene.edge, random);
    add_rule_points(points, *scene.rule);
    return;
  }
  scene.card = any_card(random, priors);
  // The card's face is meant to be level with the cut face; what is left of the prior's middle is the slip.
  scene.card->face_height_mm -= (priors.face_height_mm.from + priors.face_height_mm.to) / 2;
  lay_end_on(*scene.edge, *scene.card, random);
  points.clear();
  add_edge_points(points, *scene.edge);
  add_sheet(points, *scene.card);
}

void lay_reference(Kind kind, Scene& scene, Points& points, Random& random, const Priors& priors,
                   double radius) {
  const double towards = random.uniform(0, 360), gap = in(random, priors.gap_mm);
  const double x = std::cos(towards * kRadians), y = std::sin(towards * kRadians);
  if (kind == Kind::HoleWithDisc) {
    Disc disc;
    disc.diameter_mm = random.uniform(18, 28);
    const double out = radius + gap + disc.diameter_mm / 2;
    disc.x = x * out;
    disc.y = y * out;
    scene.disc = disc;
    add_round(points, disc.x, disc.y, disc.diameter_mm / 2 + 2);
  } else if (kind == Kind::HoleWithRule) {
    Rule rule;
    rule.turn_deg = towards + 90;
    // Its graduated edge faces the hole: the rule lies outward of the line tangent at the gap.
    const Plate flat = Plate::turned(x * (radius + gap), y * (radius + gap), towards - 90, 0, 0, 0, 0);
    rule.turn_deg = towards - 90;
    const auto [cx, cy] = flat.outward(-rule.length_mm / 2, 0);
    rule.x = cx;
    rule.y = cy;
    scene.rule = rule;
    const Plate placed = Plate::turned(cx, cy, rule.turn_deg, 0, 0, 0, 0);
    for (const double along : {20.0, 130.0}) points.push_back(placed.outward(along, rule.width_mm));
  } else if (kind != Kind::HoleWithoutReference) {
    scene.card = any_card(random, priors);
    lay_beside(*scene.card, radius, gap, towards);
    add_sheet(points, *scene.card);
  }
}

}  // namespace

Drawn draw(Kind kind, std::uint64_t seed, const Priors& priors) {
  Random random(seed * 1000003 + static_cast<std::uint64_t>(kind));
  Scene scene;
  scene.seed = seed * 17 + 3;
  scene.hull = any_hull(random);
  scene.light.level = random.uniform(0.8, 1.1);
  scene.light.gradient = random.uniform(0, 0.3);
  scene.light.gradient_deg = random.uniform(0, 360);
  Points points;
  if (kind == Kind::EdgeWithCard || kind == Kind::EdgeWithRule) {
    lay_edge_scene(scene, points, random, priors, kind == Kind::EdgeWithCard);
  } else {
    double radius = 30;
    if (kind == Kind::FlangeWithCard) {
      Flange flange;
      flange.diameter_mm = random.uniform(40, 95);
      flange.bore_mm = flange.diameter_mm * random.uniform(0.35, 0.55);
      flange.height_mm = random.uniform(2, 6);
      flange.material =
          std::array{FlangeMaterial::Bronze, FlangeMaterial::WhitePlastic, FlangeMaterial::BlackPlastic}.at(
              static_cast<std::size_t>(random.pick(3)));
      radius = flange.diameter_mm / 2;
      scene.flange = flange;
    } else if (kind == Kind::NutWithCard) {
      scene.nut = any_nut(random);
      radius = 0.58 * scene.nut->across_flats_mm;  // to its corners
    } else if (kind != Kind::CardWithoutHole) {
      scene.holes.push_back(any_hole(random, priors));
      radius = scene.holes[0].diameter_mm / 2;
    }
    if (kind != Kind::CardWithoutHole) add_round(points, 0, 0, radius + 3);
    lay_reference(kind, scene, points, random, priors, radius);
  }
  if (random.chance(priors.shadow))
    scene.shadow = Shadow{random.uniform(-40, 40), random.uniform(-40, 40), random.uniform(0, 360),
                          random.uniform(2, 25), random.uniform(0.15, 0.6)};
  if (random.chance(priors.cracks))
    scene.cracks.push_back({random.uniform(-60, 60), random.uniform(-60, 60), random.uniform(0, 360),
                            random.uniform(8, 30), random.uniform(0.15, 0.5), 1});
  Camera camera = any_camera(random, priors, points);
  camera.seed = seed * 29 + 11;
  return {scene, camera};
}

}  // namespace spile::scenes
