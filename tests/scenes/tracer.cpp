#include "tracer.hpp"

#include <limits>
#include <numbers>
#include <variant>
#include <vector>

#include "prints.hpp"
#include "prism.hpp"
#include "rim.hpp"
#include "solids.hpp"

namespace spile::scenes {

namespace {

constexpr double kRadians = std::numbers::pi / 180;

enum Piece : std::uint16_t {
  kHull = 1,
  kSealant,
  kChip,
  kSkin,
  kWall,
  kCavity,
  kBench,
  kPaper,
  kInk,
  kSide,
  kSteel,
  kCoin,
  kFlangeTop,
  kFlangeBore,
  kFlangeDeep,
  kNutSide,
  kNutThread,
  kNutChamfer,
  kNutStem,
  kNutFace,
  kSideOfPiece,
  kLayers  // and up
};

struct Screen {
  double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
  void add(Pixel p) {
    left = std::min(left, p.x - 3);
    right = std::max(right, p.x + 3);
    top = std::min(top, p.y - 3);
    bottom = std::max(bottom, p.y + 3);
  }
  [[nodiscard]] bool holds(double u, double v) const {
    return u > left && u < right && v > top && v < bottom;
  }
};

enum class Kind { Card, Board, Rule, Coin, Edge, Flange, Nut };
struct Body {
  std::variant<Plate, Drum, Prism> solid;
  Kind kind;
  Screen screen;

