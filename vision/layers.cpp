#include "vision/layers.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace spile::vision {
namespace {

// How the layers of a glass-reinforced hull look against white: glass in polyester is greenish and darker
// than the gelcoat on it; balsa and foam are yellow to brown; gelcoat is near white. Means and spreads of the
// log ratios red/green and blue/green (common practice; wide enough for warm and cold light).
struct Look {
  double red, blue, spread_red, spread_blue;
  double thinnest, thickest;  // mm
};
constexpr Look kGelcoat{0.0, -0.05, 0.09, 0.13, 0.2, 1.6};
constexpr Look kLaminate{-0.17, -0.50, 0.12, 0.18, 1.2, 32};
constexpr Look kCore{0.2, -0.55, 0.22, 0.35, 4, 45};
constexpr Look kAnything{0.3, -0.3, 0.6, 0.6, 0, 0};

constexpr double kEvidenceLength = 0.7;  // mm of a layer that count as one independent look
constexpr double kEdgeWeight = 4, kEdgePrice = 0.9;
constexpr double kHiddenEdgePrice = 3;  // for a strong step inside a layer
constexpr double kMostPerLayer = 14;
// One layer is one shade, but for its grain and the light's drift: what of the variance of log brightness
// within a stretch goes beyond that speaks against it.
constexpr double kUsualUnevenness = 0.015, kUnevennessWeight = 10, kMostUnevenness = 8;
// The piece's own side, seen where the camera looks past an outer face. Its width is a share of the camera's
// distance beyond that face: depth over (height + depth).
constexpr double kNarrowestSide = 0.4;  // mm, for a reading at this resolution
constexpr double kWidestSideShare = 0.42, kSidePrice = 0.5;
constexpr std::size_t kMostEdges = 60;

double likelihood(const Tint& tint, double red, double blue, double spread_red, double spread_blue) {
  const double a = (static_cast<double>(tint.red) - red) / spread_red;
  const double b = (static_cast<double>(tint.blue) - blue) / spread_blue;
  return -0.5 * std::min(a * a + b * b, 18.0) - std::log(spread_red * spread_blue);
}

double likelihood(const Tint& tint, const Look& look) {
  return likelihood(tint, look.red, look.blue, look.spread_red, look.spread_blue);
}

const Look& look_of(LayerKind kind) {
  return kind == LayerKind::Gelcoat ? kGelcoat : kind == LayerKind::Laminate ? kLaminate : kCore;
}

struct Mean {
  double red = 0, blue = 0, bright = 0;
};

// Prefix sums of all a search asks for again and again.
class Line {
 public:
  Line(const std::vector<Tint>& line, double step, const Backdrop& backdrop) : step_(step) {
    const std::size_t n = line.size();
    for (auto& sums : evidence_) sums.assign(n + 1, 0);
    for (auto& sums : colour_) sums.assign(n + 1, 0);
    bright_square_.assign(n + 1, 0);
    for (std::size_t i = 0; i < n; ++i) {
      const Tint& t = line[i];
      const double behind = std::max(
          likelihood(t, kAnything),
          likelihood(t, backdrop.red, backdrop.blue, 1.3 * backdrop.spread_red, 1.3 * backdrop.spread_blue));
      for (const LayerKind kind : {LayerKind::Gelcoat, LayerKind::Laminate, LayerKind::Core}) {
        const auto k = static_cast<std::size_t>(kind);
        const double gain = t.seen ? std::clamp(likelihood(t, look_of(kind)) - behind, -4.0, 2.5) : -4.0;
        evidence_[k][i + 1] = evidence_[k][i] + gain * step / kEvidenceLength;
      }
      colour_[0][i + 1] = colour_[0][i] + static_cast<double>(t.red);
      colour_[1][i + 1] = colour_[1][i] + static_cast<double>(t.blue);
      colour_[2][i + 1] = colour_[2][i] + static_cast<double>(t.bright);
      bright_square_[i + 1] = bright_square_[i] + std::pow(static_cast<double>(t.bright), 2);
    }
    find_edges(line);
  }

