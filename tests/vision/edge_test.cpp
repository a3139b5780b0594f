// A laminate's cut edge: drawn pictures with known truth, and the parts the reading is made of.
#include "vision/edge.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "scenes/draw.hpp"
#include "vision/coat_edges.hpp"
#include "vision/cut_face.hpp"
#include "vision/layers.hpp"
#include "vision/light.hpp"

namespace spile::vision {
namespace {

// ---- whole pictures -------------------------------------------------------------------------------------

struct Drawn {
  scenes::Photo photo;
  Report report;
};

Drawn drawn(scenes::Kind kind, std::uint64_t number) {
  const auto scene = scenes::draw(kind, number);
  Drawn out{scenes::take(scene.scene, scene.camera), {}};
  const auto picture = Picture::decode(out.photo.jpeg, "drawn.jpg");
  Request request;
  request.subject = Subject::Edge;
  if (kind == scenes::Kind::EdgeWithCard) request.reference = CardReference{};
  if (kind == scenes::Kind::EdgeWithRule) request.reference = RuleReference{};
  if (picture) out.report = measure(*picture, request);
  return out;
}

struct Numbered {
  scenes::Kind kind;
  std::uint64_t number;
};

// Truth: the scene's own numbers (tests/scenes). Each of these once gave an answer more than 4 % off: the
// piece's own side was taken for a part of its outer layer, or a flat panel for a plug.
class EdgeScene : public ::testing::TestWithParam<Numbered> {};

TEST_P(EdgeScene, SideOfThePieceIsNoPartOfItsThickness) {
  const Drawn seen = drawn(GetParam().kind, GetParam().number);
  ASSERT_TRUE(seen.report.edge);
  const auto& truth = *seen.photo.truth.edge;
  EXPECT_NEAR(seen.report.edge->thickness_mm, truth.thickness_mm, 0.01 * truth.thickness_mm + 0.1);
  EXPECT_EQ(seen.report.edge->construction, truth.construction);
  ASSERT_EQ(seen.report.edge->layers.size(), truth.layers.size());
  for (std::size_t i = 0; i < truth.layers.size(); ++i) {
    EXPECT_EQ(seen.report.edge->layers[i].kind, truth.layers[i].kind);
    EXPECT_NEAR(seen.report.edge->layers[i].thickness_mm, truth.layers[i].thickness_mm, 0.3);
  }
}

// ---- local thinning -------------------------------------------------------------------------------------

Drawn hollowed(std::uint64_t number, double by_mm, double share_along) {
  auto [scene, camera] = scenes::draw(scenes::Kind::EdgeWithRule, number);
  scene.edge->thin_mm = by_mm;
  scene.edge->thin_at_mm = share_along * scene.edge->length_mm;
  Drawn out{scenes::take(scene, camera), {}};
  const auto picture = Picture::decode(out.photo.jpeg, "drawn.jpg");
  Request request;
  request.subject = Subject::Edge;
  request.reference = RuleReference{};
  if (picture) out.report = measure(*picture, request);
  return out;
}

class HollowedEdge : public ::testing::TestWithParam<std::uint64_t> {};

TEST_P(HollowedEdge, ItsThinnestPlaceIsFoundWithAnIntervalThatHolds) {
  const Drawn seen = hollowed(GetParam(), 1.2, 0.6);
  ASSERT_TRUE(seen.report.edge);
  ASSERT_TRUE(seen.report.edge->thinnest);
  const Thinnest& thin = *seen.report.edge->thinnest;
  const auto& truth = *seen.photo.truth.edge;
  EXPECT_NEAR(thin.thickness_mm, truth.thinnest_mm, thin.u95_mm + 0.1);
  EXPECT_LT(thin.thickness_mm, seen.report.edge->thickness_mm - 0.5);
  const double mm_per_px = seen.report.reference->mm_per_px;
  const auto away = [&](const PixelPoint& p) {
    return std::hypot(p.x - truth.thinnest_px.x, p.y - truth.thinnest_px.y) * mm_per_px;
  };
  EXPECT_LT(std::min(away(thin.outer), away(thin.inner)), 4);
}

TEST_P(HollowedEdge, AnEvenOneHasNone) {
  const Drawn seen = hollowed(GetParam(), 0, 0.5);
  ASSERT_TRUE(seen.report.edge);
  EXPECT_FALSE(seen.report.edge->thinnest);
}

INSTANTIATE_TEST_SUITE_P(Drawn, HollowedEdge, ::testing::Values(7, 11, 12));

INSTANTIATE_TEST_SUITE_P(
    Drawn, EdgeScene,
    ::testing::Values(Numbered{scenes::Kind::EdgeWithCard, 302}, Numbered{scenes::Kind::EdgeWithCard, 304},
                      Numbered{scenes::Kind::EdgeWithCard, 320}, Numbered{scenes::Kind::EdgeWithRule, 303},
                      Numbered{scenes::Kind::EdgeWithRule, 310}, Numbered{scenes::Kind::EdgeWithRule, 317}));

// ---- reading one line -----------------------------------------------------------------------------------

// Colours as logarithms of red and blue over green, and of brightness: those of tests/scenes/surfaces.cpp.
constexpr Tint kBench{0.37F, -0.38F, -2.2F, true}, kCoat{0, -0.04F, -0.3F, true},
    kGlass{-0.07F, -0.5F, -1.4F, true}, kGlassSide{0.1F, -0.5F, -2.5F, true};

std::vector<Tint> line_of(std::initializer_list<std::pair<Tint, double>> stretches, double step) {
  std::vector<Tint> out;
  for (const auto& [tint, mm] : stretches) out.insert(out.end(), static_cast<std::size_t>(mm / step), tint);
  return out;
}

TEST(Layers, SideOfThePieceIsToldFromItsOuterLayerByItsShade) {
  constexpr double kStep = 0.125;
  const auto line = line_of({{kBench, 10}, {kCoat, 0.75}, {kGlass, 6}, {kGlassSide, 4}, {kBench, 10}}, kStep);
  const Backdrop bench{0.37, -0.38, 0.05, 0.05, 0.8};
  const auto reading = read_layers(line, kStep, bench, 60);
  ASSERT_TRUE(reading);
  ASSERT_EQ(reading->stretches.size(), 2u);
  EXPECT_TRUE(reading->side_after);
  EXPECT_FALSE(reading->side_before);
  EXPECT_NEAR(reading->stretches.back().to, 16.75, 0.15);
}

// ---- where the boundaries lie ---------------------------------------------------------------------------

// Two boundaries of a plug of radius r lying on its side, seen from `eye`: the ray through a point of the
// cylinder met with the plane of its crest.
std::vector<BoundaryPoint> plug_seen(double radius, double crest, const Point3& eye, double wave_mm) {
  std::vector<BoundaryPoint> out;
  for (double along = -15; along <= 15; along += 0.8) {
    const double sag = radius > 0 ? radius - std::sqrt(radius * radius - along * along) : 0;
    const double part = eye.z() / (eye.z() + sag);
    for (const std::size_t b : {0u, 1u}) {
      const double u = 20.0 + 15.0 * static_cast<double>(b), v = crest + along;
      const double wave = wave_mm * std::sin(v / 4 + 2 * static_cast<double>(b));
      out.push_back({b, eye.x() + (u - eye.x()) * part + wave, eye.y() + (v - eye.y()) * part});
    }
  }
  return out;
}

TEST(CutFace, PlugIsFoundByItsBentBoundariesAndWavyPanelIsNone) {
  const Point3 eye(-40, 30, 150);
  const auto plug = fit_cut_face(plug_seen(26, 20, eye, 0.01), 2, eye);
  ASSERT_TRUE(plug);
  ASSERT_TRUE(plug->plug_radius_mm);
  EXPECT_NEAR(*plug->plug_radius_mm, 26, 4);
  EXPECT_NEAR(plug->positions[1] - plug->positions[0], 15, 0.1);
  const auto panel = fit_cut_face(plug_seen(0, 20, eye, 0.08), 2, eye);
  ASSERT_TRUE(panel);
  EXPECT_FALSE(panel->plug_radius_mm);
  EXPECT_NEAR(panel->positions[1] - panel->positions[0], 15, 0.05);
}

// A coat of that width in linear light, blurred, cut off at white.
Profile coat_profile(double width, double blur, double dark, double coat, double glass) {
  Profile out;
  out.first = -12;
  const auto past = [&](double t, double edge) { return 0.5 * std::erfc((edge - t) / blur * M_SQRT1_2); };
  for (double t = -12; t <= 12; t += out.step)
    out.light.push_back(static_cast<float>(
        std::min(1.0, dark + (coat - dark) * past(t, -0.5 * width) + (glass - coat) * past(t, 0.5 * width))));
  return out;
}

TEST(CoatEdges, ThinCoatKeepsItsWidthThoughItsEdgesBlurIntoOneAnother) {
  for (const double width : {3.0, 4.0, 6.0}) {
    const auto edges =
        fit_coat_edges(coat_profile(width, 1.1, 0.1, 0.6, 0.22), -0.6 * width, 0.55 * width, 1.1);
    ASSERT_TRUE(edges);
    EXPECT_NEAR(edges->inner - edges->outer, width, 0.12 * width);
  }
}

TEST(CoatEdges, OverExposedCoatIsNotSureOfItsEdges) {
  const auto cut_off = fit_coat_edges(coat_profile(6, 0.9, 0.3, 1.5, 0.5), -3, 3, 0.9);
  const auto shown = fit_coat_edges(coat_profile(6, 0.9, 0.12, 0.6, 0.2), -3, 3, 0.9);
  ASSERT_TRUE(cut_off && shown);
  EXPECT_GT(cut_off->u_inner, 2 * shown->u_inner);
  EXPECT_NEAR(cut_off->inner, 3, 2 * cut_off->u_inner);
  EXPECT_NEAR(cut_off->outer, -3, 2 * cut_off->u_outer);
}

}  // namespace
}  // namespace spile::vision
