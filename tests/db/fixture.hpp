// What the tests of the logbook share: a folder that goes away again, invented records, matchers on results.
#pragma once

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <stdlib.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "db/store.hpp"

namespace spile::db::test {

namespace fs = std::filesystem;
using Bytes = std::vector<std::uint8_t>;

// In memory where the system offers it: for tests that write thousands of times and prove nothing about the
// disk.
inline fs::path fast_place() {
  const fs::path shared_memory("/dev/shm");
  return ::access(shared_memory.c_str(), W_OK) == 0 ? shared_memory : fs::temp_directory_path();
}

class TempFolder {
 public:
  explicit TempFolder(const fs::path& parent = fs::temp_directory_path()) {
    auto pattern = (parent / "spile-test-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
    path_ = pattern;
  }
  ~TempFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  [[nodiscard]] const fs::path& path() const { return path_; }
  [[nodiscard]] fs::path logbook() const { return path_ / "Test boat.spile"; }

 private:
  fs::path path_;
};

inline Bytes bytes_of(std::string_view text) {
  return {text.begin(), text.end()};
}

inline Bytes read_file(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline void write_file(const fs::path& file, std::string_view text) {
  std::ofstream(file, std::ios::binary) << text;
}

inline model::Opening opening(const std::string& tag) {
  model::Opening o;
  o.tag = tag;
  o.service = "sink-drain";
  return o;
}

inline model::Survey survey(const std::string& date) {
  model::Survey s;
  s.date = date;
  s.title = "Spring";
  return s;
}

inline model::Measurement diameter(model::OpeningId opening, model::SurveyId survey, double mm) {
  model::Measurement m;
  m.opening = opening;
  m.survey = survey;
  m.value = mm;
  m.u95 = 0.1;
  m.instrument = "caliper 0.05 mm";
  m.made_at = "2026-04-12T09:30:00Z";
  m.budget = {{"caliper scale", 0.03}, {"feel", 0.04}};
  return m;
}

inline model::Photo photo_record(const std::string& name) {
  model::Photo p;
  p.original_name = name;
  p.media_type = "image/jpeg";
  p.width_px = 4000;
  p.height_px = 3000;
  return p;
}

// The value of a Result, or a test failure that prints the sentence.
template <class T>
T ok(Result<T> result) {
  if (!result) throw std::runtime_error(result.error().sentence() + " [" + result.error().detail + "]");
  return std::move(*result);
}

inline void ok(const Result<void>& result) {
  if (!result) throw std::runtime_error(result.error().sentence() + " [" + result.error().detail + "]");
}

template <class T>
ErrorCode code_of(const Result<T>& result) {
  EXPECT_FALSE(result.has_value()) << "it should have failed";
  return result ? ErrorCode::Internal : result.error().code;
}

// Every error is for people: what happened, naming the thing, and what to do, each in full sentences.
inline void expect_clear(const Error& error, std::string_view names) {
  EXPECT_THAT(error.what, testing::HasSubstr(std::string(names)));
  EXPECT_THAT(error.what, testing::EndsWith("."));
  EXPECT_THAT(error.remedy, testing::EndsWith("."));
  EXPECT_THAT(error.sentence(), testing::Not(testing::ContainsRegex("SQL|errno|constraint|NULL")));
}

inline void expect_whole(const Store& store) {
  const auto report = ok(store.verify());
  EXPECT_THAT(report.faults, testing::IsEmpty());
}

}  // namespace spile::db::test
