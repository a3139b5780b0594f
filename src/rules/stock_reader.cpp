#include "rules/stock_reader.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "units/text.hpp"

namespace spile::rules {

namespace {

constexpr std::array<std::pair<std::string_view, PartKind>, 14> kKinds{
    {{"fixture", PartKind::Fixture},
     {"pump", PartKind::Pump},
     {"hose", PartKind::Hose},
     {"tail", PartKind::Tail},
     {"elbow", PartKind::Elbow},
     {"reducer", PartKind::Reducer},
     {"connector", PartKind::Connector},
     {"valve", PartKind::Valve},
     {"strainer", PartKind::Strainer},
     {"non-return", PartKind::NonReturn},
     {"loop", PartKind::Loop},
     {"tee", PartKind::Tee},
     {"through-hull", PartKind::ThroughHull},
     {"other", PartKind::Other}}};
constexpr std::array<std::pair<std::string_view, EndForm>, 12> kForms{{{"none", EndForm::None},
                                                                       {"hose", EndForm::Hose},
                                                                       {"tail", EndForm::Tail},
                                                                       {"npt-male", EndForm::NptMale},
                                                                       {"npt-female", EndForm::NptFemale},
                                                                       {"npsm-male", EndForm::NpsmMale},
                                                                       {"npsm-female", EndForm::NpsmFemale},
                                                                       {"g-male", EndForm::GMale},
                                                                       {"g-female", EndForm::GFemale},
                                                                       {"r-male", EndForm::RMale},
                                                                       {"r-female", EndForm::RFemale},
                                                                       {"any", EndForm::Any}}};
constexpr std::array<std::pair<std::string_view, bool>, 2> kYesNo{{{"yes", true}, {"no", false}}};

double not_negative(const CsvRow& row, std::string_view column) {
  const double value = row.optional_number(column).value_or(0);
  if (value < 0) row.note(column, fmt::format("{} is negative.", value));
  return value;
}

PartEnd end(const CsvRow& row, const std::string& which) {
  PartEnd read;
  read.form = row.one_of(which + "_form", kForms);
  read.size = row.optional_text(which + "_size");
  if (read.form == EndForm::None || read.form == EndForm::Any) return read;
  const bool hose = read.form == EndForm::Hose || read.form == EndForm::Tail;
  const auto length = units::parse_length(hose ? read.size : read.size + " in");
  if (length) {
    read.size_mm = length->length.value();
  } else {
    row.note(which + "_size", fmt::format("\"{}\" is not a size.", read.size));
  }
  return read;
}

double hose_of(const CsvRow& row, std::string_view column) {
  if (const auto* step = nominal_step(row.text(column))) return step->hose_mm;
  row.note(column, fmt::format("\"{}\" is not a size of the trade.", row.text(column)));
  return 0;
}

}  // namespace

Result<Stock> StockReader::read() {
  read_losses();
  read_parts();
  read_services();
  read_templates();
  if (fault_) return tl::unexpected(*fault_);
  return std::move(stock_);
}

void StockReader::read_losses() {
  each_row(text_of_, "losses.csv", {"key", "label", "bore_mm", "k", "spread", "note", "source"}, fault_,
           [&](const CsvRow& row) {
             const std::string key = row.key("key");
             auto& all = stock_.losses_;
             if (all.empty() || all.back().key != key)
               all.push_back({key, row.text("label"), row.source(), {}, not_negative(row, "spread")});
             const double bore = row.positive("bore_mm");
             auto& points = all.back().k_by_bore;
             if (!points.empty() && bore <= points.back().first)
               row.note("bore_mm", "the bores must stand smallest first.");
             points.emplace_back(bore, not_negative(row, "k"));
           });
}

void StockReader::read_parts() {
  each_row(text_of_, "run_parts.csv",
           {"key", "label", "kind", "in_form", "in_size", "out_form", "out_size", "bore_mm", "bore_u95_mm",
            "length_mm", "loss", "rough_mm", "rough_least_mm", "rough_most_mm", "vented", "curve", "note",
            "source"},
           fault_, [&](const CsvRow& row) {
             StockPart part;
             part.choice = {row.key("key"), row.text("label"), row.text("kind"), row.optional_text("note"),
                            row.source()};
             if (stock_.part(part.choice.key)) row.note("key", "it stands in an earlier row too.");
             part.kind = row.one_of("kind", kKinds);
             part.in = end(row, "in");
             part.out = end(row, "out");
             part.bore_mm = row.positive("bore_mm");
             part.bore_u95_mm = not_negative(row, "bore_u95_mm");
             part.length_mm = not_negative(row, "length_mm");
             part.loss = row.key("loss");
             const auto known = [&](const Loss& l) { return l.key == part.loss; };
             if (std::none_of(stock_.losses_.begin(), stock_.losses_.end(), known))
               row.note("loss", fmt::format("\"{}\" is not a key of losses.csv.", part.loss));
             part.rough_mm = not_negative(row, "rough_mm");
             part.rough_least_mm = not_negative(row, "rough_least_mm");
             part.rough_most_mm = not_negative(row, "rough_most_mm");
             if (part.rough_least_mm > part.rough_mm || part.rough_mm > part.rough_most_mm)
               row.note("rough_mm", "it is outside of its own range.");
             part.vented = row.one_of("vented", kYesNo);
             part.curve = row.optional_text("curve");
             if ((part.kind == PartKind::Pump) == part.curve.empty())
               row.note("curve", "a pump has one, and only a pump.");
             stock_.parts_.push_back(std::move(part));
           });
}

void StockReader::read_services() {
  each_row(text_of_, "run_services.csv",
           {"service", "size_from", "size_to", "flow_from_lpm", "flow_to_lpm", "outlet_height_mm",
            "basin_depth_mm", "basin_litres", "note", "source"},
           fault_, [&](const CsvRow& row) {
             ServiceRun s;
             s.service = row.key("service");
             if (stock_.service(s.service)) row.note("service", "it stands in an earlier row too.");
             s.size_from = row.text("size_from");
             s.size_to = row.text("size_to");
             s.size_from_mm = hose_of(row, "size_from");
             s.size_to_mm = hose_of(row, "size_to");
             if (s.size_from_mm > s.size_to_mm)
               row.note("size_to", "it is smaller than where the range starts.");
             s.flow_from_lpm = row.positive("flow_from_lpm");
             s.flow_to_lpm = row.positive("flow_to_lpm");
             s.outlet_height_mm = row.number("outlet_height_mm");
             s.basin_depth_mm = not_negative(row, "basin_depth_mm");
             s.basin_litres = not_negative(row, "basin_litres");
             s.note = row.optional_text("note");
             s.source = row.source();
             stock_.services_.push_back(std::move(s));
           });
}

void StockReader::read_templates() {
  each_row(text_of_, "run_templates.csv",
           {"service", "step", "part", "length_mm", "rise_mm", "bends", "source"}, fault_,
           [&](const CsvRow& row) {
             const std::string service = row.key("service");
             if (!stock_.service(service)) row.note("service", "it is not in run_services.csv.");
             const std::string part = row.key("part");
             if (!stock_.part(part))
               row.note("part", fmt::format("\"{}\" is not a key of run_parts.csv.", part));
             if (row.number("step") != static_cast<double>(stock_.steps(service).size() + 1))
               row.note("step", "the steps of a service are counted from 1 and stand in order.");
             (void)row.source();
             stock_.steps_.emplace_back(
                 service, TemplateStep{part, row.optional_number("length_mm"), row.optional_number("rise_mm"),
                                       row.optional_number("bends")});
           });
}

}  // namespace spile::rules
