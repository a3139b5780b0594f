#include "app/demo.hpp"

#include <fmt/format.h>
#include <stdlib.h>

#include <fstream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>

#include "app/photos.hpp"
#include "app/session.hpp"
#include "assets/embedded.hpp"
#include "model/names.hpp"

namespace spile::app {

namespace {

using nlohmann::json;
namespace fs = std::filesystem;

// What goes wrong on the way; caught in make_demo, so that the steps below read as one story.
struct Stopped {
  Error error;
};

template <class T>
T need(Result<T> result) {
  if (!result) throw Stopped{std::move(result.error())};
  if constexpr (!std::is_void_v<T>) return std::move(*result);
}

template <class T>
T word(const json& object, const char* field, T otherwise) {
  const auto it = object.find(field);
  if (it == object.end()) return otherwise;
  const auto value = model::from_key<T>(it->get_ref<const std::string&>());
  if (!value) throw std::invalid_argument(fmt::format("{} is no {}", it->dump(), field));
  return *value;
}

std::string text(const json& object, const char* field) {
  return object.value(field, std::string());
}

std::optional<double> number(const json& object, const char* field) {
  const auto it = object.find(field);
  return it == object.end() ? std::nullopt : std::optional(it->get<double>());
}

model::Vessel vessel_from(const json& j) {
  model::Vessel vessel;
  vessel.name = text(j, "name");
  vessel.type = word(j, "type", vessel.type);
  vessel.construction = word(j, "construction", vessel.construction);
  vessel.length_mm = number(j, "length_mm");
  vessel.beam_mm = number(j, "beam_mm");
  vessel.draught_mm = number(j, "draught_mm");
  vessel.freeboard_mm = number(j, "freeboard_mm");
  vessel.loaded_sinkage_mm = number(j, "loaded_sinkage_mm").value_or(0);
  vessel.heel_deg = number(j, "heel_deg");
  vessel.trim_deg = number(j, "trim_deg");
  vessel.built = text(j, "built");
  vessel.notes = text(j, "notes");
  return vessel;
}

model::Opening opening_from(const json& j) {
  model::Opening opening;
  opening.tag = text(j, "tag");
  opening.service = text(j, "service");
  opening.side = word(j, "side", opening.side);
  opening.from_bow_mm = number(j, "from_bow_mm");
  opening.height_mm = number(j, "height_mm");
  opening.half_breadth_mm = number(j, "half_breadth_mm");
  opening.construction = word(j, "construction", opening.construction);
  opening.hull_radius_mm = number(j, "hull_radius_mm");
  opening.frame_mm = number(j, "frame_mm");
  opening.clear_depth_mm = number(j, "clear_depth_mm");
  opening.clear_width_mm = number(j, "clear_width_mm");
  opening.reach = word(j, "reach", opening.reach);
  opening.reach_s = number(j, "reach_s");
  opening.notes = text(j, "notes");
  return opening;
}

model::Fitting fitting_from(const json& j, model::OpeningId opening) {
  model::Fitting fitting;
  fitting.opening = opening;
  fitting.kind = text(j, "kind");
  fitting.material = text(j, "material");
  fitting.nominal_size = text(j, "nominal_size");
  fitting.thread = text(j, "thread");
  fitting.fitted = text(j, "fitted");
  fitting.valve_thread = text(j, "valve_thread");
  fitting.valve_material = text(j, "valve_material");
  fitting.tail_material = text(j, "tail_material");
  fitting.bedding = text(j, "bedding");
  fitting.shank_mm = number(j, "shank_mm");
  fitting.thread_length_mm = number(j, "thread_length_mm");
  fitting.nut_mm = number(j, "nut_mm");
  fitting.stack_mm = number(j, "stack_mm");
  fitting.tail_mm = number(j, "tail_mm");
  fitting.bore_mm = number(j, "hose_bore_mm");
  fitting.bend_mm = number(j, "hose_bend_mm");
  if (const auto next = j.find("next"); next != j.end())
    fitting.next = {text(*next, "nominal_size"), text(*next, "material"), number(*next, "shank_mm"),
                    number(*next, "flange_mm"), number(*next, "thread_length_mm")};
  fitting.notes = text(j, "notes");
  return fitting;
}

model::RunPart part_from(const json& j) {
  model::RunPart part;
  part.part = text(j, "part");
  part.bore_mm = number(j, "bore_mm");
  part.length_mm = number(j, "length_mm");
  part.rise_mm = number(j, "rise_mm");
  part.bends = number(j, "bends");
  part.turned = j.value("turned", false);
  return part;
}

model::Run run_from(const json& j, model::OpeningId opening) {
  model::Run run;
  run.opening = opening;
  run.name = text(j, "name");
  run.outlet_height_mm = number(j, "outlet_height_mm");
  run.basin_depth_mm = number(j, "basin_depth_mm");
  run.basin_litres = number(j, "basin_litres");
  run.from_centreline_mm = number(j, "from_centreline_mm");
  run.notes = text(j, "notes");
  for (const auto& part : j.at("parts")) run.parts.push_back(part_from(part));
  return run;
}

model::Survey survey_from(const json& j) {
  model::Survey survey;
  survey.date = text(j, "date");
  survey.title = text(j, "title");
  survey.surveyor = text(j, "surveyor");
  survey.afloat = word(j, "afloat", survey.afloat);
  survey.notes = text(j, "notes");
  return survey;
}

model::Observation observation_from(const json& j, model::OpeningId opening, model::SurveyId survey) {
  model::Observation seen;
  seen.opening = opening;
  seen.survey = survey;
  seen.seen = word(j, "seen", seen.seen);
  seen.condition = word(j, "condition", seen.condition);
  seen.waterline = word(j, "waterline", seen.waterline);
  seen.fitting_material = text(j, "fitting_material");
  seen.valve_kind = text(j, "valve_kind");
  seen.valve = word(j, "valve", seen.valve);
  seen.backing = word(j, "backing", seen.backing);
  seen.backing_material = text(j, "backing_material");
  seen.backing_thickness_mm = number(j, "backing_thickness_mm");
  if (const auto found = j.find("findings"); found != j.end()) found->get_to(seen.findings);
  seen.clips = number(j, "clips");
  seen.plug = word(j, "plug", seen.plug);
  seen.bonding_ohm = number(j, "bonding_ohm");
  seen.hose = text(j, "hose");
  seen.notes = text(j, "notes");
  return seen;
}

vision::Request request_for(const json& photo) {
  static const std::map<std::string, vision::Subject> subjects = {{"hole", vision::Subject::Hole},
                                                                  {"edge", vision::Subject::Edge},
                                                                  {"fitting", vision::Subject::Fitting},
                                                                  {"", vision::Subject::Auto}};
  vision::Request request;
  request.subject = subjects.at(text(photo, "subject"));
  return request;
}

// The pictures as files, since that is how pictures come in.
class PictureFiles {
 public:
  PictureFiles() {
    std::error_code failed;
    std::string name = (fs::temp_directory_path(failed) / "spile-demo-XXXXXX").string();
    if (failed || !::mkdtemp(name.data()))
      throw Stopped{Error{ErrorCode::StorageFull,
                          "There is no room for the demo's pictures while they are read.",
                          "Free some space in the temporary folder and try again.",
                          {}}};
    folder_ = name;
  }
  PictureFiles(const PictureFiles&) = delete;
  PictureFiles& operator=(const PictureFiles&) = delete;
  ~PictureFiles() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  [[nodiscard]] fs::path lay_out(const std::string& name) const {
    const auto bytes = assets::bytes("demo/" + name);
    const fs::path file = folder_ / name;
    std::ofstream out(file, std::ios::binary);
    out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    out.close();
    if (!out)
      throw Stopped{Error{ErrorCode::StorageFull,
                          fmt::format("The demo picture {} could not be laid out.", name),
                          "Free some space in the temporary folder and try again.",
                          {}}};
    return file;
  }

