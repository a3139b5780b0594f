// Photos with known truth, measured: what was said against what is true, set by set, as the bars are read.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace spile::bench {

struct Value {
  std::string photo;
  double truth = 0, got = 0, u95 = 0;    // mm
  std::optional<double> hough, ellipse;  // what the plain methods say of the same thing, mm
  [[nodiscard]] double error_mm() const { return got > truth ? got - truth : truth - got; }
  [[nodiscard]] bool held() const { return error_mm() <= u95; }
};

struct PhotoSet {
  int pictures = 0, answered = 0;
  int wrongly_refused = 0;  // photos, and things in them that were not found
  int invented = 0;         // things measured that are not there
  std::vector<Value> values;
  std::vector<std::string> notes;  // what was refused, missed or invented, by photo
};

// By name: the families of the pictures, and "... depth", "... layers", "... bore", "real ... near".
using PhotoSets = std::map<std::string, PhotoSet>;

// Pictures with a .json of their truth beside each (the format is told in the folder's README).
void measure_rendered(const std::filesystem::path& folder, PhotoSets& sets);

// Photos of coins of published sizes, one the reference and the others measured, with truth.json.
void measure_real(const std::filesystem::path& folder, PhotoSets& sets);

}  // namespace spile::bench
