#include "db/records.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "db/fault.hpp"
#include "db/sql.hpp"
#include "db/text.hpp"
#include "db/trace_json.hpp"
#include "model/names.hpp"

namespace spile::db {
namespace {

template <class E>
E choice_of(SQLite::Statement& row, const char* column) {
  const auto text = text_of(row, column);
  if (const auto value = model::from_key<E>(text)) return *value;
  raise(ErrorCode::LogbookDamaged,
        fmt::format("The logbook holds the word “{}” where it should hold a {}.", text, column),
        "Copy the whole folder to a safe place, then go back to your newest copy of the logbook.");
}

template <class Read>
auto read_all(const SQLite::Database& db, const std::string& sql, const Read& read,
              const std::vector<Value>& values = {}) {
  SQLite::Statement row(db, sql);
  bind_all(row, values);
  std::vector<decltype(read(row))> records;
  while (row.executeStep()) records.push_back(read(row));
  return records;
}

template <class Record>
std::optional<Record> first_of(std::vector<Record> records) {
  return records.empty() ? std::nullopt : std::optional(std::move(records.front()));
}

model::Vessel vessel_of(SQLite::Statement& row) {
  model::Vessel v;
  v.name = text_of(row, "name");
  v.type = choice_of<model::VesselType>(row, "type");
  v.construction = choice_of<model::HullConstruction>(row, "construction");
  v.length_mm = real_of(row, "length_mm");
  v.beam_mm = real_of(row, "beam_mm");
  v.draught_mm = real_of(row, "draught_mm");
  v.freeboard_mm = real_of(row, "freeboard_mm");
  v.loaded_sinkage_mm = row.getColumn("loaded_sinkage_mm").getDouble();
  v.heel_deg = real_of(row, "heel_deg");
  v.trim_deg = real_of(row, "trim_deg");
  v.built = text_of(row, "built");
  v.notes = text_of(row, "notes");
  return v;
}

model::Opening opening_of(SQLite::Statement& row) {
  model::Opening o;
  o.id = id_of<model::Opening>(row, "id");
  o.tag = text_of(row, "tag");
  o.service = text_of(row, "service");
  o.side = choice_of<model::Side>(row, "side");
  o.from_bow_mm = real_of(row, "from_bow_mm");
  o.height_mm = real_of(row, "height_mm");
  o.half_breadth_mm = real_of(row, "half_breadth_mm");
  o.construction = choice_of<model::HullConstruction>(row, "construction");
  o.hull_radius_mm = real_of(row, "hull_radius_mm");
  o.frame_mm = real_of(row, "frame_mm");
  o.clear_depth_mm = real_of(row, "clear_depth_mm");
  o.clear_width_mm = real_of(row, "clear_width_mm");
  o.reach = choice_of<model::Reach>(row, "reach");
  o.reach_s = real_of(row, "reach_s");
  o.notes = text_of(row, "notes");
  return o;
}

model::Replacement replacement_of(SQLite::Statement& row) {
  return {text_of(row, "next_size"), text_of(row, "next_material"), real_of(row, "next_shank_mm"),
          real_of(row, "next_flange_mm"), real_of(row, "next_thread_length_mm")};
}

model::Fitting fitting_of(SQLite::Statement& row) {
  model::Fitting f;
  f.id = id_of<model::Fitting>(row, "id");
  f.opening = id_of<model::Opening>(row, "opening_id");
  f.kind = text_of(row, "kind");
  f.material = text_of(row, "material");
  f.nominal_size = text_of(row, "nominal_size");
  f.thread = text_of(row, "thread");
  f.fitted = text_of(row, "fitted");
  f.valve_thread = text_of(row, "valve_thread");
  f.valve_material = text_of(row, "valve_material");
  f.tail_material = text_of(row, "tail_material");
  f.bedding = text_of(row, "bedding");
  f.shank_mm = real_of(row, "shank_mm");
  f.thread_length_mm = real_of(row, "thread_length_mm");
  f.nut_mm = real_of(row, "nut_mm");
  f.stack_mm = real_of(row, "stack_mm");
  f.tail_mm = real_of(row, "tail_mm");
  f.bore_mm = real_of(row, "bore_mm");
  f.bend_mm = real_of(row, "bend_mm");
  f.next = replacement_of(row);
  f.notes = text_of(row, "notes");
  return f;
}

model::Survey survey_of(SQLite::Statement& row) {
  model::Survey s;
  s.id = id_of<model::Survey>(row, "id");
  s.date = text_of(row, "date");
  s.title = text_of(row, "title");
  s.surveyor = text_of(row, "surveyor");
  s.afloat = choice_of<model::Afloat>(row, "afloat");
  s.notes = text_of(row, "notes");
  return s;
}

model::Observation observation_of(SQLite::Statement& row) {
  model::Observation o;
  o.id = id_of<model::Observation>(row, "id");
  o.opening = id_of<model::Opening>(row, "opening_id");
  o.survey = id_of<model::Survey>(row, "survey_id");
  o.seen = choice_of<model::Seen>(row, "seen");
  o.condition = choice_of<model::Condition>(row, "condition");
  o.waterline = choice_of<model::Waterline>(row, "waterline");
  o.fitting_material = text_of(row, "fitting_material");
  o.valve_kind = text_of(row, "valve_kind");
  o.valve = choice_of<model::ValveState>(row, "valve");
  o.backing = choice_of<model::Backing>(row, "backing");
  o.backing_material = text_of(row, "backing_material");
  o.backing_thickness_mm = real_of(row, "backing_thickness_mm");
  o.findings = words_of(text_of(row, "findings"));
  o.clips = real_of(row, "clips");
  o.plug = choice_of<model::Plug>(row, "plug");
  o.bonding_ohm = real_of(row, "bonding_ohm");
  o.hose = text_of(row, "hose");
  o.notes = text_of(row, "notes");
  return o;
}

model::Measurement measurement_of(SQLite::Statement& row) {
  model::Measurement m;
  m.id = id_of<model::Measurement>(row, "id");
  m.opening = id_of<model::Opening>(row, "opening_id");
  m.survey = id_of<model::Survey>(row, "survey_id");
  m.photo = id_if_any<model::Photo>(row, "photo_id");
  m.quantity = choice_of<model::Quantity>(row, "quantity");
  m.label = text_of(row, "label");
  m.value = row.getColumn("value").getDouble();
  m.u95 = row.getColumn("u95").getDouble();
  m.method = choice_of<model::Method>(row, "method");
  m.instrument = text_of(row, "instrument");
  if (const auto trace = text_of(row, "trace_json"); !trace.empty()) m.trace = trace_from_json(trace);
  m.note = text_of(row, "note");
  m.made_at = text_of(row, "made_at_utc");
  m.supersedes = id_if_any<model::Measurement>(row, "supersedes");
  return m;
}

model::Photo photo_of(SQLite::Statement& row) {
  model::Photo p;
  p.id = id_of<model::Photo>(row, "id");
  p.sha256 = text_of(row, "sha256");
  p.original_name = text_of(row, "original_name");
  p.media_type = text_of(row, "media_type");
  p.bytes = int_of(row, "size_bytes");
  p.width_px = row.getColumn("width_px").getInt();
  p.height_px = row.getColumn("height_px").getInt();
  p.exif_orientation = row.getColumn("exif_orientation").getInt();
  p.taken_at = text_of(row, "taken_at");
  p.camera = text_of(row, "camera");
  p.focal_35mm = real_of(row, "focal_35mm_mm");
  p.imported_at = text_of(row, "imported_at_utc");
  return p;
}

model::PhotoUse photo_use_of(SQLite::Statement& row) {
  model::PhotoUse u;
  u.id = id_of<model::PhotoUse>(row, "id");
  u.photo = id_of<model::Photo>(row, "photo_id");
  u.survey = id_of<model::Survey>(row, "survey_id");
  u.opening = id_if_any<model::Opening>(row, "opening_id");
  u.caption = text_of(row, "caption");
  u.finding = text_of(row, "finding");
  return u;
}

model::CameraProfile camera_profile_of(SQLite::Statement& row) {
  const auto real = [&row](const char* column) { return row.getColumn(column).getDouble(); };
  model::CameraProfile p;
  p.id = id_of<model::CameraProfile>(row, "id");
  p.camera = text_of(row, "camera");
  p.focal_mm = real_of(row, "focal_mm");
  p.focal_35mm = real_of(row, "focal_35mm_mm");
  p.digital_zoom = real("digital_zoom");
  p.width_px = row.getColumn("width_px").getInt();
  p.height_px = row.getColumn("height_px").getInt();
  p.focal_px = real("focal_px");
  p.u_log_focal = real("u_log_focal");
  p.k1 = real("k1");
  p.u_k1 = real("u_k1");
  p.k2 = real("k2");
  p.u_k2 = real("u_k2");
  p.k_correlation = real("k_correlation");
  p.centre_x_px = real("centre_x_px");
  p.centre_y_px = real("centre_y_px");
  p.u_centre_px = real("u_centre_px");
  p.photos = row.getColumn("photos").getInt();
  p.rms_px = real("rms_px");
  p.reach = real("reach");
  p.date = text_of(row, "date");
  p.note = text_of(row, "note");
  return p;
}

void add_budgets(const SQLite::Database& db, std::vector<model::Measurement>& measurements) {
  std::unordered_map<std::int64_t, model::Measurement*> by_id;
  for (auto& m : measurements) by_id[m.id.value] = &m;
  SQLite::Statement row(db, "SELECT * FROM budget_term ORDER BY measurement_id, position");
  while (row.executeStep()) {
    if (const auto m = by_id.find(int_of(row, "measurement_id")); m != by_id.end()) {
      m->second->budget.push_back({text_of(row, "term"), row.getColumn("u").getDouble()});
    }
  }
}

}  // namespace

std::optional<model::Vessel> read_vessel(const SQLite::Database& db) {
  return first_of(read_all(db, "SELECT * FROM vessel", vessel_of));
}

std::vector<model::Opening> read_openings(const SQLite::Database& db) {
  auto openings = read_all(db, "SELECT * FROM opening", opening_of);
  std::sort(openings.begin(), openings.end(),
            [](const auto& a, const auto& b) { return natural_less(a.tag, b.tag); });
  return openings;
}

std::vector<model::Fitting> read_fittings(const SQLite::Database& db) {
  return read_all(db, "SELECT * FROM fitting ORDER BY id", fitting_of);
}

std::vector<model::Survey> read_surveys(const SQLite::Database& db) {
  return read_all(db, "SELECT * FROM survey ORDER BY date, id", survey_of);
}

std::vector<model::Observation> read_observations(const SQLite::Database& db) {
  return read_all(db,
                  "SELECT observation.* FROM observation JOIN survey ON survey.id = survey_id"
                  " ORDER BY survey.date, survey.id, observation.id",
                  observation_of);
}

std::vector<model::Observation> read_observations(const SQLite::Database& db, model::SurveyId survey) {
  return read_all(db, "SELECT * FROM observation WHERE survey_id = ? ORDER BY id", observation_of,
                  {survey.value});
}

std::vector<model::Measurement> read_measurements(const SQLite::Database& db, Which which) {
  const std::string standing =
      " WHERE withdrawn_at_utc IS NULL AND NOT EXISTS"
      " (SELECT 1 FROM measurement AS later WHERE later.supersedes = measurement.id)";
  auto measurements = read_all(
      db,
      "SELECT * FROM measurement" + (which == Which::Standing ? standing : "") + " ORDER BY made_at_utc, id",
      measurement_of);
  add_budgets(db, measurements);
  return measurements;
}

std::vector<model::MeasurementId> read_withdrawn(const SQLite::Database& db) {
  return read_all(db, "SELECT id FROM measurement WHERE withdrawn_at_utc IS NOT NULL ORDER BY id",
                  [](SQLite::Statement& row) { return id_of<model::Measurement>(row, "id"); });
}

std::vector<model::Photo> read_photos(const SQLite::Database& db) {
  return read_all(db, "SELECT * FROM photo ORDER BY id", photo_of);
}

std::optional<model::Photo> find_photo(const SQLite::Database& db, model::PhotoId photo) {
  return first_of(read_all(db, "SELECT * FROM photo WHERE id = ?", photo_of, {photo.value}));
}

std::optional<model::Photo> find_photo(const SQLite::Database& db, const std::string& sha256) {
  return first_of(read_all(db, "SELECT * FROM photo WHERE sha256 = ?", photo_of, {sha256}));
}

std::vector<model::YardTable> read_yard_tables(const SQLite::Database& db) {
  return read_all(db, "SELECT name, csv FROM yard_table ORDER BY name", [](SQLite::Statement& row) {
    return model::YardTable{text_of(row, "name"), text_of(row, "csv")};
  });
}

std::vector<model::PhotoUse> read_photo_uses(const SQLite::Database& db) {
  return read_all(db, "SELECT * FROM photo_use ORDER BY id", photo_use_of);
}

std::vector<model::CameraProfile> read_camera_profiles(const SQLite::Database& db) {
  return read_all(db, "SELECT * FROM camera_profile ORDER BY camera, date, id", camera_profile_of);
}

}  // namespace spile::db
