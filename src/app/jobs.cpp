#include "app/jobs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <deque>
#include <exception>
#include <mutex>
#include <stop_token>
#include <thread>
#include <utility>

namespace spile::app {

namespace {

constexpr int kStepsAhead = 4;  // photos decoded but not stored yet; each holds its file's bytes

struct Job {
  JobStatus status;
  Jobs::Work work;
  std::atomic<bool> cancelled = false;
  int steps_pending = 0;
};
using JobPtr = std::shared_ptr<Job>;

struct Step {
  JobPtr job;
  std::function<void()> run;
};

Error went_wrong(const std::string& name, const char* detail) {
  return Error{ErrorCode::Internal,
               fmt::format("\"{}\" stopped because something unforeseen went wrong.", name),
               "What was stored before is safe; try again.", detail};
}

}  // namespace

struct Jobs::Impl {
  mutable std::mutex mutex;
  std::condition_variable_any changed;
  std::deque<JobPtr> queue;  // the front one is running
  std::deque<Step> steps;
  std::vector<JobFailure> failures;
  int steps_running = 0;  // a step may pump in its turn
  std::function<void()> wake;
  std::jthread worker;  // last: joins before anything it touches goes

  void notify() {
    changed.notify_all();
    if (wake) wake();
  }

  void fail(const Job& job, const char* detail) {
    const std::lock_guard lock(mutex);
    failures.push_back({job.status.id, job.status.name, went_wrong(job.status.name, detail)});
  }

  template <class Callable>
  void guarded(const Job& job, Callable&& call) {
    try {
      call();
    } catch (const std::exception& e) {
      fail(job, e.what());
    } catch (...) {
      fail(job, "not a std::exception");
    }
  }

  void hand_over(const JobPtr& job, std::function<void()> step, const std::stop_token& stop) {
    {
      std::unique_lock lock(mutex);
      changed.wait(lock, stop, [&] { return job->steps_pending < kStepsAhead || job->cancelled; });
      if (stop.stop_requested()) return;
      ++job->steps_pending;
      steps.push_back({job, std::move(step)});
    }
    notify();
  }

  void work_loop(const std::stop_token& stop);
  void run(const JobPtr& job, const std::stop_token& stop);
  bool run_one_step();
};

namespace {

template <class Impl>
class WorkerProgress final : public Progress {
 public:
  WorkerProgress(Impl& impl, JobPtr job, std::stop_token stop)
      : impl_(impl), job_(std::move(job)), stop_(std::move(stop)) {}

  void at(const std::string& stage, int done, int total) override {
    {
      const std::lock_guard lock(impl_.mutex);
      job_->status.stage = stage;
      job_->status.done = done;
      job_->status.total = total;
    }
    impl_.notify();
  }
  [[nodiscard]] bool cancelled() const override { return job_->cancelled || stop_.stop_requested(); }
  void hand_over(std::function<void()> step) override { impl_.hand_over(job_, std::move(step), stop_); }

 private:
  Impl& impl_;
  JobPtr job_;
  std::stop_token stop_;
};

}  // namespace

void Jobs::Impl::run(const JobPtr& job, const std::stop_token& stop) {
  Done done;
  WorkerProgress<Impl> progress(*this, job, stop);
  guarded(*job, [&] { done = job->work(progress); });
  job->work = nullptr;
  {
    const std::lock_guard lock(mutex);
    job->status.running = false;
    if (done) {
      ++job->steps_pending;
      steps.push_back({job, std::move(done)});
    }
    std::erase(queue, job);
  }
  notify();
}

void Jobs::Impl::work_loop(const std::stop_token& stop) {
  while (true) {
    JobPtr job;
    {
      std::unique_lock lock(mutex);
      changed.wait(lock, stop, [&] { return !queue.empty(); });
      if (stop.stop_requested()) return;
      job = queue.front();
      job->status.running = true;
    }
    run(job, stop);
  }
}

bool Jobs::Impl::run_one_step() {
  Step step;
  {
    const std::lock_guard lock(mutex);
    if (steps.empty()) return false;
    step = std::move(steps.front());
    steps.pop_front();
    ++steps_running;
  }
  guarded(*step.job, step.run);
  {
    const std::lock_guard lock(mutex);
    --step.job->steps_pending;
    --steps_running;
  }
  changed.notify_all();
  return true;
}

Jobs::Jobs(std::function<void()> wake) : impl_(std::make_unique<Impl>()) {
  impl_->wake = std::move(wake);
  impl_->worker = std::jthread([impl = impl_.get()](const std::stop_token& stop) { impl->work_loop(stop); });
}

Jobs::~Jobs() {
  impl_->worker.request_stop();
  {
    const std::lock_guard lock(impl_->mutex);
    for (const auto& job : impl_->queue) job->cancelled = true;
  }
  impl_->changed.notify_all();
  impl_->worker.join();
}

std::uint64_t Jobs::start(std::string name, Work work) {
  static std::atomic<std::uint64_t> next = 1;
  auto job = std::make_shared<Job>();
  const std::uint64_t id = next++;
  job->status.id = id;
  job->status.name = std::move(name);
  job->work = std::move(work);
  {
    const std::lock_guard lock(impl_->mutex);
    impl_->queue.push_back(std::move(job));
  }
  impl_->changed.notify_all();
  return id;
}

void Jobs::cancel(std::uint64_t id) {
  {
    const std::lock_guard lock(impl_->mutex);
    for (const auto& job : impl_->queue) {
      if (job->status.id != id) continue;
      job->cancelled = true;
      job->status.cancelled = true;
    }
  }
  impl_->notify();
}

std::vector<JobStatus> Jobs::status() const {
  const std::lock_guard lock(impl_->mutex);
  std::vector<JobStatus> all;
  for (const auto& job : impl_->queue) all.push_back(job->status);
  return all;
}

void Jobs::pump() {
  std::size_t waiting = 0;  // only those that wait now, so that a fast worker cannot hold up a frame
  {
    const std::lock_guard lock(impl_->mutex);
    waiting = impl_->steps.size();
  }
  while (waiting-- > 0 && impl_->run_one_step()) {
  }
}

bool Jobs::idle() const {
  const std::lock_guard lock(impl_->mutex);
  return impl_->queue.empty() && impl_->steps.empty() && impl_->steps_running == 0;
}

void Jobs::wait_idle() {
  while (true) {
    pump();
    std::unique_lock lock(impl_->mutex);
    impl_->changed.wait(lock, [&] { return !impl_->steps.empty() || impl_->queue.empty(); });
    if (impl_->steps.empty() && impl_->queue.empty()) return;
  }
}

std::vector<JobFailure> Jobs::take_failures() {
  const std::lock_guard lock(impl_->mutex);
  return std::exchange(impl_->failures, {});
}

}  // namespace spile::app
