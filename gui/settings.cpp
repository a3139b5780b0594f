#include "gui/settings.hpp"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>

namespace spile::gui {

namespace {

using nlohmann::json;

// A value of the right type and range, or what was there before.
void take(const json& from, const char* key, float& into, float low, float high) {
  const auto hit = from.find(key);
  if (hit != from.end() && hit->is_number()) into = std::clamp(hit->get<float>(), low, high);
}

void take(const json& from, const char* key, int& into, int low, int high) {
  const auto hit = from.find(key);
  if (hit != from.end() && hit->is_number_integer()) into = std::clamp(hit->get<int>(), low, high);
}

std::string text(const json& from, const char* key) {
  const auto hit = from.find(key);
  return hit != from.end() && hit->is_string() ? hit->get<std::string>() : std::string();
}

void take_recent(const json& from, std::vector<std::filesystem::path>& into) {
  const auto hit = from.find("recent");
  if (hit == from.end() || !hit->is_array()) return;
  for (const json& entry : *hit)
    if (entry.is_string() && into.size() < Settings::kMaxRecent) into.emplace_back(entry.get<std::string>());
}

Settings from_json(const json& from) {
  Settings s;
  if (text(from, "theme") == "dark") s.shade = Shade::Dark;
  if (text(from, "lengths") == "inch") s.lengths = units::LengthSystem::Inch;
  take(from, "scale", s.scale, Settings::kMinScale, Settings::kMaxScale);
  take(from, "left_share", s.left_share, 0.15F, 0.85F);
  take(from, "left_share_wide", s.left_share_wide, 0.15F, 0.85F);
  take(from, "list_share", s.list_share, 0.15F, 0.85F);
  take(from, "right_share", s.right_share, 0.15F, 0.85F);
  take(from, "window_width", s.window_width, 640, 16384);
  take(from, "window_height", s.window_height, 480, 16384);
  s.photo_folder = text(from, "photo_folder");
  s.logbook_folder = text(from, "logbook_folder");
  take_recent(from, s.recent);
  return s;
}

json to_json(const Settings& s) {
  json recent = json::array();
  for (const auto& path : s.recent) recent.push_back(path.string());
  return {{"theme", s.shade == Shade::Dark ? "dark" : "light"},
          {"lengths", s.lengths == units::LengthSystem::Inch ? "inch" : "metric"},
          {"scale", s.scale},
          {"left_share", s.left_share},
          {"left_share_wide", s.left_share_wide},
          {"list_share", s.list_share},
          {"right_share", s.right_share},
          {"window_width", s.window_width},
          {"window_height", s.window_height},
          {"photo_folder", s.photo_folder.string()},
          {"logbook_folder", s.logbook_folder.string()},
          {"recent", recent}};
}

tl::unexpected<Error> cannot_write(const std::filesystem::path& file, const std::error_code& why) {
  return fail(ErrorCode::StorageReadOnly, "The settings could not be kept in " + file.string() + ".",
              "They hold until the window closes; check the folder's rights and free space.", why.message());
}

}  // namespace

void Settings::remember(const std::filesystem::path& logbook) {
  std::error_code ignored;
  const auto absolute = std::filesystem::absolute(logbook, ignored);
  std::erase(recent, absolute);
  recent.insert(recent.begin(), absolute);
  if (recent.size() > kMaxRecent) recent.resize(kMaxRecent);
  logbook_folder = absolute.parent_path();
}

std::filesystem::path settings_file() {
  // Read once at the start, before any thread runs.
  if (const char* base = std::getenv("XDG_CONFIG_HOME"); base && *base)  // NOLINT(concurrency-mt-unsafe)
    return std::filesystem::path(base) / "spile" / "desk.json";
  if (const char* home = std::getenv("HOME"); home && *home)  // NOLINT(concurrency-mt-unsafe)
    return std::filesystem::path(home) / ".config" / "spile" / "desk.json";
  return {};
}

Settings load_settings(const std::filesystem::path& file) {
  std::ifstream in(file);
  if (!in) return {};
  const json parsed = json::parse(in, nullptr, false);
  return parsed.is_object() ? from_json(parsed) : Settings{};
}

Result<void> save_settings(const Settings& settings, const std::filesystem::path& file) {
  if (file.empty()) return {};
  std::error_code why;
  std::filesystem::create_directories(file.parent_path(), why);
  if (why) return cannot_write(file, why);
  std::filesystem::path draft = file;
  draft += ".new";
  {
    std::ofstream out(draft, std::ios::trunc);
    // Paths are bytes on this system; what is not UTF-8 must not throw here.
    out << to_json(settings).dump(2, ' ', false, json::error_handler_t::replace) << '\n';
    if (!out.flush()) return cannot_write(file, std::make_error_code(std::errc::io_error));
  }
  std::filesystem::rename(draft, file, why);
  if (why) return cannot_write(file, why);
  return {};
}

}  // namespace spile::gui
