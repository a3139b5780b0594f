#include "rules/table_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/names.hpp"
#include "units/text.hpp"

namespace spile::rules {

namespace {

template <class T, std::size_t N>
using Words = std::array<std::pair<std::string_view, T>, N>;

constexpr Words<Suitability, 3> kSuitability{{{"accept", Suitability::Accept},
                                              {"conditional", Suitability::Conditional},
                                              {"reject", Suitability::Reject}}};
constexpr Words<Flow, 7> kFlows{{{"intake", Flow::Intake},
                                 {"discharge", Flow::Discharge},
                                 {"drain", Flow::Drain},
                                 {"exhaust", Flow::Exhaust},
                                 {"vent", Flow::Vent},
                                 {"shaft", Flow::Shaft},
                                 {"closed", Flow::Closed}}};
constexpr Words<ShutOff, 7> kShutOffs{{{"valve", ShutOff::Valve},
                                       {"plug", ShutOff::Plug},
                                       {"gland", ShutOff::Gland},
                                       {"riser", ShutOff::Riser},
                                       {"loop", ShutOff::Loop},
                                       {"none", ShutOff::None},
                                       {"never", ShutOff::Never}}};
constexpr Words<Urgency, 4> kUrgencies{{{"before-launch", Urgency::BeforeLaunch},
                                        {"this-season", Urgency::ThisSeason},
                                        {"keep-an-eye-on", Urgency::KeepAnEyeOn},
                                        {"nothing", Urgency::Nothing}}};
constexpr Words<Effort, 4> kEfforts{
    {{"easy", Effort::Easy}, {"plain", Effort::Plain}, {"hard", Effort::Hard}, {"cut", Effort::Cut}}};
constexpr Words<bool, 2> kYesNo{{{"yes", true}, {"no", false}}};

template <std::size_t N>
constexpr Words<std::string_view, N> as_written(const std::string_view (&words)[N]) {
  Words<std::string_view, N> out{};
  for (std::size_t i = 0; i < N; ++i) out[i] = {words[i], words[i]};
  return out;
}

constexpr auto kFamilies =
    as_written({"copper", "plastic", "stainless", "steel", "aluminium", "titanium", "laminate"});
constexpr auto kForms = as_written({"npt", "npsm", "g", "r"});
constexpr auto kThresholdUnits =
    as_written({"mm", "deg", "ratio", "N", "MPa", "V", "s", "ohm", "years", "turns", "clips"});

constexpr std::string_view kNeededThresholds[] = {
    "reinforce.single-skin.min",
    "reinforce.single-skin.comfortable",
    "reinforce.block.hull-share",
    "reinforce.block.overlap",
    "reinforce.block.flat",
    "reinforce.core.closeout.min",
    "reinforce.core.closeout.share",
    "reinforce.panel.radius",
    "load.static",
    "load.lever",
    "load.wood.crush",
    "laminate.flexural.strength",
    "laminate.design.share",
    "heel.sail-monohull",
    "heel.sail-multihull",
    "heel.power",
    "zone.height.u95",
    "zone.half-breadth.u95",
    "zone.sinkage.u95",
    "zone.margin",
    "valve.bilge-discharge.height",
    "run.rim.margin",
    "galvanic.caution",
    "galvanic.reject",
    "reinforce.block.shim",
    "reinforce.block.bevel",
    "load.lever.u95",
    "laminate.shear.strength",
    "laminate.strength.u95",
    "size.clearance.least",
    "size.clearance.from",
    "size.clearance.to",
    "size.clearance.most",
    "size.saw.wobble",
    "size.saw.wobble.u95",
    "size.sanding.most",
    "size.overlap.least",
    "size.overlap.share",
    "size.shank.u95",
    "size.bedding.film",
    "size.thread.beyond",
    "room.bend.share",
    "room.elbow.share",
    "room.tail.share",
    "room.spanner.around",
    "room.length.u95",
    "access.quick",
    "valve.clips",
    "bonding.most",
    "zone.trim.u95",
    "removal.old",
};

std::vector<std::string> split_words(std::string_view text) {
  std::vector<std::string> words;
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    if (end > 0) words.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return words;
}

// A nominal size is written as the trade says it, so it must read as inches.
double inch_size(const CsvRow& row) {
  const auto read = units::parse_length(row.text("size_in") + " in");
  if (read) return read->length.value();
  row.note("size_in", fmt::format("\"{}\" is not a size in inches.", row.text("size_in")));
  return 0;
}

void usual_size(const CsvRow& row) {
  const auto size = row.optional_text("usual_size");
  if (!size.empty() && !units::parse_length(size))
    row.note("usual_size", fmt::format("\"{}\" is not a size.", size));
}

Span span(const CsvRow& row, const std::string& what) {
  const Span read{row.positive(what + "_from_mm"), row.positive(what + "_to_mm")};
  if (read.from_mm > read.to_mm) row.note(what + "_to_mm", "it is smaller than where the range starts.");
  return read;
}

}  // namespace

Result<Tables> TableReader::read() {
  read_services();
  read_materials();
  read_fitting_kinds();
  check_usual_kinds();
  read_valve_kinds();
  read_backing_materials();
  read_instruments();
  read_thresholds();
  check_needed_thresholds();
  read_threads();
  read_hole_saws();
  read_nominal_sizes();
  read_beddings();
  read_findings();
  read_thread_joints();
  read_removals();
  read_intervals();
  read_trend_limits();
  if (fault_) return tl::unexpected(*fault_);
  return std::move(tables_);
}

void TableReader::unique(const CsvRow& row, std::string_view column, const std::string& key) {
  if (!keys_.insert(key).second) row.note(column, fmt::format("\"{}\" stands in an earlier row too.", key));
}

Choice TableReader::choice(const CsvRow& row, std::string group) {
  Choice read{row.key("key"), row.text("label"), std::move(group), row.optional_text("note"), row.source()};
  unique(row, "key", read.key);
  return read;
}

void TableReader::read_services() {
  each_row(
      "services.csv",
      {"key", "label", "group", "flow", "shut_off", "usual_kind", "usual_size", "note", "source"},
      [&](const CsvRow& row) {
        tables_.service_rows_.push_back({choice(row, row.text("group")), row.one_of("flow", kFlows),
                                         row.one_of("shut_off", kShutOffs), row.optional_text("usual_kind"),
                                         row.optional_text("usual_size")});
        usual_size(row);
        tables_.services_.push_back(tables_.service_rows_.back().choice);
      });
}

void TableReader::read_materials() {
  each_row("materials.csv",
           {"key", "label", "group", "family", "below_waterline", "heeled", "above", "potential_low_v",
            "potential_high_v", "note", "source"},
           [&](const CsvRow& row) {
             Material material{choice(row, row.text("group")),
                               std::string(row.one_of("family", kFamilies)),
                               row.one_of("below_waterline", kSuitability),
                               row.one_of("heeled", kSuitability),
                               row.one_of("above", kSuitability),
                               row.optional_number("potential_low_v"),
                               row.optional_number("potential_high_v")};
             if (material.potential_low.has_value() != material.potential_high.has_value()) {
               row.note("potential_high_v", "a range needs both its ends.");
             }
             if (material.potential_low && *material.potential_low > *material.potential_high) {
               row.note("potential_high_v", "it is below the low end of the range.");
             }
             tables_.materials_.push_back(material.choice);
             tables_.material_rows_.push_back(std::move(material));
           });
}

void TableReader::read_fitting_kinds() {
  each_row("fitting_kinds.csv", {"key", "label", "group", "takes_valve", "note", "source"},
           [&](const CsvRow& row) {
             tables_.fitting_kind_rows_.push_back(
                 {choice(row, row.text("group")), row.one_of("takes_valve", kYesNo)});
             tables_.fitting_kinds_.push_back(tables_.fitting_kind_rows_.back().choice);
           });
}

void TableReader::read_valve_kinds() {
  each_row("valve_kinds.csv", {"key", "label", "group", "as_seacock", "note", "source"},
           [&](const CsvRow& row) {
             tables_.valve_kind_rows_.push_back(
                 {choice(row, row.text("group")), row.one_of("as_seacock", kSuitability)});
             tables_.valve_kinds_.push_back(tables_.valve_kind_rows_.back().choice);
           });
}

void TableReader::read_backing_materials() {
  each_row("backing_materials.csv",
           {"key", "label", "group", "below_waterline", "min_thickness_mm", "metal", "why", "note", "source"},
           [&](const CsvRow& row) {
             BackingMaterial material{choice(row, row.text("group")),
                                      row.one_of("below_waterline", kSuitability), row.text("why"),
                                      row.optional_number("min_thickness_mm"), row.optional_text("metal")};
             if (material.below_waterline != Suitability::Reject && !material.min_thickness_mm) {
               row.note("min_thickness_mm", "a material that may serve needs its least thickness.");
             }
             if (!material.metal.empty() && !tables_.material(material.metal)) {
               row.note("metal", fmt::format("\"{}\" is not a key of materials.csv.", material.metal));
             }
             tables_.backing_materials_.push_back(std::move(material));
           });
}

void TableReader::read_instruments() {
  each_row("instruments.csv", {"key", "label", "u95_mm", "note", "source"}, [&](const CsvRow& row) {
    Instrument instrument{choice(row, {}), row.positive("u95_mm")};
    const auto method = model::from_key<model::Method>(instrument.choice.key);
    if (!method || *method == model::Method::PhotoAuto || *method == model::Method::PhotoByHand) {
      row.note("key", fmt::format("\"{}\" is not a method of measuring by hand.", instrument.choice.key));
    }
    tables_.instruments_.push_back(std::move(instrument));
  });
}

void TableReader::read_thresholds() {
  each_row("thresholds.csv", {"key", "label", "value", "unit", "note", "source"}, [&](const CsvRow& row) {
    Threshold threshold{row.key("key"),
                        row.text("label"),
                        row.positive("value"),
                        std::string(row.one_of("unit", kThresholdUnits)),
                        row.optional_text("note"),
                        row.source()};
    unique(row, "key", threshold.key);
    tables_.thresholds_.push_back(std::move(threshold));
  });
}

// The kinds are read after the services, since they say nothing of them.
void TableReader::check_usual_kinds() {
  for (const auto& service : tables_.service_rows_) {
    if (fault_ || service.usual_kind.empty() || tables_.fitting_kind(service.usual_kind)) continue;
    fault_ = Error{ErrorCode::BadInput,
                   fmt::format("Table services.csv, the row {}, column usual_kind: \"{}\" is not a key of "
                               "fitting_kinds.csv.",
                               service.choice.key, service.usual_kind),
                   "Correct the table and load it again.",
                   {}};
  }
}

void TableReader::check_needed_thresholds() {
  for (const auto needed : kNeededThresholds) {
    const auto& all = tables_.thresholds_;
    if (fault_ || std::any_of(all.begin(), all.end(), [&](const Threshold& t) { return t.key == needed; })) {
      continue;
    }
    fault_ = Error{ErrorCode::BadInput,
                   fmt::format("Table thresholds.csv, column key: the row \"{}\" is missing.", needed),
                   "Correct the table and load it again.",
                   {}};
  }
}

void TableReader::read_threads() {
  each_row("threads.csv",
           {"key", "label", "form", "size_in", "major_mm", "threads_per_inch", "pitch_diameter_mm",
            "minor_mm", "hand_tight_mm", "effective_mm", "flank_deg", "tapered", "source"},
           [&](const CsvRow& row) {
             inch_size(row);
             PipeThread thread;
             thread.choice = {row.key("key"), row.text("label"), row.text("form"), {}, row.source()};
             unique(row, "key", thread.choice.key);
             thread.form = row.one_of("form", kForms);
             thread.size_in = row.text("size_in");
             thread.major_mm = row.positive("major_mm");
             thread.threads_per_inch = row.positive("threads_per_inch");
             thread.pitch_diameter_mm = row.optional_number("pitch_diameter_mm");
             thread.minor_mm = row.optional_number("minor_mm");
             thread.hand_tight_mm = row.optional_number("hand_tight_mm");
             thread.effective_mm = row.optional_number("effective_mm");
             thread.flank_deg = row.positive("flank_deg");
             thread.tapered = row.one_of("tapered", kYesNo);
             tables_.threads_.push_back(std::move(thread));
           });
}

void TableReader::read_hole_saws() {
  each_row("hole_saws.csv", {"size_in", "diameter_mm", "sold_as_mm", "source"}, [&](const CsvRow& row) {
    const HoleSaw saw{row.text("size_in"), row.positive("diameter_mm"), row.positive("sold_as_mm"),
                      row.source()};
    unique(row, "size_in", saw.size_in);
    if (std::abs(saw.diameter_mm - inch_size(row)) > 0.001) {
      row.note("diameter_mm", fmt::format("it is not {} in.", saw.size_in));
    }
    if (std::abs(saw.diameter_mm - saw.sold_as_mm) > 0.6) {
      row.note("sold_as_mm", "it is not the diameter in whole millimetres.");
    }
    tables_.hole_saws_.push_back(saw);
  });
  std::sort(tables_.hole_saws_.begin(), tables_.hole_saws_.end(),
            [](const HoleSaw& a, const HoleSaw& b) { return a.diameter_mm < b.diameter_mm; });
}

void TableReader::read_nominal_sizes() {
  each_row("nominal_sizes.csv",
           {"size_in", "nps_outside_mm", "g_outside_mm", "hole_from_mm", "hole_to_mm", "flange_from_mm",
            "flange_to_mm", "nut_from_mm", "nut_to_mm", "base_from_mm", "base_to_mm", "source"},
           [&](const CsvRow& row) {
             inch_size(row);
             NominalSize size;
             size.size_in = row.text("size_in");
             unique(row, "size_in", size.size_in);
             size.nps_outside_mm = row.positive("nps_outside_mm");
             size.g_outside_mm = row.positive("g_outside_mm");
             size.hole = span(row, "hole");
             size.flange = span(row, "flange");
             size.nut = span(row, "nut");
             if (!row.optional_text("base_from_mm").empty()) size.base = span(row, "base");
             size.source = row.source();
             tables_.nominal_sizes_.push_back(std::move(size));
           });
}

void TableReader::read_beddings() {
  each_row("beddings.csv",
           {"key", "label", "group", "below_waterline", "above", "never_on", "cure_days", "removal", "note",
            "source"},
           [&](const CsvRow& row) {
             Bedding bedding{choice(row, row.text("group")),    row.one_of("below_waterline", kSuitability),
                             row.one_of("above", kSuitability), split_words(row.optional_text("never_on")),
                             row.optional_number("cure_days"),  row.text("removal")};
             for (const auto& key : bedding.never_on)
               if (!tables_.material(key))
                 row.note("never_on", fmt::format("\"{}\" is not a key of materials.csv.", key));
             tables_.beddings_.push_back(std::move(bedding));
           });
}

void TableReader::read_findings() {
  each_row("findings.csv",
           {"key", "label", "group", "condition", "below", "above", "why", "action", "note", "source"},
           [&](const CsvRow& row) {
             Finding finding{choice(row, row.text("group")),
                             0,
                             row.one_of("below", kUrgencies),
                             row.one_of("above", kUrgencies),
                             row.text("why"),
                             row.text("action")};
             const auto condition = model::from_key<model::Condition>(row.text("condition"));
             if (!condition || *condition == model::Condition::Unknown) {
               row.note("condition", fmt::format("\"{}\" is not a condition.", row.text("condition")));
             } else {
               finding.condition = static_cast<int>(*condition);
             }
             if (finding.above < finding.below)
               row.note("above", "it is more urgent than below the waterline.");
             tables_.findings_.push_back(std::move(finding));
           });
}

void TableReader::read_thread_joints() {
  each_row("thread_joints.csv", {"male", "female", "verdict", "why", "source"}, [&](const CsvRow& row) {
    ThreadJoint joint{std::string(row.one_of("male", kForms)), std::string(row.one_of("female", kForms)),
                      row.one_of("verdict", kSuitability), row.text("why"), row.source()};
    unique(row, "female", joint.male + " in " + joint.female);
    tables_.thread_joints_.push_back(std::move(joint));
  });
}

void TableReader::read_removals() {
  each_row("removals.csv", {"key", "label", "when", "effort", "breaks", "way", "note", "source"},
           [&](const CsvRow& row) {
             RemovalRow removal{choice(row, {}), row.text("when"), row.one_of("effort", kEfforts),
                                row.optional_text("breaks"), row.text("way")};
             if (!removal_applies_to_something(removal.when))
               row.note("when", fmt::format("\"{}\" names nothing that can be recorded.", removal.when));
             tables_.removals_.push_back(std::move(removal));
           });
}

bool TableReader::removal_applies_to_something(std::string_view when) const {
  const auto colon = when.find(':');
  if (colon == when.npos) return false;
  const auto what = when.substr(0, colon), key = when.substr(colon + 1);
  if (what == "bedding") return tables_.bedding(key) != nullptr;
  if (what == "material") return tables_.material(key) != nullptr;
  if (what == "family")
    return std::any_of(kFamilies.begin(), kFamilies.end(), [&](const auto& f) { return f.first == key; });
  if (what == "finding") return tables_.finding(key) != nullptr;
  if (what == "kind") return tables_.fitting_kind(key) != nullptr;
  return what == "age" && key == "long";
}

}  // namespace spile::rules
