#include "gui/views/trends.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "app/trends.hpp"
#include "app/wording.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/figure.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"
#include "model/names.hpp"

namespace spile::gui {

namespace {

using trends::Change;

constexpr double kPaperWidth = 110;

void plot(const Ui& ui, const figures::Figure& drawn, const std::string& name) {
  draw_figure(ui, drawn, std::min(ImGui::GetContentRegionAvail().x, ui.px(560)));
  hooks::note(name);
}

// A change is neither good nor bad by itself: only a limit that is passed is a state.
void verdict(const Ui& ui, Change change, const std::string& words, const std::string& name) {
  ImGui::PushFont(ui.fonts.strong);
  if (change == Change::TooFew) ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  wrapped(words);
  if (change == Change::TooFew) ImGui::PopStyleColor();
  ImGui::PopFont();
  hooks::note(name);
}

void methods(const Ui& ui, const trends::ValueTrend& trend) {
  if (trend.methods.size() < 2) return;
  for (const auto& m : trend.methods) {
    const std::string rate =
        m.rate ? show_interval(m.rate->per_year, m.rate->u95, trend.quantity, ui.lengths) + " a year"
               : std::string("of one survey only");
    soft_wrapped(ui, fmt::format("By {} alone: {}", app::lower(model::label(m.method)), rate));
  }
}

void quantity(const Ui& ui, const app::QuantityTrend& q) {
  const std::string name(model::key(q.trend.quantity));
  section(ui, app::name_of(q.trend));
  verdict(ui, q.trend.change, app::verdict_words(q.trend), "trends.verdict." + name);
  if (q.limit && q.trend.change != Change::TooFew) {
    const std::string words = app::limit_words(q);
    if (q.reached->reach == trends::Reach::Passed || q.reached->reach == trends::Reach::Expected) {
      caution_box(ui, words, q.reached->reach == trends::Reach::Passed ? ui.colours.act : ui.colours.watch,
                  MarkShape::Triangle);
    } else {
      soft_wrapped(ui, words);
    }
    hooks::note("trends.limit." + name);
  }
  plot(ui, app::trend_figure(q, kPaperWidth), "trends.plot." + name);
  methods(ui, q.trend);
  soft_wrapped(ui, q.trend.test);
}

void grades(const Ui& ui, const app::GradeSeries& series) {
  const std::string name = series.grade == app::Grade::Condition ? "condition" : "valve";
  section(ui, app::label(series.grade));
  verdict(ui, series.trend.change, app::verdict_words(series), "trends.verdict." + name);
  plot(ui, app::grade_figure(series, kPaperWidth), "trends.plot." + name);
  soft_wrapped(ui, series.trend.test);
}

}  // namespace

void draw_trends(const Ui& ui) {
  const app::OpeningView* view = ui.desk.selected();
  if (!view) {
    soft_wrapped(ui, "Choose an opening in the list to see what changed over the seasons.");
    return;
  }
  heading(ui, "Over the seasons");
  beside_heading(ui);
  soft_text(ui, "of " + view->opening.tag);
  const auto found = app::trends_of(*ui.desk.logbook(), *view, *ui.desk.tables());
  if (found.quantities.empty() && found.grades.empty()) {
    soft_wrapped(ui, "Nothing was measured or graded here yet.");
    return;
  }
  std::string one_season;
  for (const auto& q : found.quantities) {
    if (q.trend.change != Change::TooFew) {
      quantity(ui, q);
    } else {
      one_season += (one_season.empty() ? "" : ", ") + app::lower(app::name_of(q.trend));
    }
  }
  for (const auto& series : found.grades) grades(ui, series);
  if (one_season.empty()) return;
  section(ui, "Too few");
  soft_wrapped(ui, fmt::format("Measured in one survey only: {}.", one_season));
  hooks::note("trends.too_few");
}

}  // namespace spile::gui
