// The file chooser: a folder's contents, places to start from, a path or a name to type.
#pragma once

#include <filesystem>
#include <set>
#include <string>

#include "gui/chooser.hpp"
#include "gui/ui.hpp"

namespace spile::gui {

class ChooserView {
 public:
  void draw(const Ui& ui);

 private:
  void draw_places(const Ui& ui, const ChooserState& chooser);
  void draw_entries(const Ui& ui, const ChooserState& chooser, ImVec2 size);
  void draw_foot(const Ui& ui, const ChooserState& chooser);
  void go(const Ui& ui, const std::filesystem::path& folder);
  void take(const Ui& ui, const ChooserState& chooser);
  [[nodiscard]] bool can_take(const ChooserState& chooser) const;

  std::filesystem::path folder_;  // what path_ was filled from
  std::string path_;              // typed
  std::string name_ = "My boat";  // of a new logbook
  std::set<std::filesystem::path> picked_;
  bool was_open_ = false;
};

}  // namespace spile::gui
