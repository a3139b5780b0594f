// The same drawing without a window or a display: EGL without a surface, into a picture file. For the
// pictures of the documentation.
#pragma once

#include <filesystem>
#include <memory>

#include "outcome/outcome.hpp"

namespace spile::gui {

class Offscreen {
 public:
  // Makes its OpenGL context current. Errors: Internal when there is no EGL driver that can.
  [[nodiscard]] static Result<std::unique_ptr<Offscreen>> open(int width, int height);
  ~Offscreen();
  Offscreen(const Offscreen&) = delete;
  Offscreen& operator=(const Offscreen&) = delete;

  void fonts_changed();
  void begin_frame();
  void end_frame();
  // What the last frame showed, as PNG. Errors: StorageReadOnly.
  [[nodiscard]] Result<void> write_png(const std::filesystem::path& file);

 private:
  struct Impl;
  explicit Offscreen(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::gui
