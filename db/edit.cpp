#include "db/edit.hpp"

#include <fmt/format.h>

#include <exception>

#include "db/fault.hpp"
#include "db/journal.hpp"
#include "db/run_rows.hpp"
#include "db/sql.hpp"
#include "db/text.hpp"
#include "db/trace_json.hpp"
#include "model/names.hpp"

namespace spile::db {
namespace {

template <class E>
Value key_of(E value) {
  return std::string(model::key(value));
}

[[noreturn]] void gone(const char* noun) {
  raise(ErrorCode::NotFound, fmt::format("The {} is no longer in the logbook.", noun),
        "Go back to the list and choose again.");
}

std::int64_t save_row(SQLite::Database& db, const char* table, const char* noun, std::int64_t id,
                      const Fields& fields) {
  if (id == 0) return insert_row(db, table, fields);
  if (!update_row(db, table, id, fields)) gone(noun);
  return id;
}

Fields fields_of(const model::Vessel& v) {
  return {{"name", v.name},
          {"type", key_of(v.type)},
          {"construction", key_of(v.construction)},
          {"length_mm", real_or_null(v.length_mm)},
          {"beam_mm", real_or_null(v.beam_mm)},
          {"draught_mm", real_or_null(v.draught_mm)},
          {"freeboard_mm", real_or_null(v.freeboard_mm)},
          {"loaded_sinkage_mm", v.loaded_sinkage_mm},
          {"heel_deg", real_or_null(v.heel_deg)},
          {"trim_deg", real_or_null(v.trim_deg)},
          {"built", v.built},
          {"notes", v.notes}};
}

Fields fields_of(const model::Opening& o) {
  return {{"tag", o.tag},
          {"service", known(o.service)},
          {"side", key_of(o.side)},
          {"from_bow_mm", real_or_null(o.from_bow_mm)},
          {"height_mm", real_or_null(o.height_mm)},
          {"half_breadth_mm", real_or_null(o.half_breadth_mm)},
          {"construction", key_of(o.construction)},
          {"hull_radius_mm", real_or_null(o.hull_radius_mm)},
          {"frame_mm", real_or_null(o.frame_mm)},
          {"clear_depth_mm", real_or_null(o.clear_depth_mm)},
          {"clear_width_mm", real_or_null(o.clear_width_mm)},
          {"reach", key_of(o.reach)},
          {"reach_s", real_or_null(o.reach_s)},
          {"notes", o.notes}};
}

Fields fields_of(const model::Fitting& f) {
  return {{"opening_id", f.opening.value},
          {"kind", known(f.kind)},
          {"material", known(f.material)},
          {"nominal_size", f.nominal_size},
          {"thread", known(f.thread)},
          {"fitted", f.fitted},
          {"valve_thread", known(f.valve_thread)},
          {"valve_material", known(f.valve_material)},
          {"tail_material", known(f.tail_material)},
          {"bedding", known(f.bedding)},
          {"shank_mm", real_or_null(f.shank_mm)},
          {"thread_length_mm", real_or_null(f.thread_length_mm)},
          {"nut_mm", real_or_null(f.nut_mm)},
          {"stack_mm", real_or_null(f.stack_mm)},
          {"tail_mm", real_or_null(f.tail_mm)},
          {"bore_mm", real_or_null(f.bore_mm)},
          {"bend_mm", real_or_null(f.bend_mm)},
          {"next_size", f.next.nominal_size},
          {"next_material", known(f.next.material)},
          {"next_shank_mm", real_or_null(f.next.shank_mm)},
          {"next_flange_mm", real_or_null(f.next.flange_mm)},
          {"next_thread_length_mm", real_or_null(f.next.thread_length_mm)},
          {"notes", f.notes}};
}

Fields fields_of(const model::Survey& s) {
  return {{"date", s.date},
          {"title", s.title},
          {"surveyor", s.surveyor},
          {"afloat", key_of(s.afloat)},
          {"notes", s.notes}};
}

Fields fields_of(const model::Observation& o) {
  return {{"opening_id", o.opening.value},
          {"survey_id", o.survey.value},
          {"seen", key_of(o.seen)},
          {"condition", key_of(o.condition)},
          {"waterline", key_of(o.waterline)},
          {"fitting_material", known(o.fitting_material)},
          {"valve_kind", known(o.valve_kind)},
          {"valve", key_of(o.valve)},
          {"backing", key_of(o.backing)},
          {"backing_material", known(o.backing_material)},
          {"backing_thickness_mm", real_or_null(o.backing_thickness_mm)},
          {"findings", joined_words(o.findings)},
          {"clips", real_or_null(o.clips)},
          {"plug", key_of(o.plug)},
          {"bonding_ohm", real_or_null(o.bonding_ohm)},
          {"hose", o.hose},
          {"notes", o.notes}};
}

Fields fields_of(const model::Measurement& m) {
  return {{"opening_id", m.opening.value},
          {"survey_id", m.survey.value},
          {"photo_id", id_or_null(m.photo)},
          {"quantity", key_of(m.quantity)},
          {"label", m.label},
          {"value", m.value},
          {"u95", m.u95},
          {"method", key_of(m.method)},
          {"instrument", m.instrument},
          {"trace_json", m.trace ? Value(to_json(*m.trace)) : Value()},
          {"note", m.note},
          {"made_at_utc", m.made_at.empty() ? utc_now() : m.made_at},
          {"supersedes", id_or_null(m.supersedes)}};
}

Fields fields_of(const model::PhotoUse& u) {
  return {{"photo_id", u.photo.value},
          {"survey_id", u.survey.value},
          {"opening_id", id_or_null(u.opening)},
          {"caption", u.caption},
          {"finding", u.finding}};
}

Fields fields_of(const model::CameraProfile& p) {
  return {{"camera", p.camera},
          {"focal_mm", real_or_null(p.focal_mm)},
          {"focal_35mm_mm", real_or_null(p.focal_35mm)},
          {"digital_zoom", p.digital_zoom},
          {"width_px", std::int64_t{p.width_px}},
          {"height_px", std::int64_t{p.height_px}},
          {"focal_px", p.focal_px},
          {"u_log_focal", p.u_log_focal},
          {"k1", p.k1},
          {"u_k1", p.u_k1},
          {"k2", p.k2},
          {"u_k2", p.u_k2},
          {"k_correlation", p.k_correlation},
          {"centre_x_px", p.centre_x_px},
          {"centre_y_px", p.centre_y_px},
          {"u_centre_px", p.u_centre_px},
          {"photos", std::int64_t{p.photos}},
          {"rms_px", p.rms_px},
          {"reach", p.reach},
          {"date", p.date},
          {"note", p.note}};
}

// The schema refuses these too, but cannot say which of several rules was broken.
void expect_fitting_correction(const SQLite::Database& db, const model::Measurement& m) {
  if (!m.supersedes || !m.supersedes->stored()) return;
  const auto id = m.supersedes->value;
  if (number(db, "SELECT count(*) FROM measurement WHERE id = ?", {id}) == 0) {
    gone("measurement to be corrected");
  }
  if (number(db, "SELECT count(*) FROM measurement WHERE id = ? AND opening_id = ? AND quantity = ?",
             {id, m.opening.value, key_of(m.quantity)}) == 0) {
    raise(ErrorCode::BadInput,
          "A measurement is corrected by another of the same opening and quantity, and this is not one.",
          "Record it as a measurement of its own.");
  }
}

void insert_budget(SQLite::Database& db, std::int64_t measurement,
                   const std::vector<model::BudgetTerm>& budget) {
  std::int64_t position = 0;
  for (const auto& [term, u] : budget) {
    insert_row(db, "budget_term",
               {{"measurement_id", measurement}, {"position", position++}, {"term", term}, {"u", u}});
  }
}

void remove_measurements(SQLite::Database& db, const std::string& of, std::int64_t id) {
  run(db, "DELETE FROM budget_term WHERE measurement_id IN (SELECT id FROM measurement WHERE " + of + " = ?)",
      {id});
  run(db, "DELETE FROM measurement WHERE " + of + " = ?", {id});
}

// A photo that the survey holds elsewhere already is not also kept as one that belongs to no opening.
void unfile_photos(SQLite::Database& db, std::int64_t opening) {
  run(db,
      "DELETE FROM photo_use AS u WHERE u.opening_id = ? AND EXISTS (SELECT 1 FROM photo_use AS other WHERE"
      " other.photo_id = u.photo_id AND other.survey_id = u.survey_id AND other.id <> u.id)",
      {opening});
  run(db, "UPDATE photo_use SET opening_id = NULL WHERE opening_id = ?", {opening});
}

void expect_no_later_correction(const SQLite::Database& db, std::int64_t survey) {
  if (number(db,
             "SELECT count(*) FROM measurement AS later JOIN measurement AS earlier ON later.supersedes = "
             "earlier.id"
             " WHERE earlier.survey_id = ? AND later.survey_id <> ?",
             {survey, survey}) > 0) {
    raise(ErrorCode::Refused,
          "This survey cannot be removed: a measurement recorded in another survey corrects one of its own.",
          "Keep the survey, or undo that correction first.");
  }
}

void remove_row(SQLite::Database& db, const char* sql, const char* noun, std::int64_t id) {
  if (run(db, sql, {id}) == 0) gone(noun);
}

}  // namespace

std::int64_t RecordedEdit::step(const std::function<std::int64_t()>& work) {
  if (fault_) std::rethrow_exception(fault_);
  try {
    const Recorder recorder(db_);
    const auto id = work();
    if (auto changeset = recorder.changeset(); !changeset.empty()) steps_.push_back(std::move(changeset));
    return id;
  } catch (...) {
    fault_ = std::current_exception();
    throw;
  }
}

void RecordedEdit::rows_step(const std::function<void()>& work) {
  step([&] {
    work();
    return std::int64_t{0};
  });
}

void RecordedEdit::save_vessel(const model::Vessel& vessel) {
  step([&] {
    auto fields = fields_of(vessel);
    if (update_row(db_, "vessel", 1, fields)) return std::int64_t{1};
    fields.push_back({"id", std::int64_t{1}});
    return insert_row(db_, "vessel", fields);
  });
}

model::OpeningId RecordedEdit::save_opening(const model::Opening& opening) {
  return {step([&] { return save_row(db_, "opening", "opening", opening.id.value, fields_of(opening)); })};
}

void RecordedEdit::remove_opening(model::OpeningId opening) {
  step([&] {
    const auto id = opening.value;
    remove_measurements(db_, "opening_id", id);
    run(db_, "DELETE FROM observation WHERE opening_id = ?", {id});
    run(db_, "DELETE FROM fitting WHERE opening_id = ?", {id});
    remove_runs_of(db_, opening);
    unfile_photos(db_, id);
    remove_row(db_, "DELETE FROM opening WHERE id = ?", "opening", id);
    return id;
  });
}

model::FittingId RecordedEdit::save_fitting(const model::Fitting& fitting) {
  return {step([&] { return save_row(db_, "fitting", "fitting", fitting.id.value, fields_of(fitting)); })};
}

void RecordedEdit::remove_fitting(model::FittingId fitting) {
  step([&] {
    remove_row(db_, "DELETE FROM fitting WHERE id = ?", "fitting", fitting.value);
    return fitting.value;
  });
}

model::SurveyId RecordedEdit::save_survey(const model::Survey& survey) {
  return {step([&] { return save_row(db_, "survey", "survey", survey.id.value, fields_of(survey)); })};
}

void RecordedEdit::remove_survey(model::SurveyId survey) {
  step([&] {
    const auto id = survey.value;
    expect_no_later_correction(db_, id);
    remove_measurements(db_, "survey_id", id);
    run(db_, "DELETE FROM observation WHERE survey_id = ?", {id});
    run(db_, "DELETE FROM photo_use WHERE survey_id = ?", {id});
    remove_row(db_, "DELETE FROM survey WHERE id = ?", "survey", id);
    return id;
  });
}

model::ObservationId RecordedEdit::save_observation(const model::Observation& observation) {
  return {step([&] {
    return save_row(db_, "observation", "observation", observation.id.value, fields_of(observation));
  })};
}

model::MeasurementId RecordedEdit::add_measurement(const model::Measurement& measurement) {
  return {step([&] {
    if (measurement.id.stored()) {
      raise(ErrorCode::BadInput, "A measurement that is in the logbook already is not recorded again.",
            "Record a correction that supersedes it.");
    }
    expect_fitting_correction(db_, measurement);
    const auto id = insert_row(db_, "measurement", fields_of(measurement));
    insert_budget(db_, id, measurement.budget);
    return id;
  })};
}

void RecordedEdit::withdraw_measurement(model::MeasurementId measurement) {
  step([&] {
    const auto id = measurement.value;
    if (number(db_, "SELECT count(*) FROM measurement WHERE id = ?", {id}) == 0) gone("measurement");
    run(db_, "UPDATE measurement SET withdrawn_at_utc = ? WHERE id = ? AND withdrawn_at_utc IS NULL",
        {utc_now(), id});
    return id;
  });
}

model::PhotoUseId RecordedEdit::save_photo_use(const model::PhotoUse& use) {
  return {step([&] { return save_row(db_, "photo_use", "photo", use.id.value, fields_of(use)); })};
}

void RecordedEdit::remove_photo_use(model::PhotoUseId use) {
  step([&] {
    remove_row(db_, "DELETE FROM photo_use WHERE id = ?", "photo", use.value);
    return use.value;
  });
}

model::RunId RecordedEdit::save_run(const model::Run& run) {
  return {step([&] { return write_run(db_, run); })};
}

void RecordedEdit::remove_run(model::RunId run) {
  step([&] {
    db::remove_run(db_, run);
    return run.value;
  });
}

void RecordedEdit::save_bilge(const model::Bilge& bilge) {
  step([&] {
    write_bilge(db_, bilge);
    return std::int64_t{1};
  });
}

void RecordedEdit::save_yard_table(const model::YardTable& table) {
  step([&] {
    const Fields fields = {{"name", table.name}, {"csv", table.csv}};
    const auto id = number(db_, "SELECT id FROM yard_table WHERE name = ?", {table.name});
    return save_row(db_, "yard_table", "table", id, fields);
  });
}

void RecordedEdit::remove_yard_table(const std::string& name) {
  step([&] {
    if (db::run(db_, "DELETE FROM yard_table WHERE name = ?", {name}) == 0) gone("table");
    return std::int64_t{0};
  });
}

model::CameraProfileId RecordedEdit::add_camera_profile(const model::CameraProfile& profile) {
  return {step([&] { return insert_row(db_, "camera_profile", fields_of(profile)); })};
}

void RecordedEdit::remove_camera_profile(model::CameraProfileId profile) {
  step([&] {
    remove_row(db_, "DELETE FROM camera_profile WHERE id = ?", "camera profile", profile.value);
    return profile.value;
  });
}

}  // namespace spile::db
