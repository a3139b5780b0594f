#include "report/typeface.hpp"

#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <pango/pangofc-fontmap.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cassert>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "assets/embedded.hpp"

namespace spile::report {

namespace {

// Fontconfig only takes files: an anonymous one in memory, reached through /proc, needs no place on disk.
class MemoryFile {
 public:
  explicit MemoryFile(std::span<const std::uint8_t> bytes) : fd_(::memfd_create("spile-font", MFD_CLOEXEC)) {
    while (fd_ >= 0 && !bytes.empty()) {
      const ssize_t n = ::write(fd_, bytes.data(), bytes.size());
      if (n <= 0) break;
      bytes = bytes.subspan(static_cast<std::size_t>(n));
    }
  }
  MemoryFile(MemoryFile&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
  MemoryFile& operator=(MemoryFile&&) = delete;
  ~MemoryFile() {
    if (fd_ >= 0) ::close(fd_);
  }
  [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(fd_); }

 private:
  int fd_;
};

struct ReleaseConfig {
  void operator()(FcConfig* config) const { FcConfigDestroy(config); }
};
struct ReleaseMap {
  void operator()(PangoFontMap* map) const { g_object_unref(map); }
};

// A configuration of its own, so that the window's or the desktop's font settings change nothing here.
class Typefaces {
 public:
  Typefaces() : config_(FcInitLoadConfigAndFonts()) {
    for (const auto path : assets::list("fonts/")) {
      files_.emplace_back(assets::bytes(path));
      const std::string name = files_.back().path();
      const auto added =
          FcConfigAppFontAddFile(config_.get(), reinterpret_cast<const FcChar8*>(name.c_str()));
      assert(added && "a typeface compiled in must be readable");
      static_cast<void>(added);
    }
    map_.reset(pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT));
    pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(map_.get()), config_.get());
  }
  [[nodiscard]] PangoFontMap* map() const { return map_.get(); }

 private:
  std::vector<MemoryFile> files_;
  std::unique_ptr<FcConfig, ReleaseConfig> config_;
  std::unique_ptr<PangoFontMap, ReleaseMap> map_;
};

}  // namespace

PangoFontMap* font_map() {
  thread_local Typefaces typefaces;
  return typefaces.map();
}

}  // namespace spile::report
