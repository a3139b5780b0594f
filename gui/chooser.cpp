#include "gui/chooser.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>
#include <string_view>

#include "gui/list.hpp"

namespace spile::gui {

namespace fs = std::filesystem;

namespace {

std::string lowered_extension(const fs::path& file) {
  std::string extension = file.extension().string();
  std::transform(extension.begin(), extension.end(), extension.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return extension;
}

bool wanted(ChooserFor purpose, const ChooserEntry& entry) {
  if (entry.kind == ChooserEntry::Kind::Photo) return takes_photos(purpose);
  return true;
}

ChooserEntry entry_of(const fs::directory_entry& file) {
  std::error_code ignored;
  ChooserEntry entry;
  entry.path = file.path();
  entry.name = file.path().filename().string();
  if (file.is_directory(ignored)) {
    entry.kind = is_logbook(file.path()) ? ChooserEntry::Kind::Logbook : ChooserEntry::Kind::Folder;
  } else {
    entry.bytes = file.file_size(ignored);
  }
  return entry;
}

// Folders, then logbooks, then photos; each by name as people count.
bool before(const ChooserEntry& a, const ChooserEntry& b) {
  if (a.kind != b.kind) return a.kind < b.kind;
  return natural_less(a.name, b.name);
}

std::vector<fs::path> usual_places() {
  std::vector<fs::path> places;
  std::error_code ignored;
  const auto add = [&](const fs::path& place) {
    if (fs::is_directory(place, ignored)) places.push_back(place);
  };
  if (const char* home = std::getenv("HOME"); home && *home) {  // NOLINT(concurrency-mt-unsafe)
    add(home);
    for (const char* name : {"Documents", "Pictures", "Downloads", "Desktop"}) add(fs::path(home) / name);
  }
  add("/media");
  add("/");
  return places;
}

}  // namespace

bool takes_photos(ChooserFor purpose) {
  return purpose == ChooserFor::Photos || purpose == ChooserFor::BoardPhotos;
}

bool looks_like_photo(const fs::path& file) {
  constexpr std::array<std::string_view, 8> kExtensions = {".jpg",  ".jpeg", ".png",  ".tif",
                                                           ".tiff", ".webp", ".heic", ".heif"};
  return std::find(kExtensions.begin(), kExtensions.end(), lowered_extension(file)) != kExtensions.end();
}

bool is_logbook(const fs::path& folder) {
  std::error_code ignored;
  return fs::exists(folder / "log.sqlite", ignored);
}

std::string from_home(const fs::path& path) {
  const char* home = std::getenv("HOME");  // NOLINT(concurrency-mt-unsafe)
  if (!home || !*home) return path.string();
  const fs::path inside = path.lexically_relative(home);
  if (inside == ".") return "~";
  if (inside.empty() || *inside.begin() == "..") return path.string();
  return (fs::path("~") / inside).string();
}

ChooserState list_folder(ChooserFor purpose, const fs::path& folder) {
  ChooserState state;
  state.open = true;
  state.purpose = purpose;
  std::error_code why;
  state.folder = fs::absolute(folder, why).lexically_normal();
  if (!state.folder.has_filename() && state.folder.has_parent_path() &&
      state.folder != state.folder.root_path())
    state.folder = state.folder.parent_path();  // "/a/b/" is "/a/b"
  state.places = usual_places();
  fs::directory_iterator files(state.folder, fs::directory_options::skip_permission_denied, why);
  if (why) {
    state.trouble = "The folder " + state.folder.string() + " cannot be read (" + why.message() + ").";
    return state;
  }
  for (const auto end = fs::directory_iterator(); files != end; files.increment(why)) {
    if (why) break;
    const std::string name = files->path().filename().string();
    if (name.empty() || name[0] == '.') continue;
    ChooserEntry entry = entry_of(*files);
    if (entry.kind == ChooserEntry::Kind::Photo && !looks_like_photo(entry.path)) continue;
    if (wanted(purpose, entry)) state.entries.push_back(std::move(entry));
  }
  std::sort(state.entries.begin(), state.entries.end(), before);
  return state;
}

}  // namespace spile::gui
