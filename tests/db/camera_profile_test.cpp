// Calibrated lenses in the logbook: kept whole, never edited, undone and redone like everything else.
#include <gtest/gtest.h>

#include "fixture.hpp"

namespace spile::db::test {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

model::CameraProfile profile() {
  model::CameraProfile p;
  p.camera = "Testcam S1";
  p.focal_mm = 4.3;
  p.focal_35mm = 28;
  p.width_px = 4000;
  p.height_px = 3000;
  p.focal_px = 3212.25;
  p.u_log_focal = 0.0012;
  p.k1 = -0.081;
  p.u_k1 = 0.004;
  p.k2 = 0.0225;
  p.u_k2 = 0.011;
  p.k_correlation = -0.93;
  p.centre_x_px = 2004.5;
  p.centre_y_px = 1490.25;
  p.u_centre_px = 2.5;
  p.photos = 9;
  p.rms_px = 0.21;
  p.reach = 0.84;
  p.date = "2026-04-12";
  p.note = "a.jpg left out: the board bent.";
  return p;
}

class CameraProfiles : public testing::Test {
 protected:
  model::CameraProfileId add(const model::CameraProfile& p) {
    model::CameraProfileId id;
    ok(store_.edit("Calibrate", [&](Edit& edit) { id = edit.add_camera_profile(p); }));
    return id;
  }

  TempFolder temp_{fast_place()};
  Store store_ = ok(Store::create(temp_.logbook()));
};

TEST_F(CameraProfiles, ComeBackAsTheyWere) {
  const auto id = add(profile());
  const auto read = ok(store_.camera_profiles());
  ASSERT_THAT(read, SizeIs(1));
  const auto &a = read[0], b = profile();
  EXPECT_EQ(a.id, id);
  EXPECT_EQ(a.camera, b.camera);
  EXPECT_EQ(a.focal_mm, b.focal_mm);
  EXPECT_EQ(a.focal_35mm, b.focal_35mm);
  EXPECT_EQ(a.digital_zoom, b.digital_zoom);
  EXPECT_EQ(a.width_px, b.width_px);
  EXPECT_EQ(a.height_px, b.height_px);
  EXPECT_EQ(a.focal_px, b.focal_px);
  EXPECT_EQ(a.u_log_focal, b.u_log_focal);
  EXPECT_EQ(a.k1, b.k1);
  EXPECT_EQ(a.u_k1, b.u_k1);
  EXPECT_EQ(a.k2, b.k2);
  EXPECT_EQ(a.u_k2, b.u_k2);
  EXPECT_EQ(a.k_correlation, b.k_correlation);
  EXPECT_EQ(a.centre_x_px, b.centre_x_px);
  EXPECT_EQ(a.centre_y_px, b.centre_y_px);
  EXPECT_EQ(a.u_centre_px, b.u_centre_px);
  EXPECT_EQ(a.photos, b.photos);
  EXPECT_EQ(a.rms_px, b.rms_px);
  EXPECT_EQ(a.reach, b.reach);
  EXPECT_EQ(a.date, b.date);
  EXPECT_EQ(a.note, b.note);
  expect_whole(store_);
}

TEST_F(CameraProfiles, OneFocalLengthMayBeUnknown) {
  auto p = profile();
  p.focal_mm.reset();
  add(p);
  EXPECT_FALSE(ok(store_.camera_profiles())[0].focal_mm);
}

TEST_F(CameraProfiles, AreRemovedUndoneAndRedone) {
  const auto id = add(profile());
  ok(store_.edit("Remove", [&](Edit& edit) { edit.remove_camera_profile(id); }));
  EXPECT_THAT(ok(store_.camera_profiles()), IsEmpty());
  ok(store_.undo());
  EXPECT_EQ(ok(store_.camera_profiles()).at(0).id, id);
  ok(store_.undo());
  EXPECT_THAT(ok(store_.camera_profiles()), IsEmpty());
  ok(store_.redo());
  EXPECT_EQ(ok(store_.camera_profiles()).at(0).focal_px, profile().focal_px);
  expect_whole(store_);
}

TEST_F(CameraProfiles, ThatAreGoneCannotBeRemoved) {
  const auto done = store_.edit("Remove", [](Edit& edit) { edit.remove_camera_profile({7}); });
  EXPECT_EQ(code_of(done), ErrorCode::NotFound);
  EXPECT_THAT(done.error().what, HasSubstr("camera profile"));
}

TEST_F(CameraProfiles, WithoutSenseAreRefusedInPlainWords) {
  const auto refused = [&](const auto& change, const char* words) {
    auto p = profile();
    change(p);
    const auto done = store_.edit("Calibrate", [&](Edit& edit) { edit.add_camera_profile(p); });
    ASSERT_FALSE(done);
    EXPECT_THAT(done.error().what, HasSubstr(words));
  };
  using P = model::CameraProfile;
  refused([](P& p) { p.camera.clear(); }, "names its camera");
  refused([](P& p) { p.focal_mm = p.focal_35mm = std::nullopt; }, "needs a focal length");
  refused([](P& p) { p.u_k1 = 0; }, "more than 0");
  refused([](P& p) { p.k_correlation = 1; }, "between -1 and 1");
  refused([](P& p) { p.date = "2026-02-30"; }, "day of the calendar");
  EXPECT_THAT(ok(store_.camera_profiles()), IsEmpty());
}

}  // namespace
}  // namespace spile::db::test
