#include "tests/gui/fixture.hpp"

#include <cstdlib>
#include <stdexcept>

namespace spile::gui {

std::filesystem::path demo_photo(const std::string& name) {
  return std::filesystem::path(SPILE_SOURCE_DIR) / "assets" / "demo" / name;
}

WindowTest::WindowTest() {
  std::string pattern = (std::filesystem::temp_directory_path() / "spile-gui-XXXXXX").string();
  folder_ = mkdtemp(pattern.data());
  options_.settings_file = folder_ / "settings" / "desk.json";
  driver_ = std::make_unique<Driver>(options_);
}

WindowTest::~WindowTest() {
  driver_.reset();
  std::error_code ignored;
  std::filesystem::remove_all(folder_, ignored);
}

void WindowTest::restart() {
  driver_.reset();
  driver_ = std::make_unique<Driver>(options_);
}

void WindowTest::make_logbook(const std::string& name) {
  Driver& w = window();
  w.click("start.create");
  w.frame(2);
  w.fill("chooser.path", folder_.string());
  w.fill("chooser.name", name);
  w.settle();
  ASSERT_TRUE(w.desk().logbook()) << (w.state().messages.empty() ? "" : w.state().messages.back().text);
}

void WindowTest::make_opening() {
  make_logbook();
  window().key(Key::N, true);
  window().settle();
  window().key(Key::Escape);  // out of the tag, which waits to be typed
  ASSERT_TRUE(window().desk().selected());
}

void WindowTest::take_in(const std::string& photo) {
  window().drop({demo_photo(photo)}, {400, 600});
  window().settle();
}

model::Measurement WindowTest::measured(std::string_view tag, model::Quantity quantity) {
  const auto& all = window().opening(tag).measurements;
  for (auto m = all.rbegin(); m != all.rend(); ++m)
    if (m->quantity == quantity) return *m;
  throw std::runtime_error("not measured");
}

const rules::Verdict& WindowTest::verdict(std::string_view tag, std::string_view rule) {
  for (const auto& v : window().opening(tag).verdicts)
    if (v.rule == rule) return v;
  throw std::runtime_error("no verdict of " + std::string(rule));
}

}  // namespace spile::gui
