#include "app/cli/print_logbook.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ostream>
#include <string>
#include <vector>

#include "app/checklist.hpp"
#include "app/logbook_json.hpp"
#include "app/wording.hpp"
#include "model/names.hpp"
#include "rules/standing_value.hpp"

namespace spile::app::cli {

namespace {

// Characters on screen, not bytes: labels hold signs such as "±".
std::size_t width_of(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

using Row = std::vector<std::string>;

void print_columns(std::ostream& out, const std::vector<Row>& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width_of(row[i]));
  }
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i) {
      line += row[i];
      if (i + 1 < row.size()) line += std::string(widths[i] - width_of(row[i]) + 2, ' ');
    }
    out << trimmed(line) << '\n';
  }
}

std::string value_to_go_by(const Snapshot& snapshot, const OpeningView& view, model::Quantity quantity) {
  const auto* m = rules::standing_value(view.measurements, quantity, snapshot.newest_first());
  return m ? print_interval(m->value, m->u95, model::unit_of(quantity)) : "-";
}

std::string height_text(const model::Opening& opening) {
  return opening.height_mm ? print_number(*opening.height_mm, 0) + " mm" : "-";
}

std::string_view or_dash(std::string_view text) {
  return text.empty() ? std::string_view("-") : text;
}

void print_survey(std::ostream& out, const Snapshot& snapshot, const rules::Tables& tables) {
  for (const auto& survey : snapshot.surveys) {
    if (survey.id != snapshot.survey) continue;
    out << fmt::format("Survey of {}{}{}, {}\n", survey.date, survey.title.empty() ? "" : ", ", survey.title,
                       lower(model::label(survey.afloat)));
  }
  if (!snapshot.openings.empty()) out << progress_words(checklist_of(snapshot, tables)) << '\n';
  if (snapshot.surveys.size() > 1) out << fmt::format("{} surveys in all\n", snapshot.surveys.size());
}

void print_vessel(std::ostream& out, const Snapshot& snapshot) {
  if (!snapshot.vessel) {
    out << "No vessel recorded yet.\n";
    return;
  }
  const auto& v = *snapshot.vessel;
  out << fmt::format("{}: {}", v.name.empty() ? "Vessel" : v.name, lower(model::label(v.type)));
  if (v.length_mm) out << fmt::format(", {} m", print_number(*v.length_mm / 1000, 2));
  if (v.construction != model::HullConstruction::Unknown) out << ", " << lower(model::label(v.construction));
  out << '\n';
}

void print_field(std::ostream& out, std::string_view name, std::string_view value) {
  if (!value.empty()) out << fmt::format("  {:<22} {}\n", name, value);
}

template <class E>
std::string_view known(E value) {
  return model::key(value) == "unknown" ? std::string_view() : model::label(value);
}

std::string millimetres(const std::optional<double>& mm) {
  return mm ? print_mm(*mm) : std::string();
}

void print_place(std::ostream& out, const Session& session, const model::Opening& o) {
  print_field(out, "Service", rules::label_of(session.tables().services(), o.service));
  print_field(out, "Side", model::label(o.side));
  print_field(out, "From the bow", millimetres(o.from_bow_mm));
  print_field(out, "Above the waterline", millimetres(o.height_mm));
  print_field(out, "Half breadth", millimetres(o.half_breadth_mm));
  print_field(out, "Construction here", known(o.construction));
  print_field(out, "Hull radius", millimetres(o.hull_radius_mm));
  print_field(out, "To the nearest frame", millimetres(o.frame_mm));
  print_field(out, "Clear room inwards", millimetres(o.clear_depth_mm));
  print_field(out, "Clear room across", millimetres(o.clear_width_mm));
  print_field(out, "Reached", known(o.reach));
  if (o.reach_s) print_field(out, "Time to reach it", print_number(*o.reach_s, 0) + " s");
  print_field(out, "Notes", o.notes);
}

void print_fitting(std::ostream& out, const rules::Tables& tables, const model::Fitting& f) {
  print_field(out, "Fitting", rules::label_of(tables.fitting_kinds(), f.kind));
  print_field(out, "Material", rules::label_of(tables.materials(), f.material));
  print_field(out, "Size", f.nominal_size);
  print_field(out, "Thread", f.thread);
  print_field(out, "Fitted", f.fitted);
  print_field(out, "Bedding", rules::label_of(rules::choices_of(tables.beddings()), f.bedding));
  print_field(out, "Valve's material", rules::label_of(tables.materials(), f.valve_material));
  print_field(out, "Valve's thread", f.valve_thread);
  print_field(out, "Tail's material", rules::label_of(tables.materials(), f.tail_material));
  print_field(out, "Shank", millimetres(f.shank_mm));
  print_field(out, "Thread's length", millimetres(f.thread_length_mm));
  print_field(out, "Nut", millimetres(f.nut_mm));
  print_field(out, "Height inside", millimetres(f.stack_mm));
  print_field(out, "Hose tail", millimetres(f.tail_mm));
  print_field(out, "Hose bore", millimetres(f.bore_mm));
  print_field(out, "Hose bend", millimetres(f.bend_mm));
  print_field(out, "To go in next", f.next.nominal_size);
  print_field(out, "Next one's material", rules::label_of(tables.materials(), f.next.material));
  print_field(out, "Next one's shank", millimetres(f.next.shank_mm));
  print_field(out, "Next one's flange", millimetres(f.next.flange_mm));
  print_field(out, "Next one's thread", millimetres(f.next.thread_length_mm));
  print_field(out, "Notes on the fitting", f.notes);
}

