// What the window remembers between two starts: look, units, scale, layout, recent logbooks. Own JSON file in
// the user's configuration folder (XDG base directories). Nothing of a logbook is kept here.
#pragma once

#include <filesystem>
#include <vector>

#include "gui/theme.hpp"
#include "outcome/outcome.hpp"
#include "units/text.hpp"

namespace spile::gui {

struct Settings {
  static constexpr float kMinScale = 0.75F;
  static constexpr float kMaxScale = 2.5F;
  static constexpr std::size_t kMaxRecent = 8;

  Shade shade = Shade::Light;
  float scale = 1;  // on top of the display's own
  units::LengthSystem lengths = units::LengthSystem::Metric;
  std::vector<std::filesystem::path> recent;  // newest first
  std::filesystem::path photo_folder;         // where photos were taken from last
  std::filesystem::path logbook_folder;       // where a logbook was made or opened last
  int window_width = 1280, window_height = 800;
  // Shares of the window, 0.15..0.85.
  float left_share = 0.55F;       // list and photo, against record and verdicts
  float left_share_wide = 0.49F;  // the same where record and verdicts stand side by side
  float list_share = 0.44F;       // list, against photo
  float right_share = 0.52F;      // record, against verdicts

  void remember(const std::filesystem::path& logbook);  // to the front of `recent`
};

// ~/.config/spile/desk.json, or below $XDG_CONFIG_HOME. Empty when there is no home folder.
[[nodiscard]] std::filesystem::path settings_file();

// What can be read; a missing or damaged file, or a value out of range, falls back to the default.
[[nodiscard]] Settings load_settings(const std::filesystem::path& file);
// Written whole and renamed into place. Errors: StorageReadOnly, StorageFull.
[[nodiscard]] Result<void> save_settings(const Settings& settings, const std::filesystem::path& file);

}  // namespace spile::gui
