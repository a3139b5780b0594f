#include "figures/hull.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "figures/callouts.hpp"
#include "figures/hull_form.hpp"
#include "figures/standing.hpp"

namespace spile::figures {

namespace {

constexpr double kAft = 4, kAhead = 16;  // white abaft and ahead, the latter for words
constexpr double kCaption = 2.5;         // lettering on the drawings
constexpr double kTextLine = 3.8;        // from one line of it to the next
constexpr int kStations = 60;

double farthest_aft(std::span<const OpeningMark> openings) {
  double farthest = 0;
  for (const auto& o : openings) farthest = std::max(farthest, o.from_bow_mm.value_or(0));
  return farthest;
}

Callout callout_at(const OpeningMark& opening, At at) {
  const StandingLook look = look_of(opening.standing);
  return {at, opening.tag, look.shape, look.role};
}

void label(Figure& figure, At at, std::string text, Align align = Align::Left, Role role = Role::Faint) {
  figure.items.emplace_back(Label{at, std::move(text), kCaption, role, align, false});
}

// Words under the drawing, broken into lines that fit.
void add_note(Figure& figure, const std::string& text) {
  std::string line;
  const auto flush = [&] {
    if (line.empty()) return;
    figure.height += kTextLine;
    label(figure, {0, figure.height - 1}, line);
    line.clear();
  };
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    const std::string word = text.substr(from, to - from);
    if (!line.empty() && text_width(line + " " + word, kCaption) > figure.width) flush();
    line += (line.empty() ? "" : " ") + word;
    from = to + 1;
  }
  flush();
}

void note_unplaced(Figure& figure, const std::vector<std::string>& tags, const char* why) {
  if (tags.empty()) return;
  std::string text = why;
  for (std::size_t i = 0; i < tags.size(); ++i) text += (i ? ", " : " ") + tags[i];
  add_note(figure, text + ".");
}

std::string metres(double mm) {
  const auto cm = std::lround(mm / 10);
  const std::string rest = std::to_string(100 + cm % 100).substr(1);
  return std::to_string(cm / 100) + "." + rest + " m";
}

// From mm of the vessel to mm of the paper.
struct Scale {
  double k = 1, left = 0, zero_y = 0, length = 0;
  [[nodiscard]] double x(double station) const { return left + (length - station) * k; }
  [[nodiscard]] double y(double up) const { return zero_y - up * k; }
};

void add_outline(Figure& figure, std::vector<At> points) {
  Polyline line;
  line.points = std::move(points);
  line.closed = line.filled = true;
  line.fill = Role::Hull;
  line.width = 0.35;
  figure.items.emplace_back(std::move(line));
}

std::vector<At> plan_outline(const HullForm& form, const Scale& to, double middle, double share) {
  std::vector<At> points;
  for (int i = 0; i <= kStations; ++i) {
    const double s = form.length() * i / kStations;
    points.push_back({to.x(s), to.y(middle + share * form.half_breadth(s))});
  }
  for (int i = kStations; i >= 0; --i) {
    const double s = form.length() * i / kStations;
    points.push_back({to.x(s), to.y(middle - share * form.half_breadth(s))});
  }
  return points;
}

void draw_plan(Figure& figure, const HullForm& form, const Scale& to) {
  if (form.two_hulls()) {
    const double middle = form.beam() * 0.39;
    figure.items.emplace_back(
        Polyline{{{to.x(form.length() * 0.3), to.y(middle)}, {to.x(form.length() * 0.3), to.y(-middle)}},
                 false,
                 Role::Faint,
                 0.25,
                 false,
                 Role::Paper,
                 true});
    figure.items.emplace_back(
        Polyline{{{to.x(form.length() * 0.8), to.y(middle)}, {to.x(form.length() * 0.8), to.y(-middle)}},
                 false,
                 Role::Faint,
                 0.25,
                 false,
                 Role::Paper,
                 true});
    for (const double side : {middle, -middle}) add_outline(figure, plan_outline(form, to, side, 0.22));
  } else {
    add_outline(figure, plan_outline(form, to, 0, 1));
  }
  figure.items.emplace_back(Polyline{{{to.x(form.length()) - 3, to.zero_y}, {to.x(0) + 3, to.zero_y}},
                                     false,
                                     Role::Faint,
                                     0.15,
                                     false,
                                     Role::Paper,
                                     true});
}

double station_of(const OpeningMark& o, const HullForm& form) {
  return std::clamp(o.from_bow_mm.value_or(0), 0.0, form.length());
}

// A slip in the record shows as words, not as a mark in the water.
void note_beyond(Figure& figure, std::span<const OpeningMark> openings, const HullForm& form) {
  std::vector<std::string> tags;
  for (const auto& o : openings)
    if (o.from_bow_mm && *o.from_bow_mm > form.length()) tags.push_back(o.tag);
  note_unplaced(figure, tags, "Recorded farther aft than her length, drawn at the stern:");
}

double port_of(const OpeningMark& o, const HullForm& form) {
  if (o.side == model::Side::Centreline) return 0;
  const double edge = form.half_breadth(station_of(o, form));
  const double out = std::min(o.half_breadth_mm.value_or(edge * 0.86), edge);
  return o.side == model::Side::Port ? out : -out;
}

void draw_waterline(Figure& figure, const Scale& to, double height, const std::string& text, bool dashed) {
  const double y = to.y(height), right = figure.width;
  figure.items.emplace_back(
      Polyline{{{0, y}, {right, y}}, false, Role::Water, 0.3, false, Role::Paper, dashed});
  // Ahead of the stem, where there is no hull: the one at rest under its line, a higher one over it.
  label(figure, {right, y + (dashed ? -0.9 : 3)}, text, Align::Right, Role::Water);
}

void draw_keel(Figure& figure, const HullForm& form, const Scale& to) {
  if (!form.sails() || form.two_hulls()) return;
  const double l = form.length();
  const auto under = [&](double s) { return At{to.x(s), to.y(form.bottom(s) + 10)}; };
  const double foot = -form.draught();
  add_outline(figure,
              {under(l * 0.40), under(l * 0.60), {to.x(l * 0.57), to.y(foot)}, {to.x(l * 0.45), to.y(foot)}});
  add_outline(figure, {under(l * 0.88),
                       under(l * 0.95),
                       {to.x(l * 0.945), to.y(foot * 0.8)},
                       {to.x(l * 0.895), to.y(foot * 0.8)}});
}

void draw_profile(Figure& figure, const HullForm& form, const Scale& to) {
  draw_keel(figure, form, to);
  std::vector<At> points;
  for (int i = 0; i <= kStations; ++i) {
    const double s = form.length() * i / kStations;
    points.push_back({to.x(s), to.y(form.sheer(s))});
  }
  for (int i = kStations; i >= 0; --i) {
    // The stem rakes: the underside starts a little aft of the bow.
    const double s = form.length() * (0.02 + 0.97 * i / kStations);
    points.push_back({to.x(s), to.y(std::max(form.bottom(s), -form.draught()))});
  }
  add_outline(figure, std::move(points));
}

struct Sorted {
  std::vector<Callout> up, down;
  std::vector<std::string> unplaced;
};

Scale fit(const HullForm& form, double width_mm) {
  return {(width_mm - kAft - kAhead) / form.length(), kAft, 0, form.length()};
}

}  // namespace