  [[nodiscard]] const std::vector<std::size_t>& edges() const { return edges_; }
  [[nodiscard]] double edge_gain(std::size_t e) const {
    return kEdgeWeight * std::min(height_[e], 1.2) - kEdgePrice;
  }
  [[nodiscard]] double position(std::size_t e) const { return step_ * static_cast<double>(edges_[e]); }
  [[nodiscard]] Mean mean(std::size_t a, std::size_t b) const {
    const auto n = static_cast<double>(edges_[b] - edges_[a]);
    const auto part = [&](std::size_t c) { return (colour_[c][edges_[b]] - colour_[c][edges_[a]]) / n; };
    return {part(0), part(1), part(2)};
  }
  // What the stretch between two edges speaks for a layer, strong steps inside it speaking against.
  [[nodiscard]] double gain(LayerKind kind, std::size_t a, std::size_t b) const {
    const auto& sums = evidence_[static_cast<std::size_t>(kind)];
    const double sum = sums[edges_[b]] - sums[edges_[a]],
                 against = hidden_[b] - hidden_[a + 1] + unevenness(a, b);
    if (kind == LayerKind::Gelcoat) return std::clamp(sum - against, -6.0, 3.0) + 1;
    return std::min(sum, kMostPerLayer) - against;
  }

 private:
  [[nodiscard]] double unevenness(std::size_t a, std::size_t b) const {
    const auto n = static_cast<double>(edges_[b] - edges_[a]);
    const double bright = mean(a, b).bright;
    const double variance = (bright_square_[edges_[b]] - bright_square_[edges_[a]]) / n - bright * bright;
    return std::min(kMostUnevenness, kUnevennessWeight * std::max(0.0, variance - kUsualUnevenness) * n *
                                         step_ / kEvidenceLength);
  }

  void find_edges(const std::vector<Tint>& line) {
    const std::size_t n = line.size(),
                      reach = std::max<std::size_t>(2, static_cast<std::size_t>(0.3 / step_));
    std::vector<double> step_height(n + 1, 0);
    for (std::size_t i = reach; i + reach <= n; ++i) {
      double square = 0;
      constexpr std::array<double, 3> weight{1.5, 1.0, 0.6};
      for (std::size_t c = 0; c < 3; ++c) {
        const auto& s = colour_[c];
        const double change = (s[i + reach] - 2 * s[i] + s[i - reach]) / static_cast<double>(reach);
        square += weight[c] * weight[c] * change * change;
      }
      if (line[i - reach].seen && line[std::min(n - 1, i + reach)].seen) step_height[i] = std::sqrt(square);
    }
    std::vector<std::size_t> peaks;
    for (std::size_t i = 2; i + 2 <= n; ++i) {
      const double here = step_height[i];
      const auto last = step_height.begin() + static_cast<long>(std::min(n, i + 2)) + 1;
      if (here > 0.1 && here >= *std::max_element(step_height.begin() + static_cast<long>(i) - 2, last))
        peaks.push_back(i);
    }
    if (peaks.size() > kMostEdges) {
      std::nth_element(peaks.begin(), peaks.begin() + kMostEdges, peaks.end(),
                       [&](std::size_t a, std::size_t b) { return step_height[a] > step_height[b]; });
      peaks.resize(kMostEdges);
      std::sort(peaks.begin(), peaks.end());
    }
    edges_ = peaks;
    hidden_.assign(1, 0);
    for (const std::size_t i : peaks) {
      height_.push_back(step_height[i]);
      hidden_.push_back(hidden_.back() +
                        kHiddenEdgePrice * std::max(0.0, std::min(step_height[i], 1.0) - 0.22));
    }
  }

