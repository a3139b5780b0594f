// What the tests of the use cases share: a folder of their own, a clock that stands, drawn pictures of known
// size.
#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

#include "app/session.hpp"
#include "vision/measure.hpp"

namespace spile::app::test {

// A folder for one test, removed with it.
class TempFolder {
 public:
  TempFolder();
  ~TempFolder();
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

 private:
  std::filesystem::path path_;
};

inline constexpr const char* kNow = "2026-04-12T09:30:00Z";
[[nodiscard]] Clock standing_clock();

// A hull seen square on, 10 px/mm: the printed card (20 mm markers on 70 x 45 mm) and a dark round hole.
struct Scene {
  double hole_mm = 38;  // 0: no hole
  bool card = true;
  double shade = 0.72;  // of the hull, in linear light: other shades make other bytes
};
inline constexpr double kPixelsPerMm = 10;
inline constexpr vision::PixelPoint kHoleCentre{1279.5, 499.5};  // upright pixels
std::filesystem::path draw(const std::filesystem::path& file, const Scene& scene = {});

void write_text(const std::filesystem::path& file, const std::string& bytes);
[[nodiscard]] std::string read_text(const std::filesystem::path& file);

// The value, or a test failure with the error's sentence.
template <class T>
T must(Result<T> result) {
  if (!result) throw std::runtime_error(result.error().sentence() + " | " + result.error().detail);
  return std::move(*result);
}
inline void must(const Result<void>& result) {
  if (!result) throw std::runtime_error(result.error().sentence() + " | " + result.error().detail);
}

// An opening below the waterline in a logbook with a vessel.
[[nodiscard]] Session logbook_with_opening(const std::filesystem::path& folder,
                                           const std::string& tag = "P-03");
[[nodiscard]] model::OpeningId id_of(const Session& session, const std::string& tag = "P-03");

}  // namespace spile::app::test