 private:
  fs::path folder_;
};

// The clock of the day the survey was made, so that the logbook tells one story and is the same each time.
struct SurveyDay {
  std::shared_ptr<std::string> date = std::make_shared<std::string>();
  [[nodiscard]] Clock clock() const {
    return Clock{[day = date] { return *day; }, [day = date] { return *day + "T16:00:00Z"; }};
  }
};

class Builder {
 public:
  Builder(Session& session, SurveyDay day, Progress* progress)
      : session_(session), day_(std::move(day)), progress_(progress) {}

  void build(const json& demo) {
    for (const auto& survey : demo.at("surveys")) steps_ += static_cast<int>(survey.at("photos").size());
    // Surveys first: an opening saved without one would begin a survey of its own.
    for (const auto& survey : demo.at("surveys")) {
      *day_.date = text(survey, "date");
      surveys_.push_back(need(session_.save_survey(survey_from(survey))));
    }
    *day_.date = text(demo.at("surveys").front(), "date");
    need(session_.save_vessel(vessel_from(demo.at("vessel"))));
    for (const auto& opening : demo.at("openings")) add_opening(opening);
    for (const auto& run : demo.at("runs")) add_run(run);
    const auto& bilge = demo.at("bilge");
    need(session_.save_bilge({number(bilge, "sole_litres"), {}, number(bilge, "other_pumps_lpm")}));
    for (std::size_t i = 0; i < surveys_.size(); ++i) add_survey(demo.at("surveys").at(i), surveys_[i]);
  }

