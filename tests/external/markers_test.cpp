// The card's markers and plane beside libapriltag (family 36h11) and cv::findHomography, on the same
// pictures.
#include <apriltag/apriltag.h>
#include <apriltag/tag36h11.h>
#include <gtest/gtest.h>

#include <map>
#include <memory>

#include "card_pixels.hpp"

namespace spile::external {
namespace {

using vision::Point2;
using vision::Point3;

struct Tag {
  std::array<Point2, 4> corners;
  Point2 middle;
};

// Corners of every tag, with pixel centres at whole numbers: libapriltag has them at a half.
std::map<int, Tag> tags_of(const cv::Mat& grey) {
  const std::unique_ptr<apriltag_family_t, void (*)(apriltag_family_t*)> family(tag36h11_create(),
                                                                                tag36h11_destroy);
  const std::unique_ptr<apriltag_detector_t, void (*)(apriltag_detector_t*)> detector(
      apriltag_detector_create(), apriltag_detector_destroy);
  apriltag_detector_add_family(detector.get(), family.get());
  detector->quad_decimate = 1;
  cv::Mat copy = grey.clone();
  image_u8_t image{copy.cols, copy.rows, static_cast<std::int32_t>(copy.step[0]), copy.data};
  const std::unique_ptr<zarray_t, void (*)(zarray_t*)> found(apriltag_detector_detect(detector.get(), &image),
                                                             apriltag_detections_destroy);
  std::map<int, Tag> out;
  for (int i = 0; i < zarray_size(found.get()); ++i) {
    apriltag_detection_t* seen = nullptr;
    zarray_get(found.get(), i, &seen);
    Tag tag;
    for (std::size_t k = 0; k < 4; ++k) tag.corners.at(k) = Point2(seen->p[k][0] - 0.5, seen->p[k][1] - 0.5);
    tag.middle = Point2(seen->c[0] - 0.5, seen->c[1] - 0.5);
    out[seen->id] = tag;
  }
  return out;
}

// Middle of the marker with an id, mm, as the card is read.
Point2 middle_of(const vision::testing::CardScene& s, int id) {
  return {(id == 0 || id == 3 ? -1 : 1) * s.rect_w / 2, (id < 2 ? 1 : -1) * s.rect_h / 2};
}

std::array<Point2, 4> corners_mm(const vision::testing::CardScene& s, int id) {
  const Point2 c = middle_of(s, id);
  const double h = s.marker_mm / 2;
  return {c + Point2(-h, h), c + Point2(h, h), c + Point2(h, -h), c + Point2(-h, -h)};
}

double nearest(const std::array<Point2, 4>& corners, const Point2& p) {
  double best = 1e9;
  for (const Point2& c : corners) best = std::min(best, (c - p).norm());
  return best;
}

class Markers : public ::testing::TestWithParam<double> {
 protected:
  void SetUp() override {
    scene_.tilt_deg = GetParam();
    scene_.azimuth_deg = 40 + 3 * GetParam();
    scene_.dictionary = cv::aruco::DICT_APRILTAG_36h11;
    pixels_ = pixels_of(scene_);
  }
  // The scene's markers are filled dots of its texture: they reach half a dot beyond their first, to the left
  // and upwards.
  [[nodiscard]] Point2 truth(const Point2& mm) const {
    constexpr double kHalfDot = 0.5 / vision::testing::kTexturePerMm;
    const cv::Point2d p = vision::testing::pixel_of(scene_, mm.x() - kHalfDot, mm.y() + kHalfDot);
    return {p.x, p.y};
  }
  vision::testing::CardScene scene_;
  std::unique_ptr<vision::Picture::Pixels> pixels_;
};

// Its middles are free of the tone curve's error, which moves all four sides alike; its corners are not, and
// may lie a pixel off (it works on coded values).
TEST_P(Markers, LieWhereLibapriltagSeesThem) {
  const auto ours = vision::find_card(*pixels_, vision::CardReference{}, {});
  ASSERT_TRUE(ours) << ours.error().reason;
  const auto theirs = tags_of(pixels_->grey);
  ASSERT_EQ(theirs.size(), 4u);
  double square_ours = 0, square_theirs = 0;
  for (int id = 0; id < 4; ++id) {
    const Tag& tag = theirs.at(id);
    const Point2 mm = middle_of(scene_, id);
    const Point2 px = ours->plane.px_from_mm(Point3(mm.x(), mm.y(), 0));
    EXPECT_LT((px - tag.middle).norm(), 0.15) << "marker " << id;
    for (const Point2& corner : corners_mm(scene_, id)) {
      const Point2 at = ours->plane.px_from_mm(Point3(corner.x(), corner.y(), 0));
      EXPECT_LT(nearest(tag.corners, at), 1.3) << "marker " << id;
      square_ours += (at - truth(corner)).squaredNorm() / 16;
      square_theirs += std::pow(nearest(tag.corners, truth(corner)), 2) / 16;
    }
  }
  EXPECT_LT(std::sqrt(square_ours), 0.1);
  EXPECT_LT(square_ours, square_theirs) << "edges fitted in light should beat edges of coded values";
}

// A homography through the middles that libapriltag sees, by OpenCV, maps what our plane maps.
TEST_P(Markers, PlaneAgreesWithFindHomographyOverLibapriltag) {
  const auto ours = vision::find_card(*pixels_, vision::CardReference{}, {});
  ASSERT_TRUE(ours) << ours.error().reason;
  std::vector<cv::Point2d> mm, px;
  for (const auto& [id, tag] : tags_of(pixels_->grey)) {
    mm.emplace_back(middle_of(scene_, id).x(), middle_of(scene_, id).y());
    px.emplace_back(tag.middle.x(), tag.middle.y());
  }
  ASSERT_EQ(mm.size(), 4u);
  const cv::Mat h = cv::findHomography(mm, px);
  for (const Point2& p : {Point2(0, 0), Point2(-30, 15), Point2(25, -20), Point2(45, 5)}) {
    std::vector<cv::Point2d> theirs;
    cv::perspectiveTransform(std::vector<cv::Point2d>{{p.x(), p.y()}}, theirs, h);
    const Point2 at = ours->plane.px_from_mm(Point3(p.x(), p.y(), 0));
    EXPECT_NEAR(at.x(), theirs[0].x, 0.3);
    EXPECT_NEAR(at.y(), theirs[0].y, 0.3);
  }
}

INSTANTIATE_TEST_SUITE_P(Tilts, Markers, ::testing::Values(3.0, 20.0, 40.0));

}  // namespace
}  // namespace spile::external
