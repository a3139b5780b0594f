// Jobs: order, progress, cancel, steps on the owner's thread, and what happens when work throws.
#include "app/jobs.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <latch>
#include <stdexcept>
#include <thread>
#include <vector>

namespace spile::app {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(Jobs, RunInTheOrderTheyWereAskedFor) {
  Jobs jobs;
  std::vector<int> done;
  for (int i = 0; i < 20; ++i)
    jobs.start("job", [&done, i](Progress&) { return [&done, i] { done.push_back(i); }; });
  jobs.wait_idle();
  std::vector<int> expected;
  for (int i = 0; i < 20; ++i) expected.push_back(i);
  EXPECT_EQ(done, expected);
  EXPECT_TRUE(jobs.idle());
}

TEST(Jobs, WorkRunsBesideAndDoneOnTheOwnersThread) {
  Jobs jobs;
  const auto owner = std::this_thread::get_id();
  std::thread::id work;
  std::thread::id done;
  jobs.start("job", [&](Progress&) {
    work = std::this_thread::get_id();
    return [&] { done = std::this_thread::get_id(); };
  });
  jobs.wait_idle();
  EXPECT_NE(work, owner);
  EXPECT_EQ(done, owner);
}

TEST(Jobs, NothingIsHandedOverBeforePump) {
  std::latch worked(1);
  Jobs jobs;
  bool done = false;
  jobs.start("job", [&](Progress&) {
    worked.count_down();
    return [&] { done = true; };
  });
  worked.wait();
  while (!jobs.status().empty()) std::this_thread::yield();
  EXPECT_FALSE(done);
  EXPECT_FALSE(jobs.idle());
  jobs.pump();
  EXPECT_TRUE(done);
  EXPECT_TRUE(jobs.idle());
}

TEST(Jobs, StepsHandedOverComeInOrderBeforeDone) {
  Jobs jobs;
  std::vector<std::string> steps;
  jobs.start("job", [&](Progress& progress) {
    for (int i = 0; i < 50; ++i) progress.hand_over([&steps, i] { steps.push_back(std::to_string(i)); });
    return [&] { steps.emplace_back("done"); };
  });
  jobs.wait_idle();
  ASSERT_EQ(steps.size(), 51U);
  for (std::size_t i = 0; i < 50; ++i) EXPECT_EQ(steps[i], std::to_string(i));
  EXPECT_EQ(steps.back(), "done");
}

TEST(Jobs, AFastWorkerWaitsForItsSteps) {
  Jobs jobs;
  std::atomic<int> ahead = 0;
  int most = 0;
  jobs.start("job", [&](Progress& progress) {
    for (int i = 0; i < 30; ++i) {
      ++ahead;
      progress.hand_over([&] { most = std::max(most, ahead--); });
    }
    return Jobs::Done();
  });
  while (!jobs.idle()) {
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
    jobs.pump();
  }
  EXPECT_LE(most, 6);  // four waiting, one being asked for, one being run
}

TEST(Jobs, ProgressIsSeenFromOutside) {
  Jobs jobs;
  std::latch told(1);
  std::latch seen(1);
  const auto id = jobs.start("Import photos", [&](Progress& progress) {
    progress.at("Measuring a.jpg", 3, 11);
    told.count_down();
    seen.wait();
    return Jobs::Done();
  });
  jobs.start("waiting", [](Progress&) { return Jobs::Done(); });
  told.wait();
  const auto status = jobs.status();
  seen.count_down();
  ASSERT_EQ(status.size(), 2U);
  EXPECT_EQ(status[0].id, id);
  EXPECT_EQ(status[0].name, "Import photos");
  EXPECT_EQ(status[0].stage, "Measuring a.jpg");
  EXPECT_EQ(status[0].done, 3);
  EXPECT_EQ(status[0].total, 11);
  EXPECT_TRUE(status[0].running);
  EXPECT_FALSE(status[1].running);
  jobs.wait_idle();
}

TEST(Jobs, CancelReachesRunningAndWaitingWork) {
  Jobs jobs;
  std::latch started(1);
  int cancelled = 0;
  const auto until_cancelled = [&](Progress& progress) {
    started.count_down();
    while (!progress.cancelled()) std::this_thread::yield();
    return [&] { ++cancelled; };
  };
  const auto running = jobs.start("running", until_cancelled);
  const auto waiting = jobs.start("waiting", [&](Progress& progress) {
    const bool was = progress.cancelled();
    return [&, was] { cancelled += was ? 1 : 0; };
  });
  started.wait();
  jobs.cancel(waiting);
  jobs.cancel(running);
  jobs.wait_idle();
  EXPECT_EQ(cancelled, 2);
}

TEST(Jobs, AnExceptionBecomesAMessageAndTheOthersGoOn) {
  Jobs jobs;
  bool after = false;
  jobs.start("Measure a.jpg", [](Progress&) -> Jobs::Done { throw std::runtime_error("matrix is empty"); });
  jobs.start("Measure b.jpg",
             [](Progress&) -> Jobs::Done { return [] { throw std::runtime_error("late"); }; });
  jobs.start("Measure c.jpg", [&](Progress&) { return [&] { after = true; }; });
  jobs.wait_idle();
  EXPECT_TRUE(after);
  const auto failures = jobs.take_failures();
  ASSERT_EQ(failures.size(), 2U);
  EXPECT_EQ(failures[0].name, "Measure a.jpg");
  EXPECT_THAT(failures[0].error.what, HasSubstr("Measure a.jpg"));
  EXPECT_THAT(failures[0].error.what, testing::Not(HasSubstr("matrix")));  // for people
  EXPECT_EQ(failures[0].error.detail, "matrix is empty");                  // for the log
  EXPECT_EQ(failures[1].name, "Measure b.jpg");
  EXPECT_THAT(jobs.take_failures(), IsEmpty());
}

TEST(Jobs, ADoneStepMayStartAnotherJob) {
  Jobs jobs;
  std::vector<int> order;
  jobs.start("first", [&](Progress&) {
    return [&] {
      order.push_back(1);
      jobs.start("second", [&](Progress&) { return [&] { order.push_back(2); }; });
    };
  });
  jobs.wait_idle();
  EXPECT_THAT(order, ElementsAre(1, 2));
}

TEST(Jobs, GoingAwayStopsTheWorkAndRunsNoMoreSteps) {
  bool done = false;
  std::latch started(1);
  {
    Jobs jobs;
    jobs.start("long", [&](Progress& progress) {
      started.count_down();
      while (!progress.cancelled()) std::this_thread::yield();
      for (int i = 0; i < 10; ++i) progress.hand_over([&] { done = true; });  // must not wait for a pump
      return [&] { done = true; };
    });
    jobs.start("never", [&](Progress&) { return [&] { done = true; }; });
    started.wait();
  }
  EXPECT_FALSE(done);
}

TEST(Jobs, WakeIsCalledWhenThereIsSomethingToPump) {
  std::atomic<int> woken = 0;
  Jobs jobs([&] { ++woken; });
  jobs.start("job", [](Progress&) { return [] {}; });
  jobs.wait_idle();
  const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(10);
  while (woken == 0 && std::chrono::steady_clock::now() < deadline) std::this_thread::yield();
  EXPECT_GE(woken, 1);
}

}  // namespace
}  // namespace spile::app
