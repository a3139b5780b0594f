// A folder of its own per test, a window driven in it, and short ways to the states tests begin in.
#pragma once

#include <gtest/gtest.h>

#include <filesystem>
#include <memory>
#include <string>

#include "tests/gui/driver.hpp"

namespace spile::gui {

// Pictures drawn by tests/scenes with known truth; see assets/demo/README.md.
[[nodiscard]] std::filesystem::path demo_photo(const std::string& name);

class WindowTest : public testing::Test {
 protected:
  WindowTest();
  ~WindowTest() override;

  // A new window on the same settings, as after quitting and starting again.
  void restart();
  // Makes a logbook through the window; the vessel's page is open then.
  void make_logbook(const std::string& name = "Test boat");
  // And an opening P-01, selected, on the desk's page.
  void make_opening();
  void take_in(const std::string& photo);

  [[nodiscard]] std::filesystem::path folder() const { return folder_; }
  [[nodiscard]] Driver& window() { return *driver_; }
  // The newest standing measurement of the quantity; fails the test when there is none.
  [[nodiscard]] model::Measurement measured(std::string_view tag, model::Quantity quantity);
  [[nodiscard]] const rules::Verdict& verdict(std::string_view tag, std::string_view rule);

  Driver::Options options_;
  std::unique_ptr<Driver> driver_;

 private:
  std::filesystem::path folder_;
};

}  // namespace spile::gui
