// The photos with known truth must themselves be true: geometry against closed forms, coding against its
// standard, files against independent readers.

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <opencv2/aruco.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "scenes/develop.hpp"
#include "scenes/draw.hpp"
#include "scenes/geometry.hpp"
#include "scenes/recipe.hpp"

namespace spile::scenes {
namespace {

// A camera that adds nothing to the geometry.
Camera clean(int width = 800, int height = 600) {
  Camera camera;
  camera.width_px = width;
  camera.height_px = height;
  camera.focal_px = 900;
  camera.distance_mm = 200;
  camera.blur_px = camera.noise = camera.sharpening = camera.vignetting = 0;
  camera.jpeg_quality = 98;
  return camera;
}

// Light of pixel (x, y), green.
class Seen {
 public:
  Seen(const Scene& scene, const Camera& camera) : width_(camera.width_px), light_(trace(scene, camera)) {}
  [[nodiscard]] double at(int x, int y) const {
    return static_cast<double>(light_[3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
                                           static_cast<std::size_t>(x)) +
                                      1]);
  }
  [[nodiscard]] double near(Pixel p) const {
    return at(static_cast<int>(std::lround(p.x)), static_cast<int>(std::lround(p.y)));
  }

 private:
  int width_;
  std::vector<float> light_;
};

double polygon_area(const std::vector<Pixel>& points) {
  double twice = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto &a = points[i], &b = points[(i + 1) % points.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return std::abs(twice) / 2;
}

cv::Mat decoded(const Photo& photo, int flags = cv::IMREAD_COLOR) {
  return cv::imdecode(photo.jpeg, flags);
}

RC_GTEST_PROP(Pinhole, RaysAndProjectionAreInverse, ()) {
  Camera camera = clean();
  const auto from = [](int lo, int hi) { return *rc::gen::inRange(lo * 1000, hi * 1000) / 1000.0; };
  camera.tilt_deg = from(0, 55);
  camera.azimuth_deg = from(0, 360);
  camera.roll_deg = from(0, 360);
  camera.distance_mm = from(120, 900);
  camera.k1 = from(-60, 60) / 1000;
  camera.k2 = from(-15, 15) / 1000;
  camera.axis_x_px = from(-9, 9);
  camera.axis_y_px = from(-9, 9);
  camera.look_x = from(-40, 40);
  const Pinhole eye(camera, true);
  const double u = from(0, 799), v = from(0, 599);
  const Vec3 ray = eye.ray(u, v);
  RC_PRE(ray.z > 0.2);
  const Vec3 point = eye.position() + ray * (-eye.position().z / ray.z);
  const Pixel back = eye.project(point);
  RC_ASSERT(std::hypot(back.x - u, back.y - v) < 1e-3);
}

TEST(Pinhole, TiltAndDistanceAreWhatTheySay) {
  // Closed form: the axis meets the surface at the stated distance, under the stated angle.
  Camera camera = clean();
  camera.tilt_deg = 30;
  camera.azimuth_deg = 90;
  camera.look_x = 12;
  const Pinhole eye(camera, true);
  const Vec3 axis = eye.ray(399.5, 299.5);
  EXPECT_NEAR(axis.z / std::sqrt(axis.x * axis.x + axis.y * axis.y + axis.z * axis.z),
              std::cos(std::numbers::pi / 6), 1e-9);
  EXPECT_NEAR(eye.position().z, -200 * std::cos(std::numbers::pi / 6), 1e-9);
  EXPECT_NEAR(eye.position().y, 200 * std::sin(std::numbers::pi / 6), 1e-9);
  const Pixel centre = project(camera, 12, 0, 0);
  EXPECT_NEAR(centre.x, 399.5, 1e-9);
  EXPECT_NEAR(centre.y, 299.5, 1e-9);
}

// Pixels covered by whatever is not hull. What is seen through the hole is the same for a white and a dark
// hull, so their difference counts the hull alone.
double not_hull(Scene scene, const Camera& camera) {
  const auto difference = [&](Scene s) {
    s.hull = Hull::White;
    std::vector<float> light = trace(s, camera);
    s.hull = Hull::Dark;
    const std::vector<float> dark = trace(s, camera);
    for (std::size_t i = 0; i < light.size(); ++i) light[i] -= dark[i];
    return light;
  };
  const std::vector<float> with = difference(scene);
  scene.holes.clear();
  const std::vector<float> without = difference(scene);
  double covered = 0;
  for (std::size_t i = 1; i < with.size(); i += 3) covered += 1 - static_cast<double>(with[i] / without[i]);
  return covered;
}

Scene with_hole(double diameter, double ovality) {
  Hole hole;
  hole.diameter_mm = diameter;
  hole.ovality_pct = ovality;
  hole.major_at_deg = 20;
  hole.skin_mm = hole.roughness_mm = 0;
  Scene scene;
  scene.holes = {hole};
  return scene;
}

TEST(Tracer, CoversExactlyTheProjectedHole) {
  for (const double tilt : {0.0, 35.0}) {
    const Scene scene = with_hole(50, 4);
    Camera camera = clean();
    camera.tilt_deg = tilt;
    camera.azimuth_deg = 40;
    // 72 chords instead of the curve lose (2 pi / 72)^2 / 6 of the area.
    const double area = polygon_area(truth_of(scene, camera).holes[0].rim_px) *
                        (1 + std::pow(2 * std::numbers::pi / 72, 2) / 6);
    const double radius = std::sqrt(area / std::numbers::pi);
    EXPECT_NEAR(std::sqrt(not_hull(scene, camera) / std::numbers::pi), radius, 0.01) << "tilt " << tilt;
  }
}

TEST(Tracer, PlacesStraightEdgesToAHundredthOfAPixel) {
  // A marker's black border against white paper, square to the pixels: the share of black in a row.
  Scene scene;
  scene.card = Card{};
  scene.card->face_height_mm = 0;
  Camera camera = clean();
  camera.look_x = 0.0137;  // so that edges do not fall on pixel borders
  const Seen seen(scene, camera);
  const auto corners = truth_of(scene, camera).marker_corners.at(0);
  const int row =
      static_cast<int>(corners[0].y + 4);  // within the black border: 20 mm / 6 at 4.5 px a mm is 15 px
  const double white = seen.at(static_cast<int>(corners[0].x) - 6, row);
  const double black = seen.at(static_cast<int>(corners[0].x) + 6, row);
  double covered = 0;
  for (int x = static_cast<int>(corners[0].x) - 6; x <= static_cast<int>(corners[1].x) + 6; ++x)
    covered += (white - seen.at(x, row)) / (white - black);
  EXPECT_NEAR(covered, corners[1].x - corners[0].x, 0.02);
}

TEST(Tracer, ShowsTheFarRimWhereParallaxPutsIt) {
  // Closed form: the far rim is the near one, `depth` deeper.
  Scene scene;
  Hole hole;
  hole.diameter_mm = 60;
  hole.depth_mm = 15;
  hole.roughness_mm = 0;
  scene.holes = {hole};
  Camera camera = clean();
  camera.tilt_deg = 30;
  camera.azimuth_deg = 0;  // stands on +x, so the wall at -x is seen
  const Seen seen(scene, camera);
  const double wall = seen.near(project(camera, -30, 0, 14.5));
  const double cavity = seen.near(project(camera, -29.3, 0, 15));
  EXPECT_GT(wall, 3 * cavity);
  const double hidden = seen.near(project(camera, 29, 0, 0));  // on +x the wall is behind the rim
  EXPECT_LT(hidden, wall / 2);
}

TEST(Tracer, RoughnessLeavesTheMeanDiameterAlone) {
  Scene scene = with_hole(60, 0);
  const Camera camera = clean();
  const double smooth = not_hull(scene, camera);
  scene.holes[0].roughness_mm = 0.05;
  // The area changes by less than 0.003 mm on the radius of 30.
  EXPECT_NEAR(not_hull(scene, camera) / smooth, 1, 2 * 0.003 / 30);
}

TEST(Tracer, PutsRuleMarksAtTheirMillimetres) {
  Scene scene;
  scene.rule = Rule{};
  scene.rule->x = -50;
  scene.rule->y = 0;
  Camera camera = clean(1600, 600);
  camera.focal_px = 1800;
  const Seen seen(scene, camera);
  for (int i = 5; i < 80; ++i) {
    const double at = -50 + i, z = -scene.rule->thickness_mm;
    EXPECT_LT(seen.near(project(camera, at, 2, z)), 0.6 * seen.near(project(camera, at + 0.5, 2, z)))
        << i << " mm";
  }
}

TEST(Tracer, StacksLayersAtTheirThicknesses) {
  Scene scene;
  scene.edge = CutEdge{};
  scene.edge->layers = {{"gelcoat", 1}, {"laminate", 4}, {"core", 15}, {"laminate", 3}};
  scene.edge->waviness_mm = 0;
  scene.edge->x = -11;
  scene.edge->y = -30;
  const Camera camera = clean();
  const Truth truth = truth_of(scene, camera);
  EXPECT_NEAR(truth.edge->thickness_mm, 23, 1e-9);
  EXPECT_EQ(truth.edge->construction, "sandwich");
  ASSERT_EQ(truth.edge->boundaries_px.size(), 10U);
  const Seen seen(scene, camera);
  const auto mean = [&](double through) {
    double sum = 0;
    for (int i = 0; i < 50; ++i) sum += seen.near(project(camera, -11 + through, -25 + i, 0));
    return sum / 50;
  };
  EXPECT_GT(mean(0.5), 2 * mean(3));      // gelcoat is bright beside laminate
  EXPECT_GT(mean(5.4), 1.4 * mean(4.6));  // core begins at 5 mm
  EXPECT_LT(mean(20.4), mean(19.6) / 1.4);
}

TEST(Develop, CodesAsTheStandardSays) {
  // IEC 61966-2-1: the knee at 0.0031308 / 0.04045, and mid grey 0.5 coded is 0.2140 linear.
  EXPECT_NEAR(srgb(0.0031308), 0.04045, 1e-5);
  EXPECT_NEAR(srgb(0.2140411), 0.5, 1e-5);
  EXPECT_NEAR(srgb(1), 1, 1e-12);
}

TEST(Develop, BlursInLinearLightByTheStatedSigma) {
  // The edge of a blurred step between 0.1 and 0.9 passes 15.87 % and 84.13 % of the way one sigma off the
  // middle.
  cv::Mat light(21, 200, CV_32FC3, cv::Scalar::all(0.1));
  light.colRange(100, 200).setTo(cv::Scalar::all(0.9));
  Camera camera = clean(200, 21);
  camera.blur_px = 3;
  const cv::Mat image = develop(light, camera);
  const auto linear_at = [&](double x) {
    const auto value = [&](int i) {
      const double v = image.at<cv::Vec3b>(10, i)[1] / 255.0;
      return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
    };
    const int i = static_cast<int>(x);
    return value(i) + (value(i + 1) - value(i)) * (x - i);
  };
  EXPECT_NEAR((linear_at(99.5) - 0.1) / 0.8, 0.5, 0.01);
  EXPECT_NEAR((linear_at(96.5) - 0.1) / 0.8, 0.1587, 0.01);
  EXPECT_NEAR((linear_at(102.5) - 0.1) / 0.8, 0.8413, 0.01);
}

TEST(Develop, AddsTheStatedNoise) {
  const cv::Mat light(300, 300, CV_32FC3, cv::Scalar::all(0.2));
  Camera camera = clean(300, 300);
  camera.noise = 4;
  cv::Scalar mean, sd;
  cv::meanStdDev(develop(light, camera), mean, sd);
  EXPECT_NEAR(sd[1], 4, 0.1);
  EXPECT_NEAR(mean[1], 255 * srgb(0.2), 0.3);
}

TEST(Photo, MarkersAreFoundWhereTheTruthPutsThem) {
  // Outside: OpenCV's marker finder.
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    Priors priors;
    priors.tilt_deg = {0, 30};
    const Drawn drawn = draw(Kind::HoleWithCard, seed, priors);
    const Photo photo = take(drawn.scene, drawn.camera);
    const cv::Mat image = decoded(photo);
    ASSERT_EQ(image.cols, drawn.camera.width_px);
    ASSERT_EQ(image.rows, drawn.camera.height_px);
    std::vector<int> ids;
    std::vector<std::vector<cv::Point2f>> corners;
    cv::aruco::detectMarkers(image, cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50), corners, ids);
    ASSERT_THAT(ids, ::testing::UnorderedElementsAre(0, 1, 2, 3)) << "seed " << seed;
    for (std::size_t i = 0; i < 4; ++i)
      for (std::size_t c = 0; c < 4; ++c) {
        const Pixel truth = photo.truth.marker_corners.at(static_cast<std::size_t>(ids[i])).at(c);
        EXPECT_NEAR(corners[i][c].x, truth.x, 2.5) << "seed " << seed << " marker " << ids[i];
        EXPECT_NEAR(corners[i][c].y, truth.y, 2.5) << "seed " << seed << " marker " << ids[i];
      }
  }
}

