// One opening on one page: what is missing, what was seen in this survey, what was measured, where it is,
// what fitting sits in it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "gui/ui.hpp"

namespace spile::gui {

// The field that settles a phrase of what is missing (rules/missing.hpp); empty when there is none.
[[nodiscard]] std::string field_of_missing(std::string_view phrase);

class RecordView {
 public:
  void draw(const Ui& ui);

 private:
  void draw_head(const Ui& ui, const app::OpeningView& view);
  void draw_missing(const Ui& ui, const app::OpeningView& view);
  void draw_survey(const Ui& ui, const app::OpeningView& view);
  void draw_backing(const Ui& ui, const app::OpeningView& view);
  void draw_measurements(const Ui& ui, const app::OpeningView& view);
  void draw_typing(const Ui& ui, const app::OpeningView& view);
  void draw_place(const Ui& ui, const app::OpeningView& view);
  void draw_fitting(const Ui& ui, const app::OpeningView& view);
  void draw_usual(const Ui& ui, const app::OpeningView& view);
  void draw_next(const Ui& ui, const app::OpeningView& view);
  void draw_room(const Ui& ui, const app::OpeningView& view);
  void record_typed(const Ui& ui, const app::OpeningView& view);

  // What is being typed as a measurement.
  model::Quantity quantity_ = model::Quantity::LaminateThickness;
  model::Method method_ = model::Method::Caliper;
  std::string typed_, typed_u95_, layer_ = "laminate";
  std::int64_t typed_for_ = 0;  // the opening it belongs to
};

}  // namespace spile::gui
