// Prints what the engine measures as one JSON object a line, for work on the engine alone.
// usage: vision_measure measure PHOTO... --json [--subject S] [--reference R] [--at X,Y] [--annotate DIR]
// [--time]
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "vision/measure.hpp"

namespace spile::vision {
namespace {

using nlohmann::json;

json optional_number(const std::optional<double>& v) {
  return v ? json(*v) : json(nullptr);
}

json budget_json(const std::vector<model::BudgetTerm>& budget) {
  json out = json::array();
  for (const auto& b : budget) out.push_back({{"term", b.term}, {"u_mm", b.u}});
  return out;
}

json hole_json(const Hole& h) {
  return {{"centre_px", {h.centre_px.x, h.centre_px.y}},
          {"diameter_mm", h.diameter_mm},
          {"u95_mm", h.u95_mm},
          {"major_mm", h.major_mm},
          {"minor_mm", h.minor_mm},
          {"ovality_pct", h.ovality_pct},
          {"edge_seen", h.edge_seen},
          {"edge_damage_mm", h.edge_damage_mm},
          {"depth_mm", optional_number(h.depth_mm)},
          {"depth_u95_mm", optional_number(h.depth_u95_mm)},
          {"rim", h.rim},
          {"budget", budget_json(h.budget)}};
}

json edge_json(const Edge& e) {
  json layers = json::array();
  for (const auto& l : e.layers) {
    layers.push_back({{"kind", l.kind}, {"thickness_mm", l.thickness_mm}, {"u95_mm", l.u95_mm}});
  }
  json lines = json::array();
  for (const auto& p : e.lines) lines.push_back({p.x, p.y});
  return {{"lines_px", lines},
          {"thickness_mm", e.thickness_mm},
          {"u95_mm", e.u95_mm},
          {"construction", e.construction},
          {"layers", layers}};
}

json report_json(const Report& r, const std::string& photo) {
  json holes = json::array();
  for (const auto& h : r.holes) holes.push_back(hole_json(h));
  json out = {{"photo", photo},
              {"size_px", {r.width_px, r.height_px}},
              {"engine", engine_name()},
              {"holes", holes},
              {"reference", nullptr},
              {"edge", nullptr},
              {"fitting", nullptr},
              {"refused", nullptr},
              {"budget", budget_json(r.budget)}};
  if (r.reference) {
    out["reference"] = {{"kind", r.reference->kind},
                        {"mm_per_px", r.reference->mm_per_px},
                        {"tilt_deg", r.reference->tilt_deg},
                        {"rel_u95", r.reference->rel_u95}};
  }
  if (r.edge) out["edge"] = edge_json(*r.edge);
  if (r.fitting) {
    out["fitting"] = {{"across_flats_mm", r.fitting->hexagon ? r.fitting->hexagon->across_flats_mm : 0},
                      {"across_flats_u95_mm", r.fitting->hexagon ? r.fitting->hexagon->u95_mm : 0},
                      {"flange_mm", r.fitting->flange_mm},
                      {"flange_u95_mm", r.fitting->flange_u95_mm},
                      {"bore_mm", optional_number(r.fitting->bore_mm)},
                      {"bore_u95_mm", optional_number(r.fitting->bore_u95_mm)}};
  }
  if (r.refused) out["refused"] = {{"code", r.refused->code}, {"reason", r.refused->reason}};
  return out;
}

PixelPoint point_of(const std::string& text) {
  PixelPoint p;
  if (std::sscanf(text.c_str(), "%lf,%lf", &p.x, &p.y) != 2) std::exit(2);
  return p;
}

ReferenceRequest reference_of(const std::string& text) {
  const std::string kind = text.substr(0, text.find(':'));
  const std::string rest = text.find(':') == std::string::npos ? "" : text.substr(text.find(':') + 1);
  double v[5] = {};
  const int n = std::sscanf(rest.c_str(), "%lf,%lf,%lf,%lf,%lf", v, v + 1, v + 2, v + 3, v + 4);
  const auto at = rest.find('@');
  std::optional<PixelPoint> where;
  if (at != std::string::npos) where = point_of(rest.substr(at + 1));
  if (kind == "card") return n == 3 ? CardReference{v[0], v[1], v[2]} : CardReference{};
  if (kind == "disc" || kind == "flange") return DiscReference{v[0], where, kind == "flange"};
  if (kind == "rule") return RuleReference{};
  if (kind == "square") return SquareReference{v[0], v[1], where, {}};
  if (kind == "points") return PointsReference{{v[0], v[1]}, {v[2], v[3]}, v[4]};
  return AutoReference{};
}

Subject subject_of(const std::string& text) {
  if (text == "hole") return Subject::Hole;
  if (text == "edge") return Subject::Edge;
  if (text == "fitting") return Subject::Fitting;
  if (text == "disc") return Subject::Disc;
  return Subject::Auto;
}

struct Options {
  std::vector<std::string> photos;
  Request request;
  std::string annotate;
  bool time = false;
};

Options options_of(int count, char** words) {
  Options out;
  for (int i = 1; i < count; ++i) {
    const std::string word = words[i];
    const auto value = [&] { return std::string(++i < count ? words[i] : ""); };
    if (word == "--subject")
      out.request.subject = subject_of(value());
    else if (word == "--reference")
      out.request.reference = reference_of(value());
    else if (word == "--at")
      out.request.at.push_back(point_of(value()));
    else if (word == "--rim")
      out.request.rim_by_hand.push_back(point_of(value()));
    else if (word == "--annotate")
      out.annotate = value();
    else if (word == "--time")
      out.time = true;
    else if (word != "--json" && word != "measure")
      out.photos.push_back(word);
  }
  return out;
}

void save_annotated(const Picture& picture, const Report& report, const std::string& folder) {
  const auto png = annotate(picture, report);
  if (!png) return;
  std::ofstream out(folder + "/" + picture.name() + ".png", std::ios::binary);
  out.write(reinterpret_cast<const char*>(png->data()), static_cast<std::streamsize>(png->size()));
}

int run(const Options& options) {
  bool refused = false;
  for (const auto& photo : options.photos) {
    const auto begin = std::chrono::steady_clock::now();
    const auto picture = Picture::load(photo);
    Report report;
    if (picture)
      report = measure(*picture, options.request);
    else
      report.refused = Refusal{"unreadable", picture.error().sentence()};
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - begin;
    fmt::print("{}\n", report_json(report, photo).dump());
    if (options.time) fmt::print(stderr, "{} {:.0f} ms\n", photo, took.count());
    if (picture && !options.annotate.empty()) save_annotated(*picture, report, options.annotate);
    refused = refused || report.refused.has_value();
  }
  return refused ? 3 : 0;
}

}  // namespace
}  // namespace spile::vision

int main(int count, char** words) {
  return spile::vision::run(spile::vision::options_of(count, words));
}
