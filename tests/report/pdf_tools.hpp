// The independent readers the PDF tests ask: poppler's pdftoppm, pdftotext, pdffonts, pdfinfo, and qpdf.
#pragma once

#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <string>

namespace spile::report::test {

struct Ran {
  int status = -1;
  std::string out;
};

inline Ran run(const std::string& command) {
  Ran ran;
  std::FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
  if (!pipe) return ran;
  std::array<char, 4096> buffer{};
  while (const std::size_t n = std::fread(buffer.data(), 1, buffer.size(), pipe))
    ran.out.append(buffer.data(), n);
  ran.status = ::pclose(pipe);
  return ran;
}

// A folder of its own for one test, gone afterwards.
class Scratch {
 public:
  Scratch() {
    std::string name = (std::filesystem::temp_directory_path() / "spile-report-XXXXXX").string();
    folder_ = ::mkdtemp(name.data());
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() { std::filesystem::remove_all(folder_); }
  [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return folder_ / name; }

 private:
  std::filesystem::path folder_;
};

inline std::string text_of(const std::filesystem::path& pdf) {
  const Ran ran = run("pdftotext -layout -enc UTF-8 '" + pdf.string() + "' -");
  EXPECT_EQ(ran.status, 0) << ran.out;
  return ran.out;
}

}  // namespace spile::report::test
