// The window of the desktop: display, graphics card, scale, events. Nothing else in gui/ knows the window
// system. Main thread only, but for wake().
#pragma once

#include <chrono>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "outcome/outcome.hpp"

namespace spile::gui {

class Backend {
 public:
  struct Options {
    std::string title;
    int width = 1280, height = 800;  // design pixels
    std::function<void(std::vector<std::filesystem::path>)> on_drop;
  };
  // Errors: Internal, with a sentence on what is missing (no display, no OpenGL 3.3).
  [[nodiscard]] static Result<std::unique_ptr<Backend>> open(Options options);
  ~Backend();
  Backend(const Backend&) = delete;
  Backend& operator=(const Backend&) = delete;

  [[nodiscard]] bool close_asked();  // once per press of the window's close button
  [[nodiscard]] float display_scale() const;
  // Sleeps until something happens, at most until `alarm`; `busy` only looks.
  void wait(bool busy, std::optional<std::chrono::steady_clock::time_point> alarm);
  // Makes a sleeping wait() return; from any thread.
  static void wake();
  void fonts_changed();
  void begin_frame();
  void end_frame();  // draws what ImGui holds and shows it
  [[nodiscard]] std::pair<int, int> size() const;
  void set_title(const std::string& title);

 private:
  struct Impl;
  explicit Backend(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::gui
