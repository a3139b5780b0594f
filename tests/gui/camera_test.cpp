// The way from picture to screen and back. No outside source: definitions of this window.
#include "gui/camera.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

namespace spile::gui {
namespace {

Camera camera() {
  Camera c;
  c.set_picture(4000, 3000);
  c.set_canvas({100, 50}, 800, 600);
  return c;
}

TEST(Camera, FitsThePictureIntoTheCanvasAtFirst) {
  const Camera c = camera();
  EXPECT_TRUE(c.fitted());
  EXPECT_DOUBLE_EQ(c.zoom(), 0.2);
  // The outer corner of the top-left pixel is half a pixel outside its centre.
  const auto corner = c.screen_from_image({-0.5, -0.5});
  EXPECT_NEAR(corner.x, 100, 1e-9);
  EXPECT_NEAR(corner.y, 50, 1e-9);
}

TEST(Camera, StaysFittedWhenTheCanvasChanges) {
  Camera c = camera();
  c.set_canvas({0, 0}, 400, 600);
  EXPECT_DOUBLE_EQ(c.zoom(), 0.1);
}

TEST(Camera, OneToOneShowsOnePixelAsOnePixel) {
  Camera c = camera();
  c.one_to_one();
  const auto a = c.screen_from_image({1000, 1000});
  const auto b = c.screen_from_image({1001, 1000});
  EXPECT_NEAR(b.x - a.x, 1, 1e-9);
}

TEST(Camera, CannotLoseThePicture) {
  Camera c = camera();
  c.one_to_one();
  c.pan(1e6, -1e6);
  const auto middle = c.image_from_screen(c.middle_of_canvas());
  EXPECT_GE(middle.x, 0);
  EXPECT_LE(middle.y, 2999);
}

RC_GTEST_PROP(CameraProperty, ZoomingKeepsThePointUnderTheCursor, ()) {
  Camera c = camera();
  const auto cursor_x = 100 + 8.0 * *rc::gen::inRange(20, 80);
  const auto cursor_y = 50 + 6.0 * *rc::gen::inRange(20, 80);
  c.zoom_around({cursor_x, cursor_y}, 3);
  const auto before = c.image_from_screen({cursor_x, cursor_y});
  c.zoom_around({cursor_x, cursor_y}, 1.0 + *rc::gen::inRange(1, 200) / 100.0);
  const auto after = c.image_from_screen({cursor_x, cursor_y});
  RC_ASSERT(std::abs(before.x - after.x) < 1e-6);
  RC_ASSERT(std::abs(before.y - after.y) < 1e-6);
}

RC_GTEST_PROP(CameraProperty, ScreenAndImageAreInverse, ()) {
  Camera c = camera();
  c.zoom_around({300, 300}, 1.0 + *rc::gen::inRange(0, 3000) / 100.0);
  c.pan(*rc::gen::inRange(-500, 500), *rc::gen::inRange(-500, 500));
  const model::PixelPoint p{static_cast<double>(*rc::gen::inRange(0, 4000)),
                            static_cast<double>(*rc::gen::inRange(0, 3000))};
  const auto back = c.image_from_screen(c.screen_from_image(p));
  RC_ASSERT(std::abs(back.x - p.x) < 1e-6);
  RC_ASSERT(std::abs(back.y - p.y) < 1e-6);
  RC_ASSERT(c.zoom() <= Camera::kMaxZoom);
}

}  // namespace
}  // namespace spile::gui
