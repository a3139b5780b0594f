#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <set>

#include "photo_sets.hpp"
#include "plain_methods.hpp"
#include "vision/measure.hpp"

namespace spile::bench {

namespace {

using nlohmann::json;

struct Shown {  // one picture with its truth and what was measured
  std::string name, family;
  const json& truth;
  cv::Mat grey;
  vision::Report report;
};

cv::Point2d upright(const json& truth, double x, double y) {
  const auto& m = truth["M_stored_to_displayed"];
  const auto at = [&](int r, int c) {
    return m[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)].get<double>();
  };
  return {at(0, 0) * x + at(0, 1) * y + at(0, 2), at(1, 0) * x + at(1, 1) * y + at(1, 2)};
}

// Where a point of the hull lies in the upright photo: true pose, true lens.
cv::Point2d photo_from_hull(const json& truth, double x_mm, double y_mm) {
  const auto& camera = truth["camera"];
  std::array<double, 3> p{};
  for (std::size_t i = 0; i < 3; ++i)
    p.at(i) = camera["R_hull_to_cam"][i][0].get<double>() * x_mm +
              camera["R_hull_to_cam"][i][1].get<double>() * y_mm +
              camera["t_hull_to_cam_mm"][i].get<double>();
  const double x = p[0] / p[2], y = p[1] / p[2], r2 = x * x + y * y;
  const double bent =
      1 + r2 * (camera["dist_opencv"][0].get<double>() + r2 * camera["dist_opencv"][1].get<double>());
  return upright(truth, camera["fx"].get<double>() * x * bent + camera["cx"].get<double>(),
                 camera["fy"].get<double>() * y * bent + camera["cy"].get<double>());
}

// Both plain methods get the true plane, the true lens, and the hole's place and size to a few per cent.
PlainRadii plain_of(const Shown& shown, const json& hole) {
  const double radius = 1.03 * hole["mean_mm"].get<double>() / 2;
  const double x = hole["center_mm"][0], y = hole["center_mm"][1];
  return plain_radii(plain_view(shown.grey, [&](double u, double v) {
    return photo_from_hull(shown.truth, x + u * radius, y + v * radius);
  }));
}

vision::ReferenceRequest reference_of(const json& truth) {
  if (!truth.contains("reference") || truth["reference"].is_null()) return vision::AutoReference{};
  const auto& r = truth["reference"];
  if (r["type"] == "card")
    return vision::CardReference{r["marker_size_mm"], r["rect_mm"][0], r["rect_mm"][1]};
  if (r["type"] == "disc") return vision::DiscReference{r["diameter_mm"], std::nullopt};
  return vision::RuleReference{};
}

void score_holes(const Shown& shown, PhotoSets& sets) {
  PhotoSet& set = sets[shown.family];
  std::vector<vision::Hole> found = shown.report.holes;
  for (const auto& hole : shown.truth["holes"]) {
    const auto& ellipse = hole["ellipse_px"];
    const cv::Point2d at = upright(shown.truth, ellipse["center"][0], ellipse["center"][1]);
    const double reach = 0.35 * ellipse["major_px"].get<double>() / 2;
    const auto away = [&](const vision::Hole& h) {
      return std::hypot(h.centre_px.x - at.x, h.centre_px.y - at.y);
    };
    const auto nearest = std::min_element(found.begin(), found.end(),
                                          [&](const auto& a, const auto& b) { return away(a) < away(b); });
    const double mm = hole["mean_mm"];
    if (nearest == found.end() || away(*nearest) >= reach) {
      ++set.wrongly_refused;
      set.notes.push_back(fmt::format("{}: hole of {:.1f} mm not found", shown.name, mm));
      continue;
    }
    const PlainRadii plain = plain_of(shown, hole);
    const auto from_radius = [&](std::optional<double> px) {
      return px ? std::optional(1.03 * mm * *px / kPlainRadius) : std::nullopt;
    };
    set.values.push_back({shown.name, mm, nearest->diameter_mm, nearest->u95_mm, from_radius(plain.hough),
                          from_radius(plain.ellipse)});
    if (nearest->depth_mm && hole.contains("depth_mm") && !hole["depth_mm"].is_null())
      sets[shown.family + " depth"].values.push_back(
          {shown.name, hole["depth_mm"], *nearest->depth_mm, nearest->depth_u95_mm.value_or(0), {}, {}});
    found.erase(nearest);
  }
  set.invented += static_cast<int>(found.size());
  if (!found.empty())
    set.notes.push_back(fmt::format("{}: {} holes that are not there", shown.name, found.size()));
}

std::string kind_of(const std::string& drawn) {
  if (drawn == "glass") return "laminate";
  if (drawn == "flowcoat") return "gelcoat";
  return drawn == "balsa" || drawn == "foam" ? "core" : drawn;
}

struct NamedLayer {
  std::string kind;
  double mm = 0, u95 = 0;
};

std::vector<std::string> kinds_of(const std::vector<NamedLayer>& layers) {
  std::vector<std::string> out;
  for (const auto& layer : layers) out.push_back(layer.kind);
  return out;
}

// The same list from the other face counts as the same answer.
void score_layers(const Shown& shown, PhotoSet& set) {
  std::vector<NamedLayer> truth, found;
  for (const auto& l : shown.truth["layers"]) truth.push_back({kind_of(l["kind"]), l["thickness_mm"], 0});
  for (const auto& l : shown.report.edge->layers) found.push_back({l.kind, l.thickness_mm, l.u95_mm});
  ++set.pictures;
  const bool as_drawn = kinds_of(found) == kinds_of(truth);
  std::vector<NamedLayer> turned(found.rbegin(), found.rend());
  const bool as_turned = kinds_of(turned) == kinds_of(truth);
  if (!as_drawn && !as_turned) {
    ++set.wrongly_refused;
    set.notes.push_back(shown.name + ": layers named otherwise");
    return;
  }
  ++set.answered;
  const auto first_off = [&](const std::vector<NamedLayer>& f) {
    return std::abs(f.front().mm - truth.front().mm);
  };
  if (!as_drawn || (as_turned && first_off(turned) < first_off(found))) found = turned;
  for (std::size_t i = 0; i < found.size(); ++i)
    set.values.push_back({shown.name, truth[i].mm, found[i].mm, found[i].u95, {}, {}});
}

void score_edge(const Shown& shown, PhotoSets& sets) {
  if (!shown.report.edge) return;
  const vision::Edge& edge = *shown.report.edge;
  sets[shown.family].values.push_back(
      {shown.name, shown.truth["total_thickness_mm"], edge.thickness_mm, edge.u95_mm, {}, {}});
  score_layers(shown, sets[shown.family + " layers"]);
}

void score_fitting(const Shown& shown, PhotoSets& sets) {
  if (!shown.report.fitting) return;
  const vision::FittingSeen& fitting = *shown.report.fitting;
  const auto& truth = shown.truth["fitting"];
  sets[shown.family].values.push_back(
      {shown.name, truth["flange_outer_diameter_mm"], fitting.flange_mm, fitting.flange_u95_mm, {}, {}});
  if (fitting.bore_mm)
    sets[shown.family + " bore"].values.push_back(
        {shown.name, truth["bore_diameter_mm"], *fitting.bore_mm, fitting.bore_u95_mm.value_or(0), {}, {}});
}

// Part of a cropped card may be enough: an answer is honest when its interval holds the truth.
bool honest(const Shown& shown) {
  if (shown.family != "neg_refcrop") return false;
  return std::all_of(shown.report.holes.begin(), shown.report.holes.end(), [&](const vision::Hole& hole) {
    return std::any_of(shown.truth["holes"].begin(), shown.truth["holes"].end(), [&](const json& truth) {
      const double mm = truth["mean_mm"];
      return std::abs(hole.diameter_mm - mm) <= std::min(hole.u95_mm, 0.1 * mm);
    });
  });
}

void score_unmeasurable(const Shown& shown, PhotoSet& set) {
  if (shown.report.refused || shown.report.holes.empty() || honest(shown)) {
    ++set.answered;
    return;
  }
  ++set.invented;
  set.notes.push_back(shown.name + ": answered, but " + shown.truth["expected"]["reason"].get<std::string>());
}

void score(const std::filesystem::path& photo, const json& truth, PhotoSets& sets) {
  Shown shown{photo.filename().string(), truth["family"], truth, {}, {}};
  PhotoSet& set = sets[shown.family];
  ++set.pictures;
  vision::Request request;
  const bool edge = shown.family.starts_with("edge"), fitting = shown.family.starts_with("fitting");
  request.subject = edge ? vision::Subject::Edge : fitting ? vision::Subject::Fitting : vision::Subject::Hole;
  request.reference = reference_of(truth);
  const auto picture = vision::Picture::load(photo);
  if (!picture) {
    set.notes.push_back(picture.error().sentence());
    return;
  }
  shown.report = vision::measure(*picture, request);
  if (!truth["expected"]["measurable"].get<bool>()) return score_unmeasurable(shown, set);
  if (shown.report.refused) {
    ++set.wrongly_refused;
    set.notes.push_back(shown.name + ": refused, " + shown.report.refused->code);
    return;
  }
  ++set.answered;
  if (edge) return score_edge(shown, sets);
  if (fitting) return score_fitting(shown, sets);
  shown.grey = cv::imread(photo.string(), cv::IMREAD_GRAYSCALE);
  score_holes(shown, sets);
}

}  // namespace

void measure_rendered(const std::filesystem::path& folder, PhotoSets& sets) {
  std::set<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder))
    if (entry.path().extension() == ".json") files.insert(entry.path());
  for (auto file : files) {
    std::ifstream in(file);
    const json truth = json::parse(in);
    if (truth.contains("family") && !truth.contains("pair"))
      score(file.replace_extension(".jpg"), truth, sets);
  }
}

}  // namespace spile::bench