Figure hull_plan(const model::Vessel& vessel, std::span<const OpeningMark> openings, double width_mm) {
  const HullForm form(vessel, farthest_aft(openings));
  Scale to = fit(form, width_mm);
  Figure figure{width_mm, 0, "Seen from above, bow to the right", {}};
  Sorted sorted;
  const auto place = [&](const OpeningMark& o) {
    const double port = port_of(o, form);
    (port > 0 ? sorted.up : sorted.down).push_back(callout_at(o, {to.x(station_of(o, form)), to.y(port)}));
  };
  for (const auto& o : openings)
    if (!o.from_bow_mm) sorted.unplaced.push_back(o.tag);
  const auto count = [&](bool up) {
    std::vector<Callout> some;
    for (const auto& o : openings)
      if (o.from_bow_mm && (port_of(o, form) > 0) == up) some.push_back({{}, o.tag});
    return callout_height(some, width_mm);
  };
  const double above = count(true) + 4, half = form.beam() / 2 * to.k;
  to.zero_y = above + half;
  draw_plan(figure, form, to);
  label(figure, {to.x(form.length()) + 2, to.y(form.beam() * 0.2)}, "PORT");
  label(figure, {to.x(form.length()) + 2, to.y(-form.beam() * 0.2) + 1.8}, "STARBOARD");
  label(figure, {width_mm, to.zero_y - 2.5}, "bow", Align::Right);
  for (const auto& o : openings)
    if (o.from_bow_mm) place(o);
  add_callouts(figure, std::move(sorted.up), 0, width_mm, above - 3, true);
  add_callouts(figure, std::move(sorted.down), 0, width_mm, to.zero_y + half + 5.5, false);
  figure.height = to.zero_y + half + 4 + count(false);
  note_beyond(figure, openings, form);
  note_unplaced(figure, sorted.unplaced, "Distance from the bow not recorded:");
  if (!form.assumed().empty()) add_note(figure, form.assumed());
  return figure;
}

