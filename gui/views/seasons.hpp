// The whole vessel season by season: openings by surveys, what is due, and the walk round of the current
// survey.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "app/checklist.hpp"
#include "app/due.hpp"
#include "gui/ui.hpp"

namespace spile::gui {

class SeasonsView {
 public:
  void draw(const Ui& ui);

 private:
  void refresh(const Ui& ui);
  void draw_table(const Ui& ui) const;
  void draw_due(const Ui& ui) const;
  void draw_walk(const Ui& ui) const;

  // Worked out once for each state of the logbook and each day, not once a frame.
  std::uint64_t logbook_ = 0, revision_ = 0;
  std::string day_;
  std::vector<app::SeasonRow> rows_;
  std::vector<app::DueItem> due_;
  app::Checklist walk_;
};

}  // namespace spile::gui