  [[nodiscard]] std::optional<Hit> meet(Vec3 from, Vec3 ray) const {
    return std::visit([&](const auto& s) { return s.meet(from, ray); }, solid);
  }
  [[nodiscard]] double distance(double x, double y) const {
    return std::visit([&](const auto& s) { return s.distance(x, y); }, solid);
  }
};

struct CrackLine {
  std::vector<std::array<double, 2>> points;
  double width = 0, left = 0, right = 0, top = 0, bottom = 0;
};

CrackLine crack_line(const Crack& crack, Random& random) {
  CrackLine line;
  line.width = crack.width_mm;
  const double c = std::cos(crack.direction_deg * kRadians), s = std::sin(crack.direction_deg * kRadians);
  const int n = std::max(2, static_cast<int>(crack.length_mm / 1.5));
  double aside = 0;
  for (int i = 0; i <= n; ++i) {
    const double along = crack.length_mm * i / n;
    line.points.push_back({crack.x + along * c - aside * s, crack.y + along * s + aside * c});
    aside += crack.wander_mm * 0.4 * random.normal();
    aside *= 0.9;
  }
  const auto [l, r] = std::minmax_element(line.points.begin(), line.points.end());
  line.left = (*l)[0] - 1;
  line.right = (*r)[0] + 1;
  const auto by_y = [](const auto& a, const auto& b) { return a[1] < b[1]; };
  const auto [t, b] = std::minmax_element(line.points.begin(), line.points.end(), by_y);
  line.top = (*t)[1] - 1;
  line.bottom = (*b)[1] + 1;
  return line;
}

// Distance from the crack's middle line, and how far along it (0..1).
std::array<double, 2> from_crack(const CrackLine& line, double x, double y) {
  double best = 1e9, along = 0;
  for (std::size_t i = 0; i + 1 < line.points.size(); ++i) {
    const auto &a = line.points[i], &b = line.points[i + 1];
    const double dx = b[0] - a[0], dy = b[1] - a[1];
    const double t = std::clamp(((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
    const double d = std::hypot(x - a[0] - t * dx, y - a[1] - t * dy);
    if (d < best) {
      best = d;
      along = (static_cast<double>(i) + t) / static_cast<double>(line.points.size() - 1);
    }
  }
  return {best, along};
}

float soft_step(double t) {
  const double s = std::clamp(t, 0.0, 1.0);
  return static_cast<float>(s * s * (3 - 2 * s));
}

}  // namespace

struct Tracer::Impl {
  Scene scene;
  Pinhole eye;
  Surfaces look;
  double ground;  // depth of what lies behind everything: the hull, or the bench under a cut piece
  std::vector<Rim> rims;
  std::vector<CrackLine> cracks;
  std::optional<CardPrint> card;
  std::optional<RulePrint> rule;
  std::optional<Rim> flange_bore, nut_bore;
  std::vector<Body> bodies;
  double light_x, light_y;            // towards the light
  double shadow_x = 0, shadow_y = 0;  // into the shadow

  Impl(const Scene& s, const Camera& camera);
  void add_body(Kind kind, const Plate& plate);
  void add_body(Kind kind, const Drum& drum);
  void add_nut(const Nut& nut);
  void add_things();
  [[nodiscard]] float light(double x, double y) const;
  [[nodiscard]] float near_bodies(double x, double y) const;
  [[nodiscard]] Met ground_at(Vec3 p, Vec3 ray) const;
  [[nodiscard]] Met hull_at(Vec3 p, Vec3 ray) const;
  [[nodiscard]] Met in_bore(const Rim& rim, Vec3 p, Vec3 ray) const;
  [[nodiscard]] Met nut_at(const Hit& hit, Vec3 ray) const;
  [[nodiscard]] std::optional<Met> body_at(const Body& body, const Hit& hit, Vec3 ray) const;
  [[nodiscard]] Met card_at(const Hit& hit) const;
  [[nodiscard]] Met board_at(const Hit& hit) const;
  [[nodiscard]] std::optional<Met> edge_at(const Hit& hit) const;
  [[nodiscard]] Met flange_at(const Hit& hit, Vec3 ray) const;
  [[nodiscard]] double wave(std::size_t boundary, double along) const;
};

Tracer::Impl::Impl(const Scene& s, const Camera& camera)
    : scene(s), eye(camera, true), look(s), ground(s.edge ? s.edge->height_mm : 0) {
  light_x = std::cos(s.light.gradient_deg * kRadians);
  light_y = std::sin(s.light.gradient_deg * kRadians);
  if (s.shadow) {
    shadow_x = -std::sin(s.shadow->direction_deg * kRadians);
    shadow_y = std::cos(s.shadow->direction_deg * kRadians);
  }
  std::uint64_t seed = s.seed * 31;
  for (const auto& hole : s.holes) rims.emplace_back(hole, ++seed);
  Random random(s.seed + 77);
  for (const auto& crack : s.cracks) cracks.push_back(crack_line(crack, random));
  add_things();
}

void Tracer::Impl::add_things() {
  if (scene.card) {
    const Card& c = *scene.card;
    card.emplace(c);
    const Plate middle = Plate::turned(c.x, c.y, c.turn_deg, 0, 0, 0, 0);
    const auto [x, y] = middle.outward(card->left() * c.print_scale_x, card->top() * c.print_scale_y);
    add_body(Kind::Card, Plate::turned(x, y, c.turn_deg, card->width() * c.print_scale_x,
                                       card->height() * c.print_scale_y, -c.face_height_mm, ground + 0.01));
  }
  if (scene.board) {
    const Board& b = *scene.board;
    const double w = b.columns * b.square_mm + 2 * b.margin_mm, h = b.rows * b.square_mm + 2 * b.margin_mm;
    const auto [x, y] = Plate::turned(b.x, b.y, b.turn_deg, 0, 0, 0, 0).outward(-w / 2, -h / 2);
    add_body(Kind::Board, Plate::turned(x, y, b.turn_deg, w, h, -0.1, ground + 0.01));
  }
  if (scene.rule) {
    const Rule& r = *scene.rule;
    rule.emplace(r);
    add_body(Kind::Rule, Plate::turned(r.x, r.y, r.turn_deg, r.length_mm * r.scale, r.width_mm * r.scale,
                                       scene.edge ? 0 : -r.thickness_mm, ground));
  }
  if (scene.disc) {
    const Disc& d = *scene.disc;
    add_body(Kind::Coin, Drum{d.x, d.y, d.diameter_mm / 2, -d.thickness_mm, ground});
  }
  if (scene.flange) {
    const Flange& f = *scene.flange;
    Hole bore;
    bore.diameter_mm = f.bore_mm;
    bore.depth_mm = 45;
    bore.roughness_mm = 0.01;
    flange_bore.emplace(bore, scene.seed);
    add_body(Kind::Flange, Drum{f.x, f.y, f.diameter_mm / 2, -f.height_mm, 0});
  }
  if (scene.nut) add_nut(*scene.nut);
  if (scene.edge) {
    const CutEdge& e = *scene.edge;
    double total = 0;
    for (const auto& layer : e.layers) total += layer.thickness_mm;
    add_body(Kind::Edge, Plate::turned(e.x, e.y, e.turn_deg, total, e.length_mm, 0, e.height_mm));
  }
}

void Tracer::Impl::add_body(Kind kind, const Plate& plate) {
  Body body{plate, kind, {}};
  // A quarter of a millimetre more, for faces that are not quite straight.
  for (const double x : {-0.25, plate.lx + 0.25})
    for (const double y : {-0.25, plate.ly + 0.25})
      for (const double z : {plate.top, plate.bottom}) {
        const auto [px, py] = plate.outward(x, y);
        body.screen.add(eye.project({px, py, z}));
      }
  bodies.push_back(body);
}

void Tracer::Impl::add_body(Kind kind, const Drum& drum) {
  Body body{drum, kind, {}};
  for (const double x : {drum.x - drum.radius, drum.x + drum.radius})
    for (const double y : {drum.y - drum.radius, drum.y + drum.radius})
      for (const double z : {drum.top, drum.bottom}) body.screen.add(eye.project({x, y, z}));
  bodies.push_back(body);
}

void Tracer::Impl::add_nut(const Nut& nut) {
  Hole bore;
  bore.diameter_mm = nut.bore_mm;
  bore.depth_mm = 45;
  bore.roughness_mm = 0.01;
  nut_bore.emplace(bore, scene.seed);
  const Prism prism{nut.x, nut.y, nut.turn_deg, nut.across_flats_mm, -nut.height_mm, 0};
  Body body{prism, Kind::Nut, {}};
  for (int k = 0; k < 6; ++k)
    for (const double z : {prism.top, prism.bottom}) {
      const auto [x, y] = prism.corner(k);
      body.screen.add(eye.project({x, y, z}));
    }
  bodies.push_back(body);
}

float Tracer::Impl::light(double x, double y) const {
  double level = scene.light.level * (1 + scene.light.gradient * (x * light_x + y * light_y) / 100);
  if (scene.shadow) {
    const Shadow& s = *scene.shadow;
    const double inside = (x - s.x) * shadow_x + (y - s.y) * shadow_y;
    level *= 1 - s.darkness * static_cast<double>(soft_step(inside / s.softness_mm + 0.5));
  }
  return static_cast<float>(std::max(level, 0.04));
}

// The crease where something lies on the ground gets less light.
float Tracer::Impl::near_bodies(double x, double y) const {
  float open = 1;
  for (const auto& body : bodies) {
    const double reach = 1.2 + 0.5 * (ground - std::visit([](const auto& s) { return s.top; }, body.solid));
    const double away = body.distance(x + light_x * reach * 0.5, y + light_y * reach * 0.5);
    if (away < 4 * reach) open *= 1 - 0.4F * static_cast<float>(std::exp(-away / reach));
  }
  return open;
}

Met Tracer::Impl::ground_at(Vec3 p, Vec3 ray) const {
  if (!scene.edge) return hull_at(p, ray);
  return {look.bench(p.x, p.y) * (0.8F * light(p.x, p.y) * near_bodies(p.x, p.y)), kBench, false};
}

Met Tracer::Impl::in_bore(const Rim& rim, Vec3 p, Vec3 ray) const {
  const Hole& hole = rim.hole();
  const double dx = ray.x / ray.z, dy = ray.y / ray.z;
  const auto depth = rim.wall_depth(p.x, p.y, dx, dy);
  if (!depth) {
    const double z = hole.depth_mm + 70;
    return {look.cavity(p.x + dx * z, p.y + dy * z) * (0.8F * light(hole.x, hole.y)), kCavity, false};
  }
  const double x = p.x + dx * *depth - hole.x, y = p.y + dy * *depth - hole.y;
  const double r = std::hypot(x, y), facing = std::max(0.0, -(x * light_x + y * light_y) / r);
  const auto lit =
      static_cast<float>((0.30 + 0.34 * facing) * std::exp(-*depth / 45)) * light(hole.x, hole.y);
  if (*depth < hole.skin_mm) return {look.hull(hole.x + x, hole.y + y) * lit, kSkin, false};
  return {look.bore_wall(std::atan2(y, x) * r, *depth) * lit, kWall, false};
}

Met Tracer::Impl::hull_at(Vec3 p, Vec3 ray) const {
  const float lit = light(p.x, p.y);
  for (const auto& rim : rims) {
    const auto where = rim.where(p.x, p.y);
    if (where == Rim::Where::Inside) return in_bore(rim, p, ray);
    if (where == Rim::Where::Chip) return {look.broken(p.x, p.y) * (0.75F * lit), kChip, false};
    if (const auto& ring = rim.hole().sealant) {
      const double r = std::hypot(p.x - rim.hole().x, p.y - rim.hole().y);
      const double edge = 0.8 * static_cast<double>(look.grain(p.x / 3, p.y / 3));
      if (r > ring->inner_mm / 2 + edge && r < ring->outer_mm / 2 + edge)
        return {look.sealant(p.x, p.y, ring->tone) * (lit * near_bodies(p.x, p.y)), kSealant, false};
    }
  }
  Met met{look.hull(p.x, p.y), kHull, false};
  for (const auto& stain : scene.stains) {
    const double r = std::hypot(p.x - stain.x, p.y - stain.y) / (stain.diameter_mm / 2) +
                     0.25 * static_cast<double>(look.grain(p.x / 5, p.y / 5));
    const float strength = static_cast<float>(stain.darkness) * (1 - soft_step((r - 0.8) / 0.4));
    met.light = mix(met.light, Rgb{0.16F, 0.08F, 0.03F}, strength);
  }
  for (const auto& line : cracks) {
    if (p.x < line.left || p.x > line.right || p.y < line.top || p.y > line.bottom) continue;
    const auto [away, along] = from_crack(line, p.x, p.y);
    const double half = line.width / 2 * std::sqrt(std::clamp(4 * along * (1 - along), 0.04, 1.0));
    met.fine = met.fine || away < half + 0.4;
    if (away < half) met.light = met.light * 0.12F;
  }
  met.light = met.light * (lit * near_bodies(p.x, p.y));
  return met;
}

Met Tracer::Impl::card_at(const Hit& hit) const {
  const Card& c = *scene.card;
  const double x = hit.x / c.print_scale_x + card->left(), y = hit.y / c.print_scale_y + card->top();
  const Ink ink = card->at(x, y);
  const Rgb colour = mix(look.paper(c.dull.value_or(0.8)), look.ink(), static_cast<float>(ink.share));
  return {colour * light(c.x + x, c.y + y), ink.solid ? kInk : kPaper, ink.fine};
}

Met Tracer::Impl::board_at(const Hit& hit) const {
  const Board& b = *scene.board;
  const double column = (hit.x - b.margin_mm) / b.square_mm, row = (hit.y - b.margin_mm) / b.square_mm;
  const bool on = column >= 0 && row >= 0 && column < b.columns && row < b.rows;
  const bool black = on && (static_cast<int>(column) + static_cast<int>(row)) % 2 == 0;
  return {(black ? look.ink() : look.paper(0.8)) * light(b.x, b.y), black ? kInk : kPaper, false};
}

double Tracer::Impl::wave(std::size_t boundary, double along) const {
  const CutEdge& e = *scene.edge;
  const bool face = boundary == 0 || boundary == e.layers.size();
  // 0.497 is the standard deviation of the noise along a lattice line.
  const double n =
      static_cast<double>(look.grain(along / 5, 40.0 + 3.0 * static_cast<double>(boundary))) / 0.497;
  const bool inner = boundary == e.layers.size();
  const double away = (along - e.thin_at_mm) / (0.5 * e.thin_over_mm);
  return e.waviness_mm * n * (face ? 0.25 : 1.0) - (inner ? e.thin_mm * std::exp(-away * away) : 0.0);
}

std::optional<Met> Tracer::Impl::edge_at(const Hit& hit) const {
  const CutEdge& e = *scene.edge;
  const float lit = light(e.x, e.y);
  if (!hit.top) {
    const bool outer = hit.x < 1e-6;
    const Rgb skin = outer ? Rgb{0.7F, 0.7F, 0.67F} : Rgb{0.33F, 0.30F, 0.18F};
    return Met{skin * (0.30F * lit), kSideOfPiece, false};
  }
  double from = 0;
  for (std::size_t i = 0; i < e.layers.size(); ++i) {
    const double to = from + e.layers[i].thickness_mm;
    if (hit.x < from + wave(i, hit.y)) return std::nullopt;  // only before the outer face
    if (hit.x < to + wave(i + 1, hit.y))
      return Met{look.layer(e, i, hit.x, hit.y) * lit, static_cast<std::uint16_t>(kLayers + i), false};
    from = to;
  }
  return std::nullopt;
}

Met Tracer::Impl::flange_at(const Hit& hit, Vec3 ray) const {
  const Flange& f = *scene.flange;
  const float lit = light(f.x, f.y);
  const double r = std::hypot(hit.x, hit.y), share = r / (f.diameter_mm / 2);
  if (!hit.top)
    return {look.flange(f.material, std::atan2(hit.y, hit.x) * r, hit.z) * (0.4F * lit), kSide, false};
  if (flange_bore->where(hit.x, hit.y) == Rim::Where::Inside) {
    const double dx = ray.x / ray.z, dy = ray.y / ray.z;
    const auto depth = flange_bore->wall_depth(hit.x, hit.y, dx, dy);
    if (!depth) return {look.cavity(hit.x, hit.y) * lit, kFlangeDeep, false};
    const auto dim = static_cast<float>(0.35 * std::exp(-*depth / 14));
    return {look.flange(f.material, hit.x, *depth) * (dim * lit), kFlangeBore, false};
  }
  // A slightly domed head: brighter towards the light, with a rounded shoulder.
  const double slope = 0.22 * share + (share > 0.9 ? 3 * (share - 0.9) : 0);
  const double facing = 1 + slope * (hit.x * light_x + hit.y * light_y) / std::max(r, 1e-6);
  return {look.flange(f.material, hit.x, hit.y) * (static_cast<float>(facing) * lit), kFlangeTop, false};
}

Met Tracer::Impl::nut_at(const Hit& hit, Vec3 ray) const {
  const Nut& nut = *scene.nut;
  const float lit = light(nut.x, nut.y);
  const double r = std::hypot(hit.x, hit.y), chamfer = 0.5 * nut.across_flats_mm * 1.03;
  if (!hit.top) {
    // Each flat by how it faces the light.
    const double turn = std::atan2(hit.y, hit.x) - nut.turn_deg * kRadians;
    const double side = std::round(turn / (60 * kRadians)) * 60 * kRadians + nut.turn_deg * kRadians;
    const double facing = std::cos(side) * light_x + std::sin(side) * light_y;
    return {look.flange(nut.material, r * turn, hit.z) * (static_cast<float>(0.42 + 0.14 * facing) * lit),
            kNutSide, false};
  }
  if (nut_bore->where(hit.x, hit.y) == Rim::Where::Inside) {
    const double dx = ray.x / ray.z, dy = ray.y / ray.z;
    const auto depth = nut_bore->wall_depth(hit.x, hit.y, dx, dy);
    if (!depth) return {look.cavity(hit.x, hit.y) * lit, kFlangeDeep, false};
    const auto dim = static_cast<float>(0.35 * std::exp(-*depth / 14));
    return {look.flange(nut.material, hit.x, *depth) * (dim * lit), kFlangeBore, false};
  }
  // The stem's end, a groove of thread about it, the nut's face, its corners turned off.
  const double groove = std::abs(2 * r - nut.stem_mm);
  const float shade = groove < 1.2 ? 0.45F : r > chamfer ? 0.72F : 1.0F;
  return {look.flange(nut.material, hit.x, hit.y) * (shade * lit),
          groove < 1.2          ? kNutThread
          : r > chamfer         ? kNutChamfer
          : 2 * r < nut.stem_mm ? kNutStem
                                : kNutFace,
          false};
}

std::optional<Met> Tracer::Impl::body_at(const Body& body, const Hit& hit, Vec3 ray) const {
  switch (body.kind) {
    case Kind::Card:
      if (hit.top) return card_at(hit);
      return Met{Rgb{0.35F, 0.34F, 0.32F} * light(scene.card->x, scene.card->y), kSide, false};
    case Kind::Board:
      if (hit.top) return board_at(hit);
      return Met{look.paper(0.4) * light(scene.board->x, scene.board->y), kSide, false};
    case Kind::Rule: {
      const float lit = light(scene.rule->x, scene.rule->y);
      if (!hit.top) return Met{Rgb{0.14F, 0.14F, 0.15F} * lit, kSide, false};
      const Ink ink = rule->at(hit.x / scene.rule->scale, hit.y / scene.rule->scale);
      const Rgb colour = mix(look.steel(hit.x, hit.y), look.ink(), static_cast<float>(ink.share));
      return Met{colour * light(scene.rule->x + hit.x, scene.rule->y + hit.y), kSteel, ink.fine};
    }
    case Kind::Coin: {
      const double r = std::hypot(hit.x, hit.y);
      const float lit = light(scene.disc->x, scene.disc->y);
      const Rgb metal =
          look.coin(hit.top ? hit.x : std::atan2(hit.y, hit.x) * r, hit.top ? hit.y : hit.z * 4);
      return Met{metal * (hit.top ? lit : 0.45F * lit), hit.top ? kCoin : kSide, false};
    }
    case Kind::Edge:
      return edge_at(hit);
    case Kind::Nut:
      return nut_at(hit, ray);
    case Kind::Flange:
      break;
  }
  return flange_at(hit, ray);
}

Tracer::Tracer(const Scene& scene, const Camera& camera) : impl_(std::make_unique<Impl>(scene, camera)) {}
Tracer::~Tracer() = default;

Met Tracer::at(double u, double v) const {
  const Vec3 from = impl_->eye.position(), ray = impl_->eye.ray(u, v);
  double nearest = std::numeric_limits<double>::infinity();
  std::optional<Met> met;
  for (const auto& body : impl_->bodies) {
    if (!body.screen.holds(u, v)) continue;
    const auto hit = body.meet(from, ray);
    if (!hit || hit->t >= nearest) continue;
    if (auto seen = impl_->body_at(body, *hit, ray)) {
      met = seen;
      nearest = hit->t;
    }
  }
  if (met) return *met;
  const double t = (impl_->ground - from.z) / ray.z;
  return impl_->ground_at(from + ray * t, ray);
}

}  // namespace spile::scenes