TEST(Photo, IsTheSameEveryTimeAndAnotherForAnotherSeed) {
  const Drawn drawn = draw(Kind::HoleWithCard, 5);
  const Photo first = take(drawn.scene, drawn.camera), again = take(drawn.scene, drawn.camera);
  EXPECT_EQ(first.jpeg, again.jpeg);
  const Drawn other = draw(Kind::HoleWithCard, 6);
  EXPECT_NE(first.jpeg, take(other.scene, other.camera).jpeg);
}

std::string exiftool(const std::filesystem::path& file, const std::string& tag) {
  std::string out;
  std::FILE* pipe = ::popen(("exiftool -s3 -n -" + tag + " '" + file.string() + "'").c_str(), "r");
  if (!pipe) return out;
  char buffer[256];
  while (std::fgets(buffer, sizeof buffer, pipe)) out += buffer;
  ::pclose(pipe);
  while (!out.empty() && out.back() == '\n') out.pop_back();
  return out;
}

TEST(Photo, CarriesDateOrientationAndFocalLength) {
  // Outside: exiftool.
  Scene scene;
  scene.card = Card{};
  for (const int orientation : {1, 3, 6, 8}) {
    Camera camera = clean(400, 300);
    camera.taken_at = "2026-04-12T10:21:05";
    camera.focal_35mm = 28;
    camera.exif_orientation = orientation;
    camera.distance_mm = 500;
    const Photo photo = take(scene, camera);
    const auto file =
        std::filesystem::temp_directory_path() / ("spile-exif-" + std::to_string(::getpid()) + ".jpg");
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(photo.jpeg.data()),
               static_cast<std::streamsize>(photo.jpeg.size()));
    EXPECT_EQ(exiftool(file, "DateTimeOriginal"), "2026:04:12 10:21:05");
    EXPECT_EQ(exiftool(file, "Orientation"), std::to_string(orientation));
    EXPECT_EQ(exiftool(file, "FocalLengthIn35mmFormat"), "28");
    EXPECT_EQ(exiftool(file, "ImageWidth"), orientation == 1 || orientation == 3 ? "400" : "300");
    std::filesystem::remove(file);
    // Turned by the tag it is upright again: same picture as without a turn, but for JPEG's blocks.
    const cv::Mat upright = decoded(photo);
    camera.exif_orientation = 1;
    const cv::Mat plain = decoded(take(scene, camera));
    ASSERT_EQ(upright.size(), plain.size());
    EXPECT_LT(cv::norm(upright, plain, cv::NORM_L1) / static_cast<double>(plain.total()), 3.0) << orientation;
  }
}

