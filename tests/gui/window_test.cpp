// The window as a whole: what it opens, who else has it open, where its splitters stand, what fits.
#include <gmock/gmock.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <fstream>
#include <stdexcept>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

class WholeWindow : public WindowTest {};

// Another process that holds a logbook open until it is told to let go.
class Holder {
 public:
  explicit Holder(const std::filesystem::path& logbook) {
    std::array<int, 2> up{};
    std::array<int, 2> down{};
    if (pipe(up.data()) != 0 || pipe(down.data()) != 0) throw std::runtime_error("no pipe");
    child_ = fork();
    if (child_ == 0) {
      close(down[1]);
      hold(logbook, up[1], down[0]);
    }
    close(up[1]);
    close(down[0]);
    let_go_ = down[1];
    char ready = 0;
    held_ = read(up[0], &ready, 1) == 1 && ready == 'y';
    close(up[0]);
  }
  ~Holder() {
    close(let_go_);
    waitpid(child_, nullptr, 0);
  }
  Holder(const Holder&) = delete;
  Holder& operator=(const Holder&) = delete;
  [[nodiscard]] bool held() const { return held_; }

 private:
  [[noreturn]] static void hold(const std::filesystem::path& logbook, int up, int down) {
    const auto session = app::Session::create(logbook);
    const char ready = session ? 'y' : 'n';
    char ignored = 0;
    if (write(up, &ready, 1) == 1) (void)!read(down, &ignored, 1);  // returns when the parent closes its end
    _exit(0);
  }
  pid_t child_ = 0;
  int let_go_ = -1;
  bool held_ = false;
};

TEST_F(WholeWindow, ASecondOneReadsAndSaysWhoHoldsTheLogbook) {
  driver_.reset();  // no threads while another process is made
  const auto logbook = folder() / "held.spile";
  const Holder holder(logbook);
  ASSERT_TRUE(holder.held());
  driver_ = std::make_unique<Driver>(options_);
  Driver& w = window();
  w.drop({logbook}, {400, 400});
  ASSERT_TRUE(w.desk().logbook());
  EXPECT_TRUE(w.logbook().read_only);
  EXPECT_TRUE(w.sees("head.read_only"));
  EXPECT_FALSE(w.state().held_by.empty());
  EXPECT_FALSE(w.enabled("openings.add"));
  w.key(Key::N, true);
  EXPECT_TRUE(w.logbook().openings.empty());
}

TEST_F(WholeWindow, WhatIsNoLogbookIsRefusedWithASentence) {
  std::filesystem::create_directories(folder() / "empty.spile");
  window().drop({folder() / "empty.spile"}, {400, 400});
  EXPECT_FALSE(window().desk().logbook());
  ASSERT_FALSE(window().state().messages.empty());
  EXPECT_THAT(window().state().messages.back().text, testing::HasSubstr("empty.spile"));
}

TEST_F(WholeWindow, ALogbookDroppedOnItIsOpened) {
  make_logbook("Dropped");
  const auto logbook = window().logbook().folder;
  window().key(Key::W, true);
  window().frame(2);
  window().drop({logbook}, {400, 400});
  ASSERT_TRUE(window().desk().logbook());
}

TEST_F(WholeWindow, PhotosWithoutALogbookAreAskedToWait) {
  window().drop({demo_photo("s01-hole-2026.jpg")}, {400, 400});
  ASSERT_FALSE(window().state().messages.empty());
  EXPECT_TRUE(window().state().messages.back().problem);
}

TEST_F(WholeWindow, SplittersAreDraggedAndRemembered) {
  make_opening();
  Driver& w = window();
  const float before = w.state().settings.left_share;
  const ImVec2 bar = w.middle_of("split.left");
  w.drag(bar, {bar.x - 120, bar.y});
  w.frame(2);
  EXPECT_LT(w.state().settings.left_share, before - 0.05F);
  restart();
  EXPECT_LT(window().state().settings.left_share, before - 0.05F);
}

TEST_F(WholeWindow, LargePhotoAndBack) {
  make_opening();
  take_in("s01-hole-2026.jpg");
  Driver& w = window();
  const float small = w.item("bench.canvas").max.x - w.item("bench.canvas").min.x;
  w.key(Key::F4);
  w.frame(2);
  EXPECT_GT(w.item("bench.canvas").max.x - w.item("bench.canvas").min.x, small * 1.4F);
  EXPECT_FALSE(w.sees("openings.add"));
  w.key(Key::F4);
  w.frame(2);
  EXPECT_TRUE(w.sees("openings.add"));
}

TEST_F(WholeWindow, ClosingItKeepsWhatIsBeingTyped) {
  make_opening();
  Driver& w = window();
  w.click("record.notes");
  w.write("last words");
  w.shell().ask_to_close();
  EXPECT_TRUE(w.desk().quits());
  EXPECT_EQ(w.opening("P-01").observation.value().notes, "last words");
}

TEST_F(WholeWindow, MainControlsStayInsideAtEverySize) {
  for (const auto& [width, height, scale] :
       {std::tuple{1280.0F, 800.0F, 1.0F}, std::tuple{1920.0F, 1080.0F, 1.0F},
        std::tuple{1280.0F, 800.0F, 1.25F}, std::tuple{2560.0F, 1600.0F, 2.0F}}) {
    options_.width = width;
    options_.height = height;
    options_.scale = scale;
    options_.settings_file = folder() / std::to_string(width + scale) / "desk.json";
    restart();
    make_logbook("Boat " + std::to_string(static_cast<int>(width * scale)));
    window().key(Key::N, true);
    window().settle();
    window().key(Key::Escape);
    take_in("s01-hole-2026.jpg");
    window().key(Key::M);
    window().settle();
    for (const char* name : {"openings.add", "openings.filter", "openings.sieve", "bench.measure.auto",
                             "bench.view.large", "bench.canvas", "bench.file", "bench.accept",
                             "bench.discard", "record.condition/failed", "head.survey"}) {
      const auto& item = window().item(name);
      EXPECT_GE(item.min.x, item.clip_min.x - 1) << name << " at " << width << " x " << scale;
      EXPECT_LE(item.max.x, item.clip_max.x + 1) << name << " at " << width << " x " << scale;
    }
  }
}

}  // namespace
}  // namespace spile::gui