  double step_;
  std::array<std::vector<double>, 3> evidence_, colour_;
  std::vector<double> bright_square_;
  std::vector<std::size_t> edges_;
  std::vector<double> height_, hidden_;
};

// The places in the order of layers, between the piece's two sides; the same kind may stand in two of them.
enum class Place { SideBefore, OuterCoat, FirstSkin, Core, SecondSkin, InnerCoat, SideAfter };
constexpr std::size_t kPlaces = 7;

bool is_side(Place place) {
  return place == Place::SideBefore || place == Place::SideAfter;
}

LayerKind kind_at(Place place) {
  if (place == Place::OuterCoat || place == Place::InnerCoat) return LayerKind::Gelcoat;
  return place == Place::Core ? LayerKind::Core : LayerKind::Laminate;
}

bool may_follow(Place before, Place after) {
  switch (before) {
    case Place::SideBefore:
      return after == Place::OuterCoat || after == Place::FirstSkin;
    case Place::OuterCoat:
      return after == Place::FirstSkin;
    case Place::FirstSkin:
      return after == Place::Core || after == Place::InnerCoat || after == Place::SideAfter;
    case Place::Core:
      return after == Place::SecondSkin;
    case Place::SecondSkin:
      return after == Place::InnerCoat || after == Place::SideAfter;
    case Place::InnerCoat:
      return after == Place::SideAfter;
    case Place::SideAfter:
      return false;
  }
  return false;
}

struct Node {
  double score = -1e9;
  std::size_t from = 0;         // edge at which the layer begins
  std::optional<Place> before;  // the layer under it
};

class Search {
 public:
  Search(const Line& line, std::optional<double> eye)
      : line_(line), eye_(eye), nodes_(kPlaces * line.edges().size()) {}

  std::optional<LayerReading> best() {
    for (std::size_t place = 0; place < kPlaces; ++place)
      for (std::size_t b = 1; b < line_.edges().size(); ++b)
        for (std::size_t a = 0; a < b; ++a) extend(static_cast<Place>(place), a, b);
    const Node* top = nullptr;
    Place top_place = Place::FirstSkin;
    std::size_t top_edge = 0;
    for (const Place place : {Place::FirstSkin, Place::SecondSkin, Place::InnerCoat, Place::SideAfter})
      for (std::size_t e = 0; e < line_.edges().size(); ++e)
        if (!top || node(place, e).score > top->score) {
          top = &node(place, e);
          top_place = place;
          top_edge = e;
        }
    if (!top || top->score < -1e8) return std::nullopt;
    return read_back(top_place, top_edge);
  }

 private:
  Node& node(Place place, std::size_t edge) {
    return nodes_[static_cast<std::size_t>(place) * line_.edges().size() + edge];
  }

  void extend(Place place, std::size_t a, std::size_t b) {
    if (is_side(place)) return extend_side(place, a, b);
    const LayerKind kind = kind_at(place);
    const Look& look = look_of(kind);
    const double thickness = line_.position(b) - line_.position(a);
    if (thickness < look.thinnest || thickness > look.thickest) return;
    const double gain = line_.gain(kind, a, b) + line_.edge_gain(b);
    Node& here = node(place, b);
    if (place == Place::OuterCoat || place == Place::FirstSkin) {
      const double score = line_.edge_gain(a) + gain;
      if (score > here.score) here = {score, a, std::nullopt};
    }
    for (std::size_t p = 0; p < kPlaces; ++p) {
      const Place before = static_cast<Place>(p);
      if (!may_follow(before, place) || node(before, a).score < -1e8) continue;
      const double score = node(before, a).score + gain - discord(before, place, a, b);
      if (score > here.score) here = {score, a, before};
    }
  }

  void extend_side(Place place, std::size_t a, std::size_t b) {
    if (!eye_) return;
    const double width = line_.position(b) - line_.position(a);
    const double beyond = place == Place::SideBefore ? line_.position(b) - *eye_ : *eye_ - line_.position(a);
    if (width < kNarrowestSide || width > kWidestSideShare * beyond) return;
    Node& here = node(place, b);
    const double gain = line_.edge_gain(b) - kSidePrice;
    if (place == Place::SideBefore) {
      if (line_.edge_gain(a) + gain > here.score) here = {line_.edge_gain(a) + gain, a, std::nullopt};
      return;
    }
    for (const Place before : {Place::FirstSkin, Place::SecondSkin, Place::InnerCoat})
      if (node(before, a).score + gain > here.score) here = {node(before, a).score + gain, a, before};
  }