Figure hull_profile(const model::Vessel& vessel, std::span<const OpeningMark> openings, double width_mm) {
  const HullForm form(vessel, farthest_aft(openings));
  Scale to = fit(form, width_mm);
  Figure figure{width_mm, 0, "Seen from starboard; openings of both sides", {}};
  Sorted sorted;
  std::vector<const OpeningMark*> placed;
  std::array<std::vector<Callout>, 2> counted;
  for (const auto& o : openings) {
    if (!o.from_bow_mm || !o.height_mm) {
      sorted.unplaced.push_back(o.tag);
      continue;
    }
    placed.push_back(&o);
    counted.at(*o.height_mm >= 0 ? 0 : 1).push_back({{}, o.tag});
  }
  const double top = form.sheer(0) * to.k, above = callout_height(counted[0], width_mm) + 3;
  to.zero_y = above + top;
  draw_profile(figure, form, to);
  draw_waterline(figure, to, 0, "at rest", false);
  if (vessel.loaded_sinkage_mm > 0) draw_waterline(figure, to, vessel.loaded_sinkage_mm, "laden", true);
  for (const auto* o : placed) {
    const double z = std::clamp(*o->height_mm, -form.draught(), form.sheer(station_of(*o, form)));
    (*o->height_mm >= 0 ? sorted.up : sorted.down)
        .push_back(callout_at(*o, {to.x(station_of(*o, form)), to.y(z)}));
  }
  const double foot = to.y(-form.draught());
  add_callouts(figure, std::move(sorted.up), 0, width_mm, above - 3, true);
  add_callouts(figure, std::move(sorted.down), 0, width_mm, foot + 4.5, false);
  figure.height = foot + 3 + callout_height(counted[1], width_mm);
  label(figure, {width_mm, foot - 1},
        "length " + metres(form.length()) + ", draught " + metres(form.draught()), Align::Right);
  note_beyond(figure, openings, form);
  note_unplaced(figure, sorted.unplaced, "Distance from the bow or height not recorded:");
  if (!form.assumed().empty()) add_note(figure, form.assumed());
  return figure;
}

