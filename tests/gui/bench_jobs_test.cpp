// The bench and its jobs: answers that come too late, jobs that break off, photos that are only passed by. A
// gate holds the worker, so that every order of events is the test's own.
#include <gmock/gmock.h>
#include <stdlib.h>

#include <filesystem>
#include <future>

#include "gui/bench.hpp"
#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

class BenchJobs : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (std::filesystem::temp_directory_path() / "spile-bench-XXXXXX").string();
    folder_ = mkdtemp(pattern.data());
    auto made = app::Session::create(folder_ / "bench", app::Clock::stopped_at("2026-04-12T09:30:00Z"));
    ASSERT_TRUE(made) << made.error().sentence();
    session_.emplace(std::move(*made));
    app::ImportOptions options;
    options.measure = false;
    static_cast<void>(app::import_photos(
        *session_,
        {demo_photo("s01-hole-2026.jpg"), demo_photo("s02-hole-2026.jpg"), demo_photo("s04-hole-2026.jpg")},
        options));
    ASSERT_EQ(photos().size(), 3U);
  }
  void TearDown() override {
    session_.reset();
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  const std::vector<app::PhotoView>& photos() { return session_->snapshot().unfiled; }

  void hold() {
    gate_ = {};
    jobs_.start("Hold", [open = gate_.get_future().share()](app::Progress&) {
      open.wait();
      return app::Jobs::Done();
    });
  }
  void let_go() {
    gate_.set_value();
    jobs_.wait_idle();
  }
  void load(std::size_t photo) {
    bench_.open(*session_, photos()[photo]);
    jobs_.wait_idle();
    ASSERT_EQ(bench_.state().load, BenchState::Load::Ready);
    uploads_.clear();
  }
  app::JobFailure last_job_breaks_off() {
    const app::JobStatus last = jobs_.status().back();
    return {last.id, last.name, Error{ErrorCode::Internal, "Memory ran out.", "Try again.", {}}};
  }

  std::filesystem::path folder_;
  std::optional<app::Session> session_;
  std::vector<Upload> uploads_;
  app::Jobs jobs_;
  Bench bench_{jobs_, uploads_};
  std::promise<void> gate_;  // last: a test that fails opens it
};

TEST_F(BenchJobs, PhotosOnlyPassedByAreNotDecoded) {
  hold();
  for (const app::PhotoView& photo : photos()) bench_.open(*session_, photo);
  const auto waiting = jobs_.status();
  ASSERT_EQ(waiting.size(), 4U);
  EXPECT_TRUE(waiting[1].cancelled);
  EXPECT_TRUE(waiting[2].cancelled);
  EXPECT_FALSE(waiting[3].cancelled);
  let_go();
  EXPECT_EQ(bench_.state().load, BenchState::Load::Ready);
  ASSERT_EQ(uploads_.size(), 1U);
  EXPECT_EQ(uploads_.front().key.photo, photos()[2].photo.id.value);
}

TEST_F(BenchJobs, ACancelledLoadSaysSoInsteadOfDecoding) {
  hold();
  std::optional<ErrorCode> answer;
  const auto job =
      app::start_load(jobs_, *session_, photos()[0].photo.id, [&](const Result<vision::Picture>& picture) {
        if (!picture) answer = picture.error().code;
      });
  jobs_.cancel(job);
  let_go();
  EXPECT_EQ(answer, ErrorCode::Cancelled);
}

TEST_F(BenchJobs, WhatWasForgottenWhileItLoadedStaysAway) {
  hold();
  bench_.open(*session_, photos()[0]);
  bench_.remember(photos()[0].use.id, {});
  bench_.forget();
  let_go();
  EXPECT_FALSE(bench_.state().use);
  EXPECT_FALSE(bench_.remembered(photos()[0].use.id));
  EXPECT_TRUE(uploads_.empty());
}

TEST_F(BenchJobs, AnAnswerPutAsideBeforeItCameStaysAway) {
  load(0);
  hold();
  bench_.measure();
  ASSERT_TRUE(bench_.state().measuring);
  bench_.discard();
  EXPECT_FALSE(bench_.state().measuring);
  let_go();
  EXPECT_FALSE(bench_.state().report);
  bench_.measure();
  jobs_.wait_idle();
  ASSERT_TRUE(bench_.state().report) << "asked again it answers";
  EXPECT_FALSE(bench_.state().report->refused);
}

TEST_F(BenchJobs, ALoadThatBreaksOffHasFailed) {
  hold();
  bench_.open(*session_, photos()[0]);
  bench_.failed(last_job_breaks_off());
  EXPECT_EQ(bench_.state().load, BenchState::Load::Failed);
  EXPECT_THAT(bench_.state().failure, testing::HasSubstr("Memory ran out"));
  let_go();
}

TEST_F(BenchJobs, AMeasuringThatBreaksOffCanBeAskedForAgain) {
  load(0);
  hold();
  bench_.measure();
  bench_.failed(last_job_breaks_off());
  EXPECT_FALSE(bench_.state().measuring);
  let_go();
  EXPECT_FALSE(bench_.state().report);
  bench_.measure();
  jobs_.wait_idle();
  EXPECT_TRUE(bench_.state().report);
}

}  // namespace
}  // namespace spile::gui