  // Neighbours must differ as such layers do: a coat is brighter than the glass under it, a core of another
  // tint, and both skins of a sandwich are of one laminate.
  double discord(Place before, Place place, std::size_t a, std::size_t b) {
    if (is_side(before)) return 0;
    const std::size_t start = node(before, a).from;
    const Mean under = line_.mean(start, a), here = line_.mean(a, b);
    const double brighter = here.bright - under.bright;
    const double tint =
        std::hypot(1.5 * (here.red - under.red), here.blue - under.blue) + 0.3 * std::abs(brighter);
    if (place == Place::InnerCoat) return std::max(0.0, 0.15 - brighter) * 4;
    if (before == Place::OuterCoat) return std::max(0.0, 0.15 + brighter) * 4;
    if (place == Place::Core) return std::max(0.0, 0.25 - tint) * 80;
    const Node& core = node(before, a);
    const Mean first = line_.mean(node(*core.before, core.from).from, core.from);
    const double apart = std::hypot(here.red - first.red, here.blue - first.blue);
    return std::max(0.0, apart - 0.07) * 25 + std::max(0.0, 0.25 - tint) * 80;
  }

  LayerReading read_back(Place place, std::size_t edge) {
    LayerReading out;
    out.score = node(place, edge).score;
    std::optional<Place> at = place;
    while (at) {
      const Node& here = node(*at, edge);
      if (*at == Place::SideBefore)
        out.side_before = true;
      else if (*at == Place::SideAfter)
        out.side_after = true;
      else
        out.stretches.push_back({kind_at(*at), line_.position(here.from), line_.position(edge)});
      edge = here.from;
      at = here.before;
    }
    std::reverse(out.stretches.begin(), out.stretches.end());
    return out;
  }

  const Line& line_;
  std::optional<double> eye_;
  std::vector<Node> nodes_;
};

}  // namespace

std::string layer_name(LayerKind kind) {
  return kind == LayerKind::Gelcoat ? "gelcoat" : kind == LayerKind::Laminate ? "laminate" : "core";
}

Backdrop backdrop_of(const std::vector<Tint>& surroundings) {
  constexpr double kBin = 0.05;
  std::map<std::pair<int, int>, int> bins;
  int all = 0;
  for (const Tint& t : surroundings) {
    if (!t.seen) continue;
    ++all;
    const int r = static_cast<int>(std::floor(static_cast<double>(t.red) / kBin));
    const int b = static_cast<int>(std::floor(static_cast<double>(t.blue) / kBin));
    for (int i = -1; i <= 1; ++i)
      for (int j = -1; j <= 1; ++j) bins[{r + i, b + j}] += i == 0 && j == 0 ? 2 : 1;
  }
  if (all == 0) return {};
  const auto top = std::max_element(bins.begin(), bins.end(),
                                    [](const auto& a, const auto& b) { return a.second < b.second; });
  const double red = (top->first.first + 0.5) * kBin, blue = (top->first.second + 0.5) * kBin;
  double n = 0, sr = 0, sb = 0, srr = 0, sbb = 0;
  for (const Tint& t : surroundings) {
    const double r = static_cast<double>(t.red) - red, b = static_cast<double>(t.blue) - blue;
    if (!t.seen || std::hypot(r, b) > 0.12) continue;
    n += 1;
    sr += r;
    sb += b;
    srr += r * r;
    sbb += b * b;
  }
  Backdrop out;
  out.red = red + sr / n;
  out.blue = blue + sb / n;
  out.spread_red = std::max(0.04, std::sqrt(std::max(0.0, srr / n - sr * sr / n / n)));
  out.spread_blue = std::max(0.04, std::sqrt(std::max(0.0, sbb / n - sb * sb / n / n)));
  out.share = n / all;
  return out;
}

std::optional<LayerReading> read_layers(const std::vector<Tint>& line, double step, const Backdrop& backdrop,
                                        std::optional<double> eye) {
  const Line sums(line, step, backdrop);
  if (sums.edges().size() < 2) return std::nullopt;
  return Search(sums, eye).best();
}

}  // namespace spile::vision