TEST(Draw, PutsHoleAndMarkersIntoThePicture) {
  for (const Kind kind : {Kind::HoleWithCard, Kind::HoleWithDisc, Kind::HoleWithRule, Kind::FlangeWithCard})
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
      const Drawn drawn = draw(kind, seed);
      const Truth truth = truth_of(drawn.scene, drawn.camera);
      const auto inside = [&](Pixel p) {
        return p.x > 0 && p.y > 0 && p.x < drawn.camera.width_px - 1 && p.y < drawn.camera.height_px - 1;
      };
      for (const auto& marker : truth.marker_corners)
        for (const auto& corner : marker) EXPECT_TRUE(inside(corner)) << "seed " << seed;
      for (const auto& hole : truth.holes)
        for (const auto& p : hole.rim_px) EXPECT_TRUE(inside(p)) << "seed " << seed;
      if (truth.flange) {
        for (const auto& p : truth.flange->rim_px) EXPECT_TRUE(inside(p)) << "seed " << seed;
      }
    }
}

TEST(Draw, FollowsItsPriors) {
  // 400 draws: the mean and spread of the hidden print scale, and the whole range of tilt, as stated.
  double sum = 0, squares = 0, lowest = 90, highest = 0;
  constexpr int kDraws = 400;
  for (int i = 0; i < kDraws; ++i) {
    const Drawn drawn = draw(Kind::HoleWithCard, static_cast<std::uint64_t>(i));
    const double off = drawn.scene.card->print_scale_x - 1;
    sum += off;
    squares += off * off;
    lowest = std::min(lowest, drawn.camera.tilt_deg);
    highest = std::max(highest, drawn.camera.tilt_deg);
  }
  EXPECT_NEAR(sum / kDraws, 0, 4 * 0.0007 / std::sqrt(kDraws));
  EXPECT_NEAR(std::sqrt(squares / kDraws), 0.0007, 0.0001);
  EXPECT_LT(lowest, 2);
  EXPECT_GT(highest, 43);
}

