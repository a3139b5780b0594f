#include "db/run_rows.hpp"

#include "db/fault.hpp"
#include "db/sql.hpp"

namespace spile::db {
namespace {

[[noreturn]] void gone() {
  raise(ErrorCode::NotFound, "The run is no longer in the logbook.", "Go back to the list and choose again.");
}

Fields fields_of(const model::Run& r) {
  return {{"opening_id", r.opening.value},
          {"joins_run_id", r.joins ? Value(r.joins->run.value) : Value()},
          {"joins_behind_part", r.joins ? Value(std::int64_t{r.joins->behind_part}) : Value()},
          {"name", r.name},
          {"outlet_height_mm", real_or_null(r.outlet_height_mm)},
          {"basin_depth_mm", real_or_null(r.basin_depth_mm)},
          {"basin_litres", real_or_null(r.basin_litres)},
          {"from_centreline_mm", real_or_null(r.from_centreline_mm)},
          {"notes", r.notes}};
}

Fields fields_of(const model::RunPart& p, std::int64_t run, std::int64_t position) {
  return {{"run_id", run},
          {"position", position},
          {"part", p.part},
          {"bore_mm", real_or_null(p.bore_mm)},
          {"length_mm", real_or_null(p.length_mm)},
          {"rise_mm", real_or_null(p.rise_mm)},
          {"bends", real_or_null(p.bends)},
          {"curve", known(p.curve)},
          {"turned", std::int64_t{p.turned ? 1 : 0}},
          {"note", p.note}};
}

model::RunPart part_of(SQLite::Statement& row) {
  model::RunPart p;
  p.part = text_of(row, "part");
  p.bore_mm = real_of(row, "bore_mm");
  p.length_mm = real_of(row, "length_mm");
  p.rise_mm = real_of(row, "rise_mm");
  p.bends = real_of(row, "bends");
  p.curve = text_of(row, "curve");
  p.turned = int_of(row, "turned") != 0;
  p.note = text_of(row, "note");
  return p;
}

model::Run run_of(SQLite::Statement& row) {
  model::Run r;
  r.id = id_of<model::Run>(row, "id");
  r.opening = id_of<model::Opening>(row, "opening_id");
  if (const auto host = id_if_any<model::Run>(row, "joins_run_id"))
    r.joins = model::RunJoin{*host, static_cast<int>(int_of(row, "joins_behind_part"))};
  r.name = text_of(row, "name");
  r.outlet_height_mm = real_of(row, "outlet_height_mm");
  r.basin_depth_mm = real_of(row, "basin_depth_mm");
  r.basin_litres = real_of(row, "basin_litres");
  r.from_centreline_mm = real_of(row, "from_centreline_mm");
  r.notes = text_of(row, "notes");
  return r;
}

}  // namespace

std::vector<model::Run> read_runs(const SQLite::Database& db) {
  std::vector<model::Run> runs;
  SQLite::Statement row(db, "SELECT * FROM run ORDER BY id");
  while (row.executeStep()) runs.push_back(run_of(row));
  SQLite::Statement part(db, "SELECT * FROM run_part WHERE run_id = ? ORDER BY position");
  for (auto& run : runs) {
    part.bind(1, run.id.value);
    while (part.executeStep()) run.parts.push_back(part_of(part));
    part.reset();
  }
  return runs;
}

std::int64_t write_run(SQLite::Database& db, const model::Run& run) {
  auto id = run.id.value;
  if (!run.id.stored()) {
    id = insert_row(db, "run", fields_of(run));
  } else if (!update_row(db, "run", id, fields_of(run))) {
    gone();
  }
  db::run(db, "DELETE FROM run_part WHERE run_id = ?", {id});
  std::int64_t position = 0;
  for (const auto& part : run.parts) insert_row(db, "run_part", fields_of(part, id, position++));
  return id;
}

void remove_run(SQLite::Database& db, model::RunId run) {
  if (number(db, "SELECT count(*) FROM run WHERE joins_run_id = ? AND id <> ?", {run.value, run.value}) > 0)
    raise(ErrorCode::Refused, "This run cannot be removed: another run joins it.",
          "Let that run end somewhere else first, or remove it too.");
  db::run(db, "DELETE FROM run_part WHERE run_id = ?", {run.value});
  if (db::run(db, "DELETE FROM run WHERE id = ?", {run.value}) == 0) gone();
}

void remove_runs_of(SQLite::Database& db, model::OpeningId opening) {
  db::run(db,
          "UPDATE run SET joins_run_id = NULL, joins_behind_part = NULL WHERE joins_run_id IN"
          " (SELECT id FROM run WHERE opening_id = ?)",
          {opening.value});
  db::run(db, "DELETE FROM run_part WHERE run_id IN (SELECT id FROM run WHERE opening_id = ?)",
          {opening.value});
  db::run(db, "DELETE FROM run WHERE opening_id = ?", {opening.value});
}

model::Bilge read_bilge(const SQLite::Database& db) {
  SQLite::Statement row(db, "SELECT * FROM bilge");
  if (!row.executeStep()) return {};
  return {real_of(row, "sole_litres"), real_of(row, "waterplane_m2"), real_of(row, "other_pumps_lpm")};
}

void write_bilge(SQLite::Database& db, const model::Bilge& bilge) {
  Fields fields = {{"sole_litres", real_or_null(bilge.sole_litres)},
                   {"waterplane_m2", real_or_null(bilge.waterplane_m2)},
                   {"other_pumps_lpm", real_or_null(bilge.other_pumps_lpm)}};
  if (update_row(db, "bilge", 1, fields)) return;
  fields.push_back({"id", std::int64_t{1}});
  insert_row(db, "bilge", fields);
}

}  // namespace spile::db
