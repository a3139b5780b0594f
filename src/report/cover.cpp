#include <fmt/format.h>

#include <algorithm>

#include "figures/standing.hpp"
#include "model/names.hpp"
#include "report/paint_figure.hpp"
#include "report/sections.hpp"

namespace spile::report {

namespace {

using rules::Standing;

int count(const SurveyReport& data, Standing standing) {
  return static_cast<int>(std::count_if(data.openings.begin(), data.openings.end(),
                                        [&](const auto& o) { return o.mark.standing == standing; }));
}

int not_looked_at(const SurveyReport& data) {
  return static_cast<int>(std::count_if(data.openings.begin(), data.openings.end(),
                                        [](const auto& o) { return o.seen != model::Seen::Looked; }));
}

std::string lower_first(std::string_view label) {
  std::string text(label);
  if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z') text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

std::string metres(const std::optional<double>& mm) {
  return mm ? fmt::format("{:.2f} m", *mm / 1000) : "not recorded";
}

void vessel_facts(Flow& flow, const SurveyReport& data) {
  const auto& v = data.vessel;
  std::vector<Row> rows = {
      {"Vessel", fmt::format("{}, {}", model::label(v.type), lower_first(model::label(v.construction)))}};
  rows.push_back({"Length, beam, draught",
                  fmt::format("{}, {}, {}", metres(v.length_mm), metres(v.beam_mm), metres(v.draught_mm))});
  if (!v.built.empty()) rows.push_back({"Built", v.built});
  rows.push_back({"Surveyed", fmt::format("{}, {}", long_date(data.survey.date),
                                          lower_first(model::label(data.survey.afloat)))});
  if (!data.survey.surveyor.empty()) rows.push_back({"By", data.survey.surveyor});
  if (!data.survey.notes.empty()) rows.push_back({"Notes", data.survey.notes});
  flow.rows(rows, 42);
}

// Four figures at a glance, each with its mark.
void tally(Flow& flow, const SurveyReport& data) {
  struct Entry {
    int number;
    std::string words;
    std::optional<Standing> standing;
  };
  const std::vector<Entry> entries = {
      {static_cast<int>(data.openings.size()), "openings through the hull", {}},
      {count(data, Standing::Act), "need work before she is launched", Standing::Act},
      {count(data, Standing::TooCloseToTell), "too close to tell, to be settled", Standing::TooCloseToTell},
      {not_looked_at(data), "not looked at this time", Standing::NotKnownYet}};
  const double gap = 3, width = (flow.width() - 3 * gap) / 4, height = 21;
  flow.need(height);
  Pdf& pdf = flow.pdf();
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const double x = flow.left() + static_cast<double>(i) * (width + gap);
    pdf.frame({x, flow.y(), width, height}, 0.25, kHairline);
    pdf.label(std::to_string(entries[i].number), {x + 3, flow.y() + 10}, {22, Weight::Bold});
    if (entries[i].standing) {
      const auto look = figures::look_of(*entries[i].standing);
      paint_mark(pdf, look.shape, look.role, {x + width - 5, flow.y() + 5.5}, 4);
    }
    pdf.text(entries[i].words, {x + 3, flow.y() + 12}, width - 6, {8.5, Weight::Regular, kGrey});
  }
  flow.gap(height + 5);
}

void findings(Flow& flow, const SurveyReport& data, Standing standing, const std::string& title,
              const std::string& none) {
  flow.heading(2, title, "");
  bool any = false;
  for (const auto& opening : data.openings) {
    if (opening.mark.standing != standing) continue;
    any = true;
    std::string text;
    for (const auto& verdict : opening.verdicts)
      if (verdict.standing == standing) text += (text.empty() ? "" : " ") + verdict.headline;
    flow.need(10);
    const auto look = figures::look_of(standing);
    paint_mark(flow.pdf(), look.shape, look.role, {flow.left() + 1.6, flow.y() + 2.2}, 3);
    flow.pdf().begin_link(place_of(opening));
    flow.paragraph(fmt::format("{}  {}", opening.mark.tag, opening.service), kStrong, 6);
    flow.pdf().end_link();
    if (!text.empty()) flow.paragraph(text, {9, Weight::Regular, kBlack}, 6);
    flow.gap(1.2);
  }
  if (!any) flow.paragraph(none, kBody);
}

std::string names_of(const SurveyReport& data, model::Seen seen) {
  std::string names;
  for (const auto& opening : data.openings)
    if (opening.seen == seen)
      names += fmt::format("{}{} ({})", names.empty() ? "" : ", ", opening.mark.tag, opening.service);
  return names;
}

void not_seen(Flow& flow, const SurveyReport& data) {
  flow.heading(2, "Not looked at this time", "");
  const std::string skipped = names_of(data, model::Seen::NotLookedAt);
  const std::string unsure = names_of(data, model::Seen::ToBeConfirmed);
  if (skipped.empty() && unsure.empty()) flow.paragraph("Every opening was looked at.", kBody);
  if (!skipped.empty()) flow.paragraph("Not looked at: " + skipped + ".", kBody);
  if (!unsure.empty())
    flow.paragraph("Carried over or seen in part, to be confirmed: " + unsure + ".", kBody);
  if (!data.unfiled.empty())
    flow.paragraph(fmt::format("{} {} not been given to an opening yet.", data.unfiled.size(),
                               data.unfiled.size() == 1 ? "photo has" : "photos have"),
                   kBody);
}

std::string zones_sentence(const SurveyReport& data) {
  std::vector<std::pair<std::string, int>> zones;
  for (const auto& opening : data.openings) {
    const std::string zone = opening.zone.empty() ? "not yet placed against the waterline" : opening.zone;
    const auto it = std::find_if(zones.begin(), zones.end(), [&](const auto& z) { return z.first == zone; });
    if (it == zones.end())
      zones.emplace_back(zone, 1);
    else
      ++it->second;
  }
  std::string text;
  for (std::size_t i = 0; i < zones.size(); ++i) {
    const char* between = i == 0 ? "" : i + 1 == zones.size() ? " and " : ", ";
    const auto& [zone, number] = zones[i];
    text += fmt::format("{}{} {} {}", between, number, number == 1 ? "is" : "are", zone);
  }
  return text.empty() ? "" : "Of her openings, " + text + ".";
}

}  // namespace

void cover(Flow& flow, const SurveyReport& data) {
  Pdf& pdf = flow.pdf();
  flow.go_to(19);
  flow.gap(pdf.text("Survey of the openings through the hull", {flow.left(), flow.y()}, flow.width(),
                    {12, Weight::Regular, kGrey}));
  const std::string name = data.vessel.name.empty() ? "Vessel without a name" : data.vessel.name;
  flow.gap(pdf.text(name, {flow.left(), flow.y()}, flow.width(), {30, Weight::Bold}) + 1);
  flow.gap(pdf.text(survey_name(data.survey), {flow.left(), flow.y()}, flow.width(), {14, Weight::Medium}) +
           4);
  vessel_facts(flow, data);
  flow.gap(4);
  tally(flow, data);
  const std::string zones = zones_sentence(data);
  if (!zones.empty()) flow.paragraph(zones, kBody);
  flow.gap(2);
  flow.boxed(
      "Read this with care",
      "A fitting that fails below the waterline can sink her. This report says what was seen and measured on "
      "the "
      "day of the survey and what follows from it by the rules it names; it is no warranty. Local codes, the "
      "builder's instructions and a licensed surveyor or yard come before it. Cautions and limits stand at "
      "its end.");
  flow.gap(2);
  findings(flow, data, Standing::Act, "To be done before she is launched",
           data.openings.empty() ? "No opening is recorded."
                                 : "Nothing that was looked at asks for work before launch.");
  if (count(data, Standing::TooCloseToTell) > 0)
    findings(flow, data, Standing::TooCloseToTell, "Too close to tell: to be settled before she is launched",
             "");
  not_seen(flow, data);
}

void contents(Flow& flow, const SurveyReport& data) {
  flow.new_page();
  flow.heading(1, "Contents", "contents");
  const auto entry = [&](const std::string& text, const std::string& place, double indent,
                         const Standing* standing) {
    flow.need(6);
    Pdf& pdf = flow.pdf();
    pdf.begin_link(place);
    if (standing) {
      const auto look = figures::look_of(*standing);
      paint_mark(pdf, look.shape, look.role, {flow.left() + indent - 3, flow.y() + 2.2}, 2.8);
    }
    const double height = pdf.text(text, {flow.left() + indent, flow.y()}, flow.width() - 20 - indent, kBody);
    pdf.text(flow.page_of(place), {flow.left() + flow.width() - 16, flow.y()}, 16,
             {9.5, Weight::Regular, kBlack, Set::Right});
    pdf.end_link();
    flow.gap(height + 0.9);
  };
  entry("Where the openings are", "drawings", 0, nullptr);
  entry("All openings", "table", 0, nullptr);
  for (const auto& opening : data.openings)
    entry(fmt::format("{}  {}", opening.mark.tag, opening.service), place_of(opening), 8,
          &opening.mark.standing);
  if (!data.water.floods.empty()) entry("What comes in if one lets go", "flooding", 0, nullptr);
  if (!data.water.runs.empty()) entry("Runs of hose and parts", "runs", 0, nullptr);
  if (!data.unfiled.empty()) entry("Photos that belong to no opening yet", "unfiled", 0, nullptr);
  entry("How it was measured, and how well", "method", 0, nullptr);
  entry("Cautions and limits", "cautions", 0, nullptr);
  entry("Photos and their fingerprints", "register", 0, nullptr);
}

}  // namespace spile::report
