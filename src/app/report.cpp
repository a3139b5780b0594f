#include "app/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>
#include <utility>

#include "app/access.hpp"
#include "app/report_water.hpp"
#include "app/wording.hpp"
#include "model/names.hpp"
#include "rules/heel.hpp"
#include "vision/encode.hpp"
#include "vision/measure.hpp"
#include "vision/picture.hpp"

namespace spile::app {

namespace {

constexpr int kLongerSidePx = 1400;
constexpr int kJpegQuality = 82;
constexpr double kFigureWidth = 165;  // mm; both papers have room for it

struct Cancelled {};

class Gatherer {
 public:
  Gatherer(Session& session, const model::Survey& survey, Progress* progress)
      : access_(session.access()), snapshot_(session.snapshot()), survey_(survey), progress_(progress) {
    for (const auto& s : snapshot_.surveys) date_of_[s.id] = s.date;
    if (const auto photos = access_.store.photos())
      for (const auto& photo : *photos) name_of_[photo.id] = photo.original_name;
    for (const auto& view : snapshot_.openings) total_ += static_cast<int>(view.photos.size());
    total_ += static_cast<int>(snapshot_.unfiled.size());
  }

  [[nodiscard]] report::SurveyReport gather() {
    report::SurveyReport data;
    data.vessel = snapshot_.vessel.value_or(model::Vessel{});
    data.survey = survey_;
    data.heel_deg = rules::worst_heel(data.vessel, access_.tables).angle.value();
    data.engine = vision::engine_name();
    data.yard_rows = access_.tables.yard_rows();
    data.logbook = snapshot_.folder.filename().string();
    for (const auto& view : snapshot_.openings) data.openings.push_back(opening(view));
    data.water = report_water(snapshot_, access_.tables, access_.stock, kFigureWidth);
    for (const auto& photo : snapshot_.unfiled) data.unfiled.push_back(picture(photo, {}));
    return data;
  }

 private:
  [[nodiscard]] report::ReportOpening opening(const OpeningView& view);
  [[nodiscard]] report::ReportPhoto picture(const PhotoView& view,
                                            const std::vector<model::Measurement>& all);
  void show(report::ReportPhoto& shown, const model::Photo& photo) const;
  [[nodiscard]] std::vector<report::LabelledText> record(const OpeningView& view) const;
  [[nodiscard]] std::string material(const OpeningView& view) const;

