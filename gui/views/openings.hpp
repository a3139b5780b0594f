// The list of openings with their state at a glance, and the photos that belong to none yet.
#pragma once

#include <optional>
#include <vector>

#include "gui/ui.hpp"

namespace spile::gui {

class OpeningsView {
 public:
  void draw(const Ui& ui);
  void focus_filter() { focus_filter_ = true; }
  // Where a file fell: the opening whose row is there.
  [[nodiscard]] std::optional<model::OpeningId> row_at(ImVec2 screen) const;

 private:
  struct Row {
    ImVec2 min, max;
    model::OpeningId opening;
  };
  void draw_head(const Ui& ui);
  void draw_table(const Ui& ui);
  void draw_row(const Ui& ui, const app::OpeningView& view);
  void draw_unfiled(const Ui& ui);

  std::string filter_;
  bool focus_filter_ = false;
  std::optional<model::OpeningId> last_selected_;
  std::vector<Row> rows_;
};

}  // namespace spile::gui
