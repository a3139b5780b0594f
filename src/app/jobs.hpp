// Long work beside the window: a name, a progress, a cancel, and a result handed back on the main thread.
// The work runs on one worker thread in the order it was asked for and never touches the Session; what it
// finds is stored by its `done` step, which runs inside pump() on the thread that owns the Session.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "outcome/outcome.hpp"

namespace spile::app {

// Handed to the work. Thread-safe.
class Progress {
 public:
  virtual ~Progress() = default;
  virtual void at(const std::string& stage, int done, int total) = 0;  // "Measuring IMG_0031.jpg", 3, 11
  [[nodiscard]] virtual bool cancelled() const = 0;
  // Runs `step` on the thread that owns the Session, in order, before the work's own `done`: at once where
  // the work runs on that thread already, else inside pump(). Waits while a few steps of this work are still
  // to be run, so that a fast worker does not pile up photos in memory.
  virtual void hand_over(std::function<void()> step) { step(); }
};

// An exception that got out of a job's work or done step, in words for people.
struct JobFailure {
  std::uint64_t job = 0;
  std::string name;
  Error error;
};

struct JobStatus {
  std::uint64_t id = 0;
  std::string name;
  std::string stage;
  int done = 0;
  int total = 0;  // 0: not known yet
  bool running = false;
  bool cancelled = false;
};

class Jobs {
 public:
  // `wake` is called from the worker whenever there is something new to draw or to pump.
  explicit Jobs(std::function<void()> wake = {});
  ~Jobs();  // asks everything to stop, then joins

  // `work` runs on the worker and returns the step to run on the main thread (may be empty). Work that was
  // cancelled while waiting runs all the same and sees cancelled() at once, so that its `done` can say so.
  using Done = std::function<void()>;
  using Work = std::function<Done(Progress&)>;
  std::uint64_t start(std::string name, Work work);
  void cancel(std::uint64_t job);
  [[nodiscard]] std::vector<JobStatus> status() const;  // waiting and running, oldest first
  // Runs the finished jobs' `done` steps. Call once a frame.
  void pump();
  [[nodiscard]] bool idle() const;
  void wait_idle();  // pumps until nothing is left; for the command line and tests
  // What went wrong inside jobs since the last call, oldest first. The other jobs go on.
  [[nodiscard]] std::vector<JobFailure> take_failures();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::app
