#include <fmt/format.h>

#include <algorithm>

#include "figures/callouts.hpp"
#include "figures/water_figures.hpp"

namespace spile::figures {

namespace {

constexpr double kTallest = 16;  // paper, of the widest bore
constexpr double kAxis = 22;     // paper, y of the run's middle
constexpr double kText = 2.4;
constexpr double kHoseShare = 2.2;  // a hose is drawn this much longer than any other part

double share(const rules::PlacedPart& part) {
  return part.stock->kind == rules::PartKind::Hose ? kHoseShare : 1;
}

// The part's name in as many letters as its piece has room for.
std::string fitted(const std::string& text, double room) {
  if (text_width(text, kText) <= room) return text;
  std::string cut = text;
  while (!cut.empty() && text_width(cut + "…", kText) > room) cut.pop_back();
  while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0x80) != 0) cut.pop_back();
  return cut + "…";
}

struct Piece {
  double left = 0, right = 0, half = 0;
};

std::vector<Piece> pieces(const rules::PlacedRun& run, const rules::RunMatch& match, double width) {
  double whole = 0;
  for (const auto& part : run.parts) whole += share(part);
  std::vector<Piece> all;
  double x = 0;
  for (const auto& part : run.parts) {
    const double right = x + share(part) / whole * width;
    all.push_back({x, right, kTallest / 2 * part.bore_mm / match.widest_mm});
    x = right;
  }
  return all;
}

void draw_piece(Figure& figure, const Piece& piece, const rules::PlacedPart& part, std::size_t number,
                bool narrowest) {
  Polyline outline{{{piece.left, kAxis - piece.half},
                    {piece.right, kAxis - piece.half},
                    {piece.right, kAxis + piece.half},
                    {piece.left, kAxis + piece.half}},
                   true,
                   narrowest ? Role::Act : Role::Ink,
                   narrowest ? 0.6 : 0.3,
                   true,
                   Role::Water};
  figure.items.emplace_back(outline);
  const double middle = (piece.left + piece.right) / 2;
  figure.items.emplace_back(
      Label{{middle, kAxis + 0.9}, fmt::format("{}", number), kText, Role::Ink, Align::Centre, true});
  figure.items.emplace_back(Label{{middle, kAxis + kTallest / 2 + 4},
                                  fmt::format("{:.0f} mm", part.bore_mm),
                                  kText,
                                  narrowest ? Role::Act : Role::Ink,
                                  Align::Centre,
                                  narrowest});
  figure.items.emplace_back(
      Label{{middle, kAxis + kTallest / 2 + 7.5},
            fitted(std::string(rules::label(part.stock->kind)), piece.right - piece.left),
            kText,
            Role::Faint,
            Align::Centre});
  if (narrowest)
    figure.items.emplace_back(
        Label{{middle, kAxis + kTallest / 2 + 11}, "narrowest", kText, Role::Act, Align::Centre, true});
}

void draw_joint(Figure& figure, double x, const rules::Joint& joint, int row) {
  if (rules::matches(joint.fit)) return;
  const bool stretched = joint.fit == rules::Fit::Stretched;
  const Role role = stretched ? Role::Watch : Role::Act;
  const double y = 4 + 4.0 * row;
  figure.items.emplace_back(
      Polyline{{{x, y + 1.5}, {x, kAxis + kTallest / 2}}, false, role, 0.3, false, Role::Paper, true});
  figure.items.emplace_back(Mark{{x, y}, stretched ? Shape::Square : Shape::Triangle, 2.6, role, {}});
  const bool flip = x > figure.width * 0.7;
  figure.items.emplace_back(Label{{flip ? x - 2.2 : x + 2.2, y + 0.9},
                                  std::string(rules::label(joint.fit)),
                                  kText,
                                  role,
                                  flip ? Align::Right : Align::Left,
                                  true});
}

}  // namespace

Figure run_line(const rules::PlacedRun& run, const rules::RunMatch& match, double width_paper) {
  Figure figure{width_paper,
                kAxis + kTallest / 2 + 13,
                "The run from fixture to sea; bores to one scale, lengths not",
                {}};
  if (run.parts.empty() || match.widest_mm <= 0) return figure;
  const auto all = pieces(run, match, width_paper);
  for (std::size_t i = 0; i < all.size(); ++i)
    draw_piece(figure, all[i], run.parts[i], i + 1,
               match.bottleneck == i && match.narrowest_mm < match.widest_mm);
  int row = 0;
  for (const auto& joint : match.joints) {
    draw_joint(figure, all[joint.before].right, joint, row);
    if (!rules::matches(joint.fit)) row = (row + 1) % 2;
  }
  return figure;
}

}  // namespace spile::figures