  Session::Access& access_;
  const Snapshot& snapshot_;
  const model::Survey& survey_;
  Progress* progress_;
  std::unordered_map<model::SurveyId, std::string> date_of_;
  std::unordered_map<model::PhotoId, std::string> name_of_;
  int done_ = 0, total_ = 0;
};

std::string zone_of(const OpeningView& view) {
  for (const auto& verdict : view.verdicts) {
    if (verdict.rule != "zone") continue;
    if (verdict.answer == "below-waterline") return "below the waterline";
    if (verdict.answer == "wetted-when-heeled") return "wetted when heeled";
    if (verdict.answer == "above") return "above the waterline";
    if (verdict.answer == "too-close-to-tell") return "too close to the water to tell";
  }
  return {};
}

std::string place_of(const model::Opening& opening) {
  std::string text(model::label(opening.side));
  text += opening.from_bow_mm ? fmt::format(", {:.2f} m from the bow", *opening.from_bow_mm / 1000)
                              : ", distance from the bow not recorded";
  if (!opening.height_mm) return text + ", height not recorded";
  const double height = *opening.height_mm;
  return text + fmt::format(", {:.0f} mm {} the waterline at rest", std::abs(height),
                            height < 0 ? "below" : "above");
}

std::string Gatherer::material(const OpeningView& view) const {
  std::string key = view.observation ? view.observation->fitting_material : "";
  if (key.empty() && view.fitting) key = view.fitting->material;
  return key.empty() ? "" : std::string(rules::label_of(access_.tables.materials(), key));
}

std::string valve_of(const model::Observation& seen, const rules::Tables& tables) {
  std::string text =
      seen.valve_kind.empty() ? "" : std::string(rules::label_of(tables.valve_kinds(), seen.valve_kind));
  if (seen.valve == model::ValveState::Unknown) return text;
  const std::string state(model::label(seen.valve));
  return text.empty() ? state : text + ", " + lower(state);
}

std::string backing_of(const model::Observation& seen, const rules::Tables& tables) {
  if (seen.backing != model::Backing::Present) return std::string(model::label(seen.backing));
  std::string text(model::label(seen.backing));
  for (const auto& material : tables.backing_materials())
    if (material.choice.key == seen.backing_material) text += ": " + lower(material.choice.label);
  if (seen.backing_thickness_mm) text += ", " + print_mm(*seen.backing_thickness_mm);
  return text;
}

std::vector<report::LabelledText> Gatherer::record(const OpeningView& view) const {
  const rules::Tables& tables = access_.tables;
  std::vector<report::LabelledText> rows;
  const auto add = [&](const char* label, std::string text) {
    if (!text.empty()) rows.push_back({label, std::move(text)});
  };
  if (view.opening.construction != model::HullConstruction::Unknown)
    add("Hull here", std::string(model::label(view.opening.construction)));
  if (view.opening.reach != model::Reach::Unknown)
    add("Reached", std::string(model::label(view.opening.reach)));
  if (const auto& fitting = view.fitting) {
    if (!fitting->kind.empty())
      add("Fitting", std::string(rules::label_of(tables.fitting_kinds(), fitting->kind)));
    add("Nominal size", fitting->nominal_size);
    add("Fitted", fitting->fitted);
    add("Bedding", std::string(rules::label_of(rules::choices_of(tables.beddings()), fitting->bedding)));
    add("Valve's material", std::string(rules::label_of(tables.materials(), fitting->valve_material)));
    add("Tail's material", std::string(rules::label_of(tables.materials(), fitting->tail_material)));
    if (fitting->next.planned()) add("To go in next", fitting->next.nominal_size);
  }
  add("Material", material(view));
  if (const auto& seen = view.observation) {
    if (seen->condition != model::Condition::Unknown)
      add("Condition", std::string(model::label(seen->condition)));
    if (seen->waterline != model::Waterline::Unknown)
      add("Waterline, by eye", std::string(model::label(seen->waterline)));
    add("Valve", valve_of(*seen, tables));
    if (seen->backing != model::Backing::Unknown) add("Backing", backing_of(*seen, tables));
    std::string found;
    for (const auto& key : seen->findings)
      found +=
          (found.empty() ? "" : ", ") + lower(rules::label_of(rules::choices_of(tables.findings()), key));
    add("Found", found);
    if (seen->clips) add("Hose clips", print_number(*seen->clips, 0));
    if (seen->plug != model::Plug::Unknown) add("Plug", std::string(model::label(seen->plug)));
    add("Hose", seen->hose);
    add("Seen", seen->notes);
  }
  add("Notes", view.opening.notes);
  if (view.fitting) add("Notes on the fitting", view.fitting->notes);
  return rows;
}

void Gatherer::show(report::ReportPhoto& shown, const model::Photo& photo) const {
  const auto bytes = access_.store.photo_bytes(photo.id);
  if (!bytes) {
    shown.finding = bytes.error().sentence();
    return;
  }
  const auto decoded = vision::Picture::decode(*bytes, photo.original_name);
  if (!decoded) {
    shown.finding = decoded.error().sentence();
    return;
  }
  const vision::Rgba page = decoded->view(kLongerSidePx);
  auto jpeg = vision::encode_jpeg(page, kJpegQuality);
  if (!jpeg) {
    shown.finding = jpeg.error().sentence();
    return;
  }
  shown.jpeg = std::move(*jpeg);
  shown.width_px = page.width;
  shown.height_px = page.height;
}

report::ReportPhoto Gatherer::picture(const PhotoView& view, const std::vector<model::Measurement>& all) {
  if (progress_) {
    if (progress_->cancelled()) throw Cancelled{};
    progress_->at("Preparing " + view.photo.original_name, done_, total_);
  }
  ++done_;
  report::ReportPhoto shown;
  shown.name = view.photo.original_name;
  shown.taken_at = view.photo.taken_at;
  shown.finding = view.use.caption.empty() ? view.use.finding : view.use.caption + ". " + view.use.finding;
  shown.sha256 = view.photo.sha256;
  shown.original_width_px = view.photo.width_px;
  shown.original_height_px = view.photo.height_px;
  for (const auto& m : all)
    if (m.photo == view.photo.id && m.survey == survey_.id) shown.measurements.push_back(m);
  show(shown, view.photo);
  return shown;
}

report::ReportOpening Gatherer::opening(const OpeningView& view) {
  report::ReportOpening out;
  const model::Opening& o = view.opening;
  out.mark = {o.tag, o.side, o.from_bow_mm, o.height_mm, o.half_breadth_mm, view.standing};
  out.service = std::string(rules::label_of(access_.tables.services(), o.service));
  out.place = place_of(o);
  out.zone = zone_of(view);
  out.seen = view.observation ? view.observation->seen : model::Seen::NotLookedAt;
  out.material = material(view);
  if (view.observation && view.observation->valve != model::ValveState::Unknown)
    out.valve = lower(model::label(view.observation->valve));
  out.record = record(view);
  for (const auto& m : view.measurements) {
    const auto name = m.photo ? name_of_.find(*m.photo) : name_of_.end();
    out.values.push_back(
        {m, date_of_[m.survey], name == name_of_.end() ? "" : name->second, m.survey == survey_.id});
  }
  out.verdicts = view.verdicts;
  out.missing = view.missing;
  for (const auto& photo : view.photos) out.photos.push_back(picture(photo, view.measurements));
  return out;
}

const model::Survey* current_survey(const Snapshot& snapshot) {
  for (const auto& survey : snapshot.surveys)
    if (snapshot.survey == survey.id) return &survey;
  return nullptr;
}

tl::unexpected<Error> cancelled() {
  return fail(ErrorCode::Cancelled, "Writing the report was cancelled; no file was changed.");
}

}  // namespace

Result<report::SurveyReport> gather_report(Session& session, Progress* progress) {
  const model::Survey* survey = current_survey(session.snapshot());
  if (!survey)
    return fail(ErrorCode::NotFound, "There is no survey to report on in this logbook.",
                "Record an opening or import a photo first.");
  try {
    return Gatherer(session, *survey, progress).gather();
  } catch (const Cancelled&) {
    return cancelled();
  }
}

Result<void> write_report(Session& session, const std::filesystem::path& file, report::Paper paper,
                          Progress* progress) {
  auto data = gather_report(session, progress);
  if (!data) return tl::unexpected(std::move(data.error()));
  return report::write_survey_report(*data, file, paper, [&](int done, int total) {
    if (!progress) return false;
    progress->at("Setting the pages", done, total);
    return progress->cancelled();
  });
}

}  // namespace spile::app
