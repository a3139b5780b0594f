// The file chooser's state: one folder listed, folders first, in natural order. Reads the disk when a folder
// is entered, never while drawing.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "gui/intents.hpp"

namespace spile::gui {

struct ChooserEntry {
  enum class Kind { Folder, Logbook, Photo };
  Kind kind = Kind::Photo;
  std::filesystem::path path;
  std::string name;
  std::uintmax_t bytes = 0;  // of a photo
};

struct ChooserState {
  bool open = false;
  ChooserFor purpose = ChooserFor::Photos;
  std::filesystem::path folder;
  std::vector<ChooserEntry> entries;
  std::vector<std::filesystem::path> places;  // where to start from: home, recent, mounted media
  std::string trouble;                        // why the folder could not be listed; empty when it was
};

// What a name says it is; what is inside is looked at when it is opened.
[[nodiscard]] bool looks_like_photo(const std::filesystem::path& file);
[[nodiscard]] bool takes_photos(ChooserFor purpose);
[[nodiscard]] bool is_logbook(const std::filesystem::path& folder);

// "~/boats/heron.spile" for what lies in the person's home folder.
[[nodiscard]] std::string from_home(const std::filesystem::path& path);

// Lists what may be chosen for the purpose. A folder that cannot be read leaves `trouble`.
[[nodiscard]] ChooserState list_folder(ChooserFor purpose, const std::filesystem::path& folder);

}  // namespace spile::gui
