#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>

#include "photo_sets.hpp"
#include "plain_methods.hpp"
#include "vision/measure.hpp"

namespace spile::bench {

namespace {

using nlohmann::json;

struct Coin {
  double x = 0, y = 0, radius_px = 0;  // roughly
  double mm = 0;                       // diameter as published
};

double apart(const Coin& a, const Coin& b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}

std::vector<Coin> coins_of(const json& photo) {
  std::vector<Coin> out;
  for (const auto& o : photo["objects"])
    if (o["kind"] == "coin" && o.contains("true_diameter_mm") && !o["true_diameter_mm"].is_null() &&
        !o.value("touching", false))
      out.push_back({o["approx_cx"], o["approx_cy"], o["approx_radius_px"], o["true_diameter_mm"]});
  return out;
}

// Radii in pixels of the photo; there is no plane to lay them into, as for us.
PlainRadii plain_of(const cv::Mat& grey, const Coin& coin) {
  const double radius = 1.03 * coin.radius_px;
  PlainRadii out = plain_radii(plain_view(
      grey, [&](double u, double v) { return cv::Point2d(coin.x + u * radius, coin.y + v * radius); }));
  for (auto* value : {&out.hough, &out.ellipse})
    if (*value) **value *= radius / kPlainRadius;
  return out;
}

std::optional<double> by_ratio(std::optional<double> coin_px, std::optional<double> reference_px,
                               double reference_mm) {
  if (!coin_px || !reference_px) return std::nullopt;
  return *coin_px / *reference_px * reference_mm;
}

vision::Report measured(const std::filesystem::path& photo, const Coin& reference,
                        const std::vector<Coin>& rest) {
  const auto picture = vision::Picture::load(photo);
  if (!picture) return {};
  vision::Request request;
  request.subject = vision::Subject::Disc;
  request.reference = vision::DiscReference{reference.mm, vision::PixelPoint{reference.x, reference.y}};
  for (const Coin& coin : rest) request.at.push_back({coin.x, coin.y});
  return vision::measure(*picture, request);
}

void score(const std::filesystem::path& photo, const json& truth, const std::string& family,
           PhotoSets& sets) {
  std::vector<Coin> coins = coins_of(truth);
  if (coins.size() < 2) return;
  const Coin middle{truth["width"].get<double>() / 2, truth["height"].get<double>() / 2, 0, 0};
  const auto chosen = std::min_element(coins.begin(), coins.end(), [&](const Coin& a, const Coin& b) {
    return apart(a, middle) < apart(b, middle);
  });
  const Coin reference = *chosen;
  coins.erase(chosen);
  const vision::Report report = measured(photo, reference, coins);
  const cv::Mat grey = cv::imread(photo.string(), cv::IMREAD_GRAYSCALE);
  const PlainRadii plain_reference = plain_of(grey, reference);
  const std::string name = photo.filename().string();
  std::map<std::string, bool> counted;
  for (const Coin& coin : coins) {
    const bool near = apart(coin, reference) < 6 * reference.radius_px;
    PhotoSet& set = sets["real " + family + (near ? " near" : " far")];
    if (!std::exchange(counted[near ? "near" : "far"], true)) {
      ++set.pictures;
      set.answered += report.refused ? 0 : 1;
      set.wrongly_refused += report.refused ? 1 : 0;
      if (report.refused) set.notes.push_back(name + ": refused, " + report.refused->code);
    }
    if (report.refused) continue;
    const auto hole = std::find_if(report.holes.begin(), report.holes.end(), [&](const vision::Hole& h) {
      return std::hypot(h.centre_px.x - coin.x, h.centre_px.y - coin.y) < 0.4 * coin.radius_px;
    });
    if (hole == report.holes.end()) {
      ++set.wrongly_refused;
      set.notes.push_back(fmt::format("{}: coin of {:.2f} mm not measured", name, coin.mm));
      continue;
    }
    const PlainRadii plain = plain_of(grey, coin);
    set.values.push_back({name, coin.mm, hole->diameter_mm, hole->u95_mm,
                          by_ratio(plain.hough, plain_reference.hough, reference.mm),
                          by_ratio(plain.ellipse, plain_reference.ellipse, reference.mm)});
  }
}

}  // namespace

void measure_real(const std::filesystem::path& folder, PhotoSets& sets) {
  std::ifstream in(folder / "truth.json");
  if (!in) return;
  const json all = json::parse(in);
  for (const auto& [name, truth] : all.items()) {
    const std::filesystem::path photo = folder / name;
    if (std::filesystem::exists(photo)) score(photo, truth, name.substr(0, name.find('/')), sets);
  }
}

}  // namespace spile::bench