 private:
  void add_opening(const json& j) {
    const auto id = need(session_.save_opening(opening_from(j)));
    openings_[text(j, "tag")] = id;
    if (const auto fitting = j.find("fitting"); fitting != j.end())
      need(session_.save_fitting(fitting_from(*fitting, id)));
  }

  void add_run(const json& j) {
    model::Run run = run_from(j, opening(j));
    if (const auto joins = j.find("joins"); joins != j.end())
      run.joins = model::RunJoin{runs_.at(text(*joins, "run")), joins->at("behind_part").get<int>()};
    runs_[run.name] = need(session_.save_run(run));
  }

  void add_survey(const json& j, model::SurveyId survey) {
    *day_.date = text(j, "date");
    need(session_.choose_survey(survey));
    for (const auto& seen : j.at("observations"))
      need(session_.save_observation(observation_from(seen, opening(seen), survey)));
    for (const auto& typed : j.at("typed"))
      need(session_.type_measurement(opening(typed), word(typed, "quantity", model::Quantity::HoleDiameter),
                                     text(typed, "typed"), word(typed, "method", model::Method::Caliper),
                                     number(typed, "u95_mm")));
    for (const auto& photo : j.at("photos")) add_photo(photo);
  }

  void add_photo(const json& j) {
    const std::string name = text(j, "file");
    if (progress_) {
      if (progress_->cancelled())
        throw Stopped{Error{ErrorCode::Cancelled, "Making the demo logbook was cancelled.", {}, {}}};
      progress_->at("Measuring " + name, done_, steps_);
    }
    ImportOptions options;
    options.request = request_for(j);
    if (j.contains("opening")) options.opening = opening(j);
    for (auto& outcome : import_photos(session_, {files_.lay_out(name)}, options))
      if (outcome.error) throw Stopped{std::move(*outcome.error)};
    ++done_;
  }

  [[nodiscard]] model::OpeningId opening(const json& j) const { return openings_.at(text(j, "opening")); }

  Session& session_;
  SurveyDay day_;
  Progress* progress_;
  PictureFiles files_;
  std::map<std::string, model::OpeningId> openings_;
  std::map<std::string, model::RunId> runs_;
  std::vector<model::SurveyId> surveys_;
  int done_ = 0, steps_ = 0;
};

Result<void> built(const fs::path& folder, Progress* progress, std::optional<fs::path>& made) {
  const json demo = json::parse(assets::text("demo/demo.json"));
  const SurveyDay day;
  *day.date = text(demo.at("surveys").front(), "date");
  auto session = Session::create(folder, day.clock());
  if (!session) return tl::unexpected(std::move(session.error()));
  made = session->snapshot().folder;
  Builder(*session, day, progress).build(demo);
  return {};
}

}  // namespace

Result<void> make_demo(const fs::path& folder, Progress* progress) {
  std::optional<fs::path> made;
  Result<void> result;
  try {
    result = built(folder, progress, made);
  } catch (const Stopped& stopped) {
    result = tl::unexpected(stopped.error);
  } catch (const std::exception& e) {
    result = fail(ErrorCode::Internal, "The demo logbook could not be made.",
                  "This is a fault of the program: please report it.", e.what());
  }
  if (!result && made) {
    std::error_code ignored;
    fs::remove_all(*made, ignored);
  }
  return result;
}

}  // namespace spile::app
