// spile-desk: the window.
#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "gui/picture_of_window.hpp"
#include "gui/window.hpp"

namespace {

int run(int argc, char** argv) {
  CLI::App cli{"Accounts for every opening through the hull of a small craft."};
  spile::gui::WindowOptions window;
  spile::gui::PictureOptions picture;
  cli.add_option("logbook", window.logbook, "Logbook to open (a folder that ends in .spile)");
  cli.add_option("--screenshot", picture.file, "Write a picture of the window to this PNG file and leave");
  cli.add_option("--size", picture.size, "Size of that picture, e.g. 1280x800")->capture_default_str();
  cli.add_option("--scale", picture.scale, "Scale of that picture: 1 for 96 dpi")->capture_default_str();
  cli.add_option("--theme", picture.theme, "light or dark")->check(CLI::IsMember({"light", "dark"}));
  cli.add_option("--select", picture.tag, "Tag of the opening to select");
  cli.add_option("--view", picture.view,
                 "What to show: desk, photo, water, trends, vessel, surveys, seasons, due, walk, cameras, "
                 "compare, compare-wipe, "
                 "compare-changes, merge, chooser, start, help")
      ->check(CLI::IsMember({"desk", "photo", "water", "trends", "vessel", "surveys", "seasons", "due",
                             "walk", "cameras", "compare", "compare-wipe", "compare-changes", "merge",
                             "chooser", "start", "help"}));
  cli.add_option("--theirs", picture.theirs, "For the view merge: somebody's copy of the logbook");
  cli.set_version_flag("--version", "spile-desk " SPILE_VERSION);
  CLI11_PARSE(cli, argc, argv);
  picture.logbook = window.logbook;
  const auto done =
      picture.file.empty() ? spile::gui::show_window(window) : spile::gui::write_picture(picture);
  if (done) return 0;
  fmt::print(stderr, "spile-desk: {}\n", done.error().sentence());
  return 1;
}

}  // namespace

int main(int argc, char** argv) {
  // Only bugs and exhausted memory fly this far; what was recorded is on disk already.
  try {
    return run(argc, argv);
  } catch (const std::exception& e) {
    fmt::print(stderr,
               "spile-desk: Something unforeseen stopped the program ({}). What was recorded is kept.\n",
               e.what());
    return 1;
  }
}
