#include "vision/rim_arcs.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/arc_profile.hpp"
#include "vision/light.hpp"
#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr int kArcs = 24;
constexpr std::array<double, 13> kCoatsMm{0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9, 1.2, 1.6, 2.2, 3, 4.2, 6};
using CoatShares = std::array<double, kCoatsMm.size()>;  // how likely each is
constexpr double kLeastBelief = 0;                       // below this a coat is not tried again
constexpr double kWidestCoatPx = 5.5;
constexpr double kNoCoat = 0.95;  // how likely it is, before looking, that nothing shows below the rim
constexpr double kPerArc = 2.0;   // independent values an arc's profile counts for: neighbours err together
constexpr double kAboveGain = 0.6;
constexpr double kEvidentShare = 0.4;  // of the arcs that see the wall
constexpr double kLeastBorder = 6;     // coded values between the hull and its coat's side
constexpr double kLeastContrast = 8;   // coded values
constexpr double kUsualSharpening = 0.2;
constexpr double kCoatLikeBlur = 1.25;
constexpr double kHintU = 0.1;  // relative: the blur on the reference is not quite the blur on the rim
constexpr double kArcFloorPx = 0.06;

// On a dark hull the coat's shaded side is as dark as its face, and its lower border is what is seen: gelcoat
// of 0.5 to 0.8 mm as well as a coat of paint (common practice).
constexpr double kHiddenCoatU = 0.3;
constexpr double kShade = 0.5;          // light on the coat's side over that on its face
constexpr double kLeastShadeStep = 22;  // coded values: below this the shade does not show

bool sees_wall(const ArcProfile& arc) {
  return arc.depth_px > 0.2;
}

// How this picture shows the rim where nothing disturbs: on the side where the bore's wall is hidden. The
// roughness of the rim is in the blur.
struct Look {
  double blur = 0.9, sharpening = 0;
  double u_log_blur = 0.02;
};

// The blur an arc should show, from that on the reference's edges: reading between pixels is in the latter
// and not in the former, the rim's own roughness the other way round.
double expected_blur(double on_reference) {
  constexpr double kReading2 = 1.0 / 6, kRoughness = 0.25;
  return std::sqrt(std::max(0.09, on_reference * on_reference - kReading2 + kRoughness * kRoughness));
}

// The sharpening under which the arcs, taken to show no coat, fit best, and their blur then.
std::optional<Look> plain_look(const std::vector<const ArcProfile*>& arcs) {
  constexpr std::array<double, 4> kSharpenings{0, 0.2, 0.4, 0.6};
  std::optional<Look> best;
  double least = 1e300;
  for (const double sharpening : kSharpenings) {
    std::vector<double> seen;
    double cost = 0;
    for (const ArcProfile* arc : arcs) {
      ArcModel model;
      model.sharpening = sharpening;
      const auto fit = fit_arc(*arc, model);
      if (!fit || fit->clipped || fit->contrast < 20) continue;
      seen.push_back(fit->blur);
      cost += fit->cost;
    }
    if (seen.size() < 4) return std::nullopt;
    if (cost < least) {
      least = cost;
      best = Look{median(seen), sharpening};
    }
  }
  return best;
}

// From straight in front the wall shows all round, most narrowly on the arcs that come first.
std::vector<const ArcProfile*> narrowest_walls(const std::vector<ArcProfile>& arcs) {
  std::vector<const ArcProfile*> out;
  for (const ArcProfile& arc : arcs) out.push_back(&arc);
  std::sort(out.begin(), out.end(), [](const auto* a, const auto* b) { return a->depth_px < b->depth_px; });
  out.resize(std::min<std::size_t>(out.size(), kArcs / 3));
  return out;
}

Look look_of(const std::vector<ArcProfile>& arcs, double on_reference) {
  const double hint = on_reference > 0 ? expected_blur(on_reference) : 0.9;
  std::vector<const ArcProfile*> plain;
  for (const ArcProfile& arc : arcs) {
    if (!sees_wall(arc)) plain.push_back(&arc);
  }
  if (auto look = plain_look(plain)) {
    if (on_reference > 0) look->blur = std::clamp(look->blur, 0.8 * hint, 1.7 * hint);
    return *look;
  }
  // A coat looks like blur where it is narrow: more than the reference shows is not believed.
  auto look = plain_look(narrowest_walls(arcs));
  if (!look) return {hint, kUsualSharpening, kHintU};
  if (on_reference > 0 && look->blur > kCoatLikeBlur * hint) return {hint, look->sharpening, kHintU};
  return *look;
}

ArcModel modelled(double coat_px, const Look& look) {
  ArcModel model{coat_px, look.blur, look.u_log_blur};
  model.sharpening = look.sharpening;
  return model;
}

// One arc under every coat: offsets, their uncertainties, and how badly each fits.
struct ArcUnderCoats {
  bool sees_wall = false;
  std::array<bool, kCoatsMm.size()> evident{};  // the border between hull and coat shows here
  std::array<std::optional<ArcFit>, kCoatsMm.size()> fits;
};