namespace {

std::vector<At> section_outline(const HullForm& form, const Scale& to, double middle_x) {
  std::vector<At> right, points;
  for (int i = 0; i <= kStations; ++i) {
    const double z = form.freeboard() - (form.freeboard() + form.body_depth()) * i / kStations;
    right.push_back({middle_x + form.section_half_breadth(z) * to.k, to.y(z)});
  }
  points = right;
  for (auto it = right.rbegin(); it != right.rend(); ++it) points.push_back({2 * middle_x - it->x, it->y});
  return points;
}

// The water as she heels, drawn on the upright hull; the side that goes down gets the higher water.
void draw_heel(Figure& figure, const Scale& to, double middle_x, double reach, double heel_deg) {
  const double rise = std::tan(heel_deg * std::numbers::pi / 180) * reach;
  for (const double side : {1.0, -1.0})
    figure.items.emplace_back(
        Polyline{{{middle_x - reach, to.zero_y + side * rise}, {middle_x + reach, to.zero_y - side * rise}},
                 false,
                 Role::Water,
                 0.25,
                 false,
                 Role::Paper,
                 true});
  const auto degrees = std::to_string(std::lround(heel_deg));
  label(figure, {middle_x + reach, to.zero_y - rise - 0.8}, "heeled " + degrees + "° to starboard",
        Align::Right, Role::Water);
  label(figure, {middle_x - reach, to.zero_y - rise - 0.8}, "heeled " + degrees + "° to port", Align::Left,
        Role::Water);
}

}  // namespace

Figure hull_section(const model::Vessel& vessel, std::span<const OpeningMark> openings,
                    std::optional<double> heel_deg, double width_mm) {
  const HullForm form(vessel, farthest_aft(openings));
  Scale to;
  to.k = width_mm * 0.56 / form.beam();
  const double middle = width_mm / 2, reach = width_mm * 0.36;
  const double rise = heel_deg ? std::tan(*heel_deg * std::numbers::pi / 180) * reach : 0;
  Figure figure{width_mm, 0, "Section amidships, looking forward", {}};
  to.zero_y = std::max(form.freeboard() * to.k, rise + kTextLine) + 3;
  figure.height = to.zero_y + std::max(form.body_depth() * to.k, rise) + 2;
  if (!form.two_hulls()) add_outline(figure, section_outline(form, to, middle));
  figure.items.emplace_back(
      Polyline{{{middle - reach, to.zero_y}, {middle + reach, to.zero_y}}, false, Role::Water, 0.3});
  label(figure, {middle - reach, to.zero_y + 3}, "at rest", Align::Left, Role::Water);
  if (heel_deg && *heel_deg > 0) draw_heel(figure, to, middle, reach, *heel_deg);
  std::vector<Callout> callouts;
  std::vector<std::string> unplaced;
  for (const auto& o : openings) {
    if (!o.height_mm) {
      unplaced.push_back(o.tag);
      continue;
    }
    const double z = std::clamp(*o.height_mm, -form.body_depth(), form.freeboard());
    const double out =
        o.side == model::Side::Centreline
            ? 0
            : std::min(o.half_breadth_mm.value_or(form.section_half_breadth(z)), form.beam() / 2);
    callouts.push_back(callout_at(o, {middle + (o.side == model::Side::Port ? -out : out) * to.k, to.y(z)}));
  }
  label(figure, {middle - reach, 2}, "PORT");
  label(figure, {middle + reach, 2}, "STARBOARD", Align::Right);
  figure.height = std::max(figure.height, add_side_callouts(figure, std::move(callouts), middle, 3));
  note_unplaced(figure, unplaced, "Height not recorded:");
  return figure;
}

Figure standing_legend(std::span<const OpeningMark> openings, double width_mm) {
  using rules::Standing;
  Figure figure{width_mm, 4.5, "", {}};
  double x = 1.5, y = 3.2;
  for (const Standing standing : {Standing::Act, Standing::TooCloseToTell, Standing::Watch,
                                  Standing::NotKnownYet, Standing::Good, Standing::NotApplicable}) {
    if (std::none_of(openings.begin(), openings.end(), [&](const auto& o) { return o.standing == standing; }))
      continue;
    const StandingLook look = look_of(standing);
    const std::string text = std::string(look.word) + ": " + std::string(look.sentence);
    const double width = 4 + text_width(text, kCaption) + 3;
    if (x + width > width_mm && x > 2) {
      x = 1.5;
      y += kTextLine + 0.6;
      figure.height += kTextLine + 0.6;
    }
    figure.items.emplace_back(Mark{{x, y - 0.9}, look.shape, 2.6, look.role, ""});
    label(figure, {x + 2.6, y}, text, Align::Left, Role::Ink);
    x += width;
  }
  return figure;
}

}  // namespace spile::figures