TEST(Recipe, ReadsWhatIsGivenAndRefusesSlips) {
  const auto good = read_recipes(R"({"pictures": [{"file": "a.jpg",
    "scene": {"hull": "timber", "holes": [{"diameter_mm": 31, "chips": [{"depth_mm": 2}]}], "card": {"x": 60}},
    "camera": {"tilt_deg": 12, "focal_35mm": 26}}]})");
  ASSERT_TRUE(good) << good.error().sentence();
  const Recipe& recipe = good->at(0);
  EXPECT_EQ(recipe.scene.hull, Hull::Timber);
  EXPECT_EQ(recipe.scene.holes.at(0).chips.at(0).depth_mm, 2);
  EXPECT_EQ(recipe.scene.card->x, 60);
  EXPECT_EQ(recipe.camera.focal_35mm, 26);
  for (const char* bad : {R"({"pictures": [{"file": "a.jpg", "camera": {"tilt": 12}}]})",
                          R"({"pictures": [{"file": "a.jpg", "scene": {"hull": "steel"}}]})",
                          R"({"pictures": [{"file": "a.jpg", "scene": {"holes": 3}}]})", "{", "{}"}) {
    const auto refused = read_recipes(bad);
    ASSERT_FALSE(refused) << bad;
    EXPECT_EQ(refused.error().code, ErrorCode::BadInput);
  }
}

}  // namespace
}  // namespace spile::scenes