// The rim where an edge was fitted; or above it, that edge being the coat's lower border, if that fits far
// better.
std::optional<ArcFit> fit_coat(const ArcProfile& arc, ArcModel model) {
  auto best = fit_arc(arc, model);
  if (model.coat_px < 1) return best;
  model.start = model.coat_px;
  const auto above = fit_arc(arc, model);
  if (above && (!best || above->cost < kAboveGain * best->cost)) best = above;
  return best;
}

// A coat whose border with the hull does not show is no evidence of one; and light that is a little stronger
// just outside an edge is what sharpening leaves.
bool shows_border(const ArcFit& fit) {
  return fit.contrast >= kLeastBorder && (fit.kappa < 0.93 || fit.kappa > 1.4);
}

using CoatsTried = std::array<bool, kCoatsMm.size()>;

// Those not ruled out, and their neighbours in thickness: better centred profiles may favour the next one.
CoatsTried worth_trying(const CoatShares& believed) {
  CoatsTried out{};
  for (std::size_t k = 0; k < believed.size(); ++k) {
    if (believed[k] < kLeastBelief) continue;
    out[k] = true;
    if (k > 0) out[k - 1] = true;
    if (k + 1 < out.size()) out[k + 1] = true;
  }
  return out;
}

ArcUnderCoats under_coats(const ArcProfile& arc, const Look& look, const CoatsTried& tried) {
  ArcUnderCoats out;
  out.sees_wall = sees_wall(arc);
  out.fits.fill(fit_arc(arc, modelled(0, look)));
  if (!out.sees_wall) return out;
  for (std::size_t k = 1; k < kCoatsMm.size(); ++k) {
    const double coat_px = arc.depth_px * kCoatsMm[k];
    if (!tried[k] || coat_px > kWidestCoatPx) {
      out.fits[k].reset();
    } else if (const auto fit = fit_coat(arc, modelled(coat_px, look));
               fit && out.fits[0] && shows_border(*fit) && fit->cost < out.fits[0]->cost) {
      out.fits[k] = fit;
      out.evident[k] = true;
    }
  }
  return out;
}

// How likely each coat is, all arcs together: one coat goes round the whole rim.
CoatShares likelihood(const std::vector<ArcUnderCoats>& arcs) {
  CoatShares cost{}, weight{};
  std::array<bool, kCoatsMm.size()> possible{};
  possible.fill(true);
  double seeing = 0;
  std::array<double, kCoatsMm.size()> evident{};
  for (const ArcUnderCoats& arc : arcs) {
    if (!arc.fits[0] || !arc.sees_wall) continue;
    ++seeing;
    for (std::size_t k = 0; k < kCoatsMm.size(); ++k) {
      evident[k] += arc.evident[k] ? 1 : 0;
      if (arc.fits[k])
        cost[k] += arc.fits[k]->cost;
      else
        possible[k] = false;
    }
  }
  for (std::size_t k = 1; k < kCoatsMm.size(); ++k)
    possible[k] = possible[k] && evident[k] >= kEvidentShare * seeing;
  double best = cost[0];
  for (std::size_t k = 0; k < kCoatsMm.size(); ++k) {
    if (possible[k]) best = std::min(best, cost[k]);
  }
  double sum = 0;
  for (std::size_t k = 0; k < kCoatsMm.size(); ++k) {
    if (!possible[k]) continue;
    const double prior = k == 0 ? kNoCoat : (1 - kNoCoat) / static_cast<double>(kCoatsMm.size() - 1);
    weight[k] = prior * std::pow(std::max(cost[k], 1.0) / std::max(best, 1.0), -0.5 * kPerArc * seeing);
    sum += weight[k];
  }
  for (double& w : weight) w /= sum;
  return weight;
}

// Where a coat is made out on some arcs it is there on the others too, in about the same light: those are
// fitted again with it.
void carry_over(const std::vector<ArcProfile>& arcs, const Look& look, const CoatShares& weight,
                std::vector<ArcUnderCoats>& under) {
  for (std::size_t k = 1; k < kCoatsMm.size(); ++k) {
    if (weight[k] < 0.01) continue;
    std::vector<double> kappa;
    for (const ArcUnderCoats& arc : under) {
      if (arc.evident[k]) kappa.push_back(arc.fits[k]->kappa);
    }
    if (kappa.size() < 3) continue;
    for (std::size_t i = 0; i < arcs.size(); ++i) {
      if (!under[i].sees_wall || under[i].evident[k] || !under[i].fits[k]) continue;
      ArcModel model = modelled(arcs[i].depth_px * kCoatsMm[k], look);
      model.kappa = median(kappa);
      model.u_kappa = 0.12;
      if (const auto fit = fit_coat(arcs[i], model)) under[i].fits[k] = fit;
    }
  }
}