void print_observation(std::ostream& out, const rules::Tables& tables, const model::Observation& o) {
  const auto backings = rules::choices_of(tables.backing_materials());
  print_field(out, "Seen", model::label(o.seen));
  print_field(out, "Condition", known(o.condition));
  print_field(out, "At the waterline", known(o.waterline));
  print_field(out, "Material as seen", rules::label_of(tables.materials(), o.fitting_material));
  print_field(out, "Valve", rules::label_of(tables.valve_kinds(), o.valve_kind));
  print_field(out, "Valve works", known(o.valve));
  print_field(out, "Backing", known(o.backing));
  print_field(out, "Backing material", rules::label_of(backings, o.backing_material));
  print_field(out, "Backing thickness", millimetres(o.backing_thickness_mm));
  std::string found;
  for (const auto& key : o.findings)
    found += (found.empty() ? "" : ", ") + lower(rules::label_of(rules::choices_of(tables.findings()), key));
  print_field(out, "Found", found);
  if (o.clips) print_field(out, "Clips", print_number(*o.clips, 0));
  print_field(out, "Plug", known(o.plug));
  if (o.bonding_ohm) print_field(out, "Bonding", print_number(*o.bonding_ohm, 2) + " ohm");
  print_field(out, "Hose", o.hose);
  print_field(out, "Notes of this survey", o.notes);
}

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (const auto& part : parts) text += (text.empty() ? "" : ", ") + part;
  return text;
}

void print_list(std::ostream& out, std::string_view title, const std::vector<std::string>& items) {
  if (items.empty()) return;
  out << "  " << title << '\n';
  for (const auto& item : items) out << "    - " << item << '\n';
}

}  // namespace

void print_logbook(std::ostream& out, const Session& session) {
  const auto& snapshot = session.snapshot();
  print_vessel(out, snapshot);
  print_survey(out, snapshot, session.tables());
  if (snapshot.openings.empty()) {
    out << "No openings recorded yet.\n";
  } else {
    std::vector<Row> rows = {{"Tag", "Service", "Side", "Height", "Hole", "Laminate", "State"}};
    for (const auto& view : snapshot.openings) {
      const auto& o = view.opening;
      rows.push_back({o.tag, std::string(or_dash(rules::label_of(session.tables().services(), o.service))),
                      std::string(model::label(o.side)), height_text(o),
                      value_to_go_by(snapshot, view, model::Quantity::HoleDiameter),
                      value_to_go_by(snapshot, view, model::Quantity::LaminateThickness),
                      std::string(standing_label(view.standing))});
    }
    out << '\n';
    print_columns(out, rows);
  }
  if (!snapshot.unfiled.empty())
    out << fmt::format("\n{} of this survey {} filed under no opening.\n",
                       counted(snapshot.unfiled.size(), "photo"),
                       snapshot.unfiled.size() == 1 ? "is" : "are");
}

void print_opening(std::ostream& out, const Session& session, const OpeningView& view) {
  out << fmt::format("{}: {}\n", view.opening.tag, standing_label(view.standing));
  print_place(out, session, view.opening);
  if (view.fitting) print_fitting(out, session.tables(), *view.fitting);
  if (view.observation) print_observation(out, session.tables(), *view.observation);
  for (const auto& m : view.measurements) {
    out << fmt::format("  Measured #{:<13} {} ({}{})\n", m.id.value, print_measurement(m),
                       lower(model::label(m.method)), m.note.empty() ? "" : "; " + m.note);
  }
  for (const auto& photo : view.photos)
    print_field(out, "Photo",
                photo.photo.original_name + (photo.use.finding.empty() ? "" : ": " + photo.use.finding));
  print_field(out, "Not recorded yet", joined(view.missing));
}

void print_verdicts(std::ostream& out, const OpeningView& view) {
  out << fmt::format("{}: {}\n", view.opening.tag, standing_label(view.standing));
  for (const auto& verdict : view.verdicts) {
    out << fmt::format("\n{}: {}\n", verdict.title, verdict.headline);
    for (const auto& input : verdict.inputs) out << fmt::format("  {}: {}\n", input.label, input.text);
    print_list(out, "Why", verdict.reasons);
    print_list(out, "What to do", verdict.actions);
    if (!verdict.margin.empty()) out << "  Margin: " << verdict.margin << '\n';
    print_list(
        out, rules::settle_by(verdict).empty() ? "What would change it" : "What would settle it, best first",
        verdict.would_change);
    print_list(out, "Sources", verdict.sources);
    if (!verdict.caution.empty()) out << "  Caution: " << verdict.caution << '\n';
  }
}

}  // namespace spile::app::cli
