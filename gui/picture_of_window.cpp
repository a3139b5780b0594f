#include "gui/picture_of_window.hpp"

#include <imgui.h>

#include <charconv>

#include "gui/keys.hpp"
#include "gui/offscreen.hpp"
#include "gui/shell.hpp"

namespace spile::gui {

namespace {

struct Extent {
  int width = 0, height = 0;
};

Result<Extent> read_size(const std::string& text) {
  Extent size;
  const char* end = text.data() + text.size();
  const auto width = std::from_chars(text.data(), end, size.width);
  const bool cross = width.ec == std::errc() && width.ptr != end && *width.ptr == 'x';
  const auto height = cross ? std::from_chars(width.ptr + 1, end, size.height) : width;
  const auto sensible = [](int v) { return v >= 320 && v <= 8192; };
  if (!cross || height.ec != std::errc() || height.ptr != end || !sensible(size.width) ||
      !sensible(size.height))
    return fail(ErrorCode::BadInput, "\"" + text + "\" is not a size of a picture.",
                "Write it like 1280x800.");
  return size;
}

// Layout, then what the layout asks for (thumbnails, tiles), until nothing more comes.
void draw_until_still(Offscreen& screen, Desk& desk, Shell& shell, float scale) {
  constexpr int kRounds = 6;
  for (int i = 0; i < kRounds; ++i) {
    if (shell.prepare(scale)) screen.fonts_changed();
    screen.begin_frame();
    shell.frame();
    screen.end_frame();
    desk.wait_idle();
  }
}

void set_up(Desk& desk, const PictureOptions& options) {
  desk.apply(SetShade{options.theme == "dark" ? Shade::Dark : Shade::Light});
  if (desk.logbook())
    if (const app::OpeningView* opening = desk.logbook()->find(options.tag))
      desk.apply(SelectOpening{opening->opening.id});
  if (options.view == "vessel") desk.apply(ShowPage{Page::Vessel});
  if (options.view == "surveys") desk.apply(ShowPage{Page::Surveys});
  if (options.view == "water") desk.apply(ShowBeside{Beside::Water});
  if (options.view == "trends") desk.apply(ShowBeside{Beside::Trends});
  if (options.view == "seasons") desk.apply(ShowSeasons{SeasonsTab::Seasons});
  if (options.view == "due") desk.apply(ShowSeasons{SeasonsTab::Due});
  if (options.view == "walk") desk.apply(ShowSeasons{SeasonsTab::Walk});
  if (options.view == "cameras") desk.apply(ShowPage{Page::Cameras});
  if (options.view.starts_with("compare")) {
    desk.apply(CompareSurveys{});
    desk.wait_idle();
  }
  if (options.view == "compare-wipe") desk.apply(ShowAs{Showing::Wipe});
  if (options.view == "compare-changes") desk.apply(ShowAs{Showing::Changes});
  if (options.view == "merge") desk.apply(ShowPage{Page::Merge});
  if (options.view == "merge" && !options.theirs.empty()) desk.apply(PlanMerge{options.theirs});
  if (options.view == "photo") desk.apply(ToggleLargePhoto{});
  if (options.view == "chooser") desk.apply(AskForFile{ChooserFor::Photos});
  if (options.view == "help") desk.apply(ShowHelp{});
  desk.apply(Dismiss{});
}

}  // namespace

Result<void> write_picture(const PictureOptions& options) {
  const auto size = read_size(options.size);
  if (!size) return tl::unexpected<Error>(size.error());
  ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;
  map_keys(ImGui::GetIO());
  Result<void> done;
  {
    auto screen = Offscreen::open(size->width, size->height);
    Desk desk({{}, {}, app::Clock::system()});
    if (screen && options.view != "start" && !options.logbook.empty())
      desk.apply(OpenLogbook{options.logbook});
    if (!screen) {
      done = tl::unexpected<Error>(screen.error());
    } else if (!options.logbook.empty() && options.view != "start" && !desk.logbook()) {
      done = fail(ErrorCode::NotALogbook, desk.state().messages.back().text);
    } else {
      GlTextures textures;
      Shell shell(desk, textures);
      set_up(desk, options);
      draw_until_still(**screen, desk, shell, options.scale);
      done = (*screen)->write_png(options.file);
    }
  }
  ImGui::DestroyContext();
  return done;
}

}  // namespace spile::gui
