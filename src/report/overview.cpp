#include <fmt/format.h>

#include "figures/standing.hpp"
#include "metrology/print.hpp"
#include "model/names.hpp"
#include "report/sections.hpp"

namespace spile::report {

namespace {

std::vector<figures::OpeningMark> marks_of(const SurveyReport& data) {
  std::vector<figures::OpeningMark> marks;
  for (const auto& opening : data.openings) marks.push_back(opening.mark);
  return marks;
}

std::string value_text(const ReportOpening& opening, model::Quantity quantity) {
  const ReportValue* value = best_of(opening, quantity);
  return value ? metrology::print_interval(value->measurement.value, value->measurement.u95, "") : "–";
}

std::string or_dash(const std::string& text) {
  return text.empty() ? "–" : text;
}

// "Bronze (leaded tin bronze 85-5-5-5)" is "Bronze" in a narrow column.
std::string short_name(const std::string& label) {
  return or_dash(label.substr(0, label.find(" (")));
}

// In two lines of 32 digits, so that it is broken at the same place everywhere.
std::string fingerprint(const std::string& sha256) {
  return sha256.size() == 64 ? sha256.substr(0, 32) + "\n" + sha256.substr(32) : or_dash(sha256);
}

}  // namespace

void drawings(Flow& flow, const SurveyReport& data) {
  flow.new_page();
  flow.heading(1, "Where the openings are", "drawings");
  const auto marks = marks_of(data);
  flow.paragraph(
      "Drawn from her length, beam, draught and freeboard only: a map for finding the openings, not her "
      "lines.",
      kSmall);
  flow.gap(2);
  flow.figure(figures::standing_legend(marks, flow.width()));
  flow.figure(figures::hull_plan(data.vessel, marks, flow.width()));
  flow.figure(figures::hull_profile(data.vessel, marks, flow.width()));
  flow.figure(figures::hull_section(data.vessel, marks, data.heel_deg, flow.width() * 0.66));
}

void table_of_openings(Flow& flow, const SurveyReport& data) {
  flow.new_page();
  flow.heading(1, "All openings", "table");
  const double rest = flow.width() - (16 + 26 + 25 + 25 + 27 + 23);
  const std::vector<Column> columns = {{"Tag", 16},
                                       {"Service", rest},
                                       {"Zone", 26},
                                       {"Hole Ø, mm", 25, Set::Right},
                                       {"Laminate, mm", 25, Set::Right},
                                       {"Fitting and valve", 27},
                                       {"Stands", 23}};
  std::vector<std::vector<Cell>> rows;
  for (const auto& o : data.openings) {
    std::string fitting = short_name(o.material);
    if (!o.valve.empty()) fitting += "; " + o.valve;
    rows.push_back(
        {{o.mark.tag, nullptr, Weight::Medium, place_of(o)},
         {o.service, nullptr, Weight::Regular, {}},
         {or_dash(o.zone), nullptr, Weight::Regular, {}},
         {value_text(o, model::Quantity::HoleDiameter), nullptr, Weight::Regular, {}},
         {value_text(o, model::Quantity::LaminateThickness), nullptr, Weight::Regular, {}},
         {fitting, nullptr, Weight::Regular, {}},
         {std::string(figures::look_of(o.mark.standing).word), &o.mark.standing, Weight::Regular, {}}});
  }
  flow.table(columns, rows);
  flow.paragraph(
      "Values with their 95 % interval, of the latest survey that has one; of several, that with the "
      "narrowest interval. A "
      "dash: not recorded.",
      kSmall);
}

void photo_register(Flow& flow, const SurveyReport& data) {
  flow.heading(1, "Photos and their fingerprints", "register");
  std::vector<std::vector<Cell>> rows;
  const auto add = [&](const std::string& tag, const std::vector<ReportPhoto>& photos) {
    for (const auto& p : photos)
      rows.push_back({{tag, nullptr, Weight::Medium, {}},
                      {p.name, nullptr, Weight::Regular, {}},
                      {or_dash(p.taken_at.substr(0, 10)), nullptr, Weight::Regular, {}},
                      {fingerprint(p.sha256), nullptr, Weight::Regular, {}}});
  };
  for (const auto& opening : data.openings) add(opening.mark.tag, opening.photos);
  add("–", data.unfiled);
  if (rows.empty()) {
    flow.paragraph("No photo belongs to this survey.", kBody);
    return;
  }
  flow.paragraph(
      "The originals are kept unchanged in the logbook. The SHA-256 of a file there must equal the one "
      "printed here.",
      kBody);
  flow.gap(1.5);
  flow.table({{"Tag", 16}, {"Photo", 46}, {"Taken", 22}, {"SHA-256 of the original", flow.width() - 84}},
             rows);
}

}  // namespace spile::report
