// Runs and water of the selected opening: its run as a line of parts, what does not match and what to do,
// what flows, what comes in if it lets go. Parts are picked, ordered and measured here.
#pragma once

#include <optional>
#include <string>

#include "gui/ui.hpp"
#include "model/ids.hpp"

namespace spile::gui {

class WaterPane {
 public:
  void draw(const Ui& ui);

 private:
  void draw_run(const Ui& ui, const app::OpeningView& opening, const app::RunView& run);
  void draw_parts(const Ui& ui, const app::RunView& run);
  void draw_part(const Ui& ui, const app::RunView& run, std::size_t index);
  void draw_add(const Ui& ui, const app::RunView& run);

  std::optional<model::RunId> chosen_;  // where several runs end here
  std::size_t kind_ = 2;                // of part to add: hose
};

}  // namespace spile::gui