// Whether the hull is so dark that its coat, seen from the side, would not stand out from its face.
bool hides_coat(const std::vector<ArcProfile>& arcs) {
  std::array<std::vector<double>, 3> light;
  for (const ArcProfile& arc : arcs) {
    if (!sees_wall(arc)) continue;
    for (std::size_t i = 0; i < arc.light.size(); ++i) {
      if (arc.x(i) < 3 || arc.x(i) > 8) continue;
      for (std::size_t k = 0; k < 3; ++k) light[k].push_back(static_cast<double>(arc.light[i][k]));
    }
  }
  double square = 0;
  for (auto& channel : light) {
    const double hull = median(channel);
    square += std::pow(coded_from_light(hull) - coded_from_light(kShade * hull), 2) / 3;
  }
  return std::sqrt(square) < kLeastShadeStep;
}

struct ArcPoint {
  double angle = 0, offset_px = 0, u_px = 0, mm_per_px = 1;
};

std::optional<ArcPoint> averaged(const ArcProfile& arc, const ArcUnderCoats& under,
                                 const CoatShares& weight) {
  double sum = 0, mean = 0, square = 0, u = 0, contrast = 0;
  for (std::size_t k = 0; k < kCoatsMm.size(); ++k) {
    if (!under.fits[k] || weight[k] <= 0) continue;
    sum += weight[k];
    mean += weight[k] * under.fits[k]->offset;
    square += weight[k] * under.fits[k]->offset * under.fits[k]->offset;
    u += weight[k] * under.fits[k]->u;
    contrast = std::max(contrast, under.fits[k]->contrast);
  }
  if (sum < 0.5 || contrast < kLeastContrast) return std::nullopt;
  mean /= sum;
  const double spread = std::max(0.0, square / sum - mean * mean);
  return ArcPoint{arc.angle, mean, std::sqrt(spread + std::pow(u / sum, 2) + kArcFloorPx * kArcFloorPx),
                  arc.mm_per_px};
}

// A blurred disc, dark or light, looks smaller by half the blur's square over its radius: common to all edges
// along a curve (from memory: Mendonca et al., ECCV 2004).
double curvature_px(double blur, const FineRim& rim) {
  return 0.5 * blur * blur * rim.mm_per_px / rim.fit.radius;
}

std::optional<RoundFit> fit_arcs(const FineRim& rim, const std::vector<ArcPoint>& arcs, double u_roundness) {
  std::vector<RimPoint> points;
  for (const ArcPoint& arc : arcs) {
    const double radius = rim.fit.radius_at(arc.angle) + arc.offset_px * arc.mm_per_px;
    points.push_back({rim.fit.centre + radius * Point2(std::cos(arc.angle), std::sin(arc.angle)),
                      arc.u_px * arc.mm_per_px});
  }
  return fit_round_weighted(points, u_roundness);
}

// `tried` says which coats to try, and afterwards which are worth another try.
bool refine_once(const RimPlace& place, double blur_hint, double u_roundness, CoatsTried& tried,
                 FineRim& rim) {
  const auto arcs = arc_profiles(place, rim, kArcs);
  if (arcs.size() < kArcs / 3) return false;
  const Look look = look_of(arcs, blur_hint);
  std::vector<ArcUnderCoats> under;
  for (const ArcProfile& arc : arcs) under.push_back(under_coats(arc, look, tried));
  const CoatShares weight = likelihood(under);
  tried = worth_trying(weight);
  carry_over(arcs, look, weight, under);
  const bool hidden = weight[0] > 0.5 && hides_coat(arcs);
  std::vector<ArcPoint> points;
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    if (auto point = averaged(arcs[i], under[i], weight)) {
      point->offset_px += curvature_px(look.blur, rim);
      points.push_back(*point);
    }
  }
  if (points.size() < kArcs / 3) return false;
  const auto fit = fit_arcs(rim, points, u_roundness);
  if (!fit || std::abs(fit->radius - rim.fit.radius) > 0.1 * rim.fit.radius) return false;
  const RoundFit before = rim.fit;
  rim.fit = *fit;
  rim.fit.inlier = before.inlier;
  rim.fit.scatter = before.scatter;
  rim.coat_lever = 0;
  for (const ArcProfile& arc : arcs) {
    rim.coat_lever += 2 * std::max(0.0, arc.depth_px) * arc.mm_per_px / static_cast<double>(arcs.size());
  }
  rim.coat_mm = 0;
  for (std::size_t k = 0; k < kCoatsMm.size(); ++k) rim.coat_mm += weight[k] * kCoatsMm[k];
  // The edge seen may be that lower border.
  if (hidden) rim.u_other_edge = std::max(rim.u_other_edge, 0.5 * kHiddenCoatU * rim.coat_lever);
  return true;
}

}  // namespace

void refine_by_arcs(const RimPlace& place, double blur_px, double u_roundness, FineRim& rim) {
  // Every other coat first; then what lies about the likely ones.
  CoatsTried tried{};
  for (std::size_t k = 0; k < tried.size(); k += 2) tried[k] = true;
  for (int round = 0; round < 2; ++round) {
    if (!refine_once(place, blur_px, u_roundness, tried, rim)) break;
  }
}

}  // namespace spile::vision
