#include "rules/run_joints.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "rules/wording.hpp"

namespace spile::rules {

namespace {

constexpr double kSnug = 1;         // mm between hose and tail
constexpr double kStretches = 2.5;  // mm that warm water and a strong arm still get over
constexpr double kSameBore = 0.5;   // mm; what is nearer than this is not called a change

enum class Family { Npt, Npsm, G, R, None };

Family family(EndForm form) {
  switch (form) {
    case EndForm::NptMale:
    case EndForm::NptFemale:
      return Family::Npt;
    case EndForm::NpsmMale:
    case EndForm::NpsmFemale:
      return Family::Npsm;
    case EndForm::GMale:
    case EndForm::GFemale:
      return Family::G;
    case EndForm::RMale:
    case EndForm::RFemale:
      return Family::R;
    default:
      return Family::None;
  }
}

bool male(EndForm form) {
  return form == EndForm::NptMale || form == EndForm::NpsmMale || form == EndForm::GMale ||
         form == EndForm::RMale;
}

bool american(Family f) {
  return f == Family::Npt || f == Family::Npsm;
}

Fit hose_on_tail(double hose_mm, double tail_mm) {
  const double apart = std::abs(hose_mm - tail_mm);
  if (apart <= kSnug) return Fit::Good;
  return apart <= kStretches ? Fit::Stretched : Fit::Size;
}

Fit thread_in_thread(const PartEnd& a, const PartEnd& b) {
  if (male(a.form) == male(b.form)) return Fit::Form;
  const Family fa = family(a.form), fb = family(b.form);
  if (american(fa) != american(fb)) return Fit::Family;
  if (std::abs(a.size_mm - b.size_mm) > 0.1) return Fit::Size;
  if (fa == fb) return Fit::Good;
  // A taper in its own straight socket is a standardised joint: R in Rp; a straight thread in a tapered one
  // is not.
  return Fit::Poor;
}

std::string why(Fit f, const PartEnd& a, const PartEnd& b, bool below_waterline) {
  switch (f) {
    case Fit::Good:
      return {};
    case Fit::NotKnown:
      return "not in the table, check it by hand";
    case Fit::Stretched:
      return fmt::format("{} apart: the hose is stretched or crimped on, and works loose",
                         mm(std::abs(a.size_mm - b.size_mm), 1));
    case Fit::Size:
      return "of different size";
    case Fit::Family:
      return "threads of different family: 60 degrees against 55, they bind after a turn or two and never "
             "seal";
    case Fit::Form:
      return "these ends do not go together";
    case Fit::Poor:
      return below_waterline
                 ? "straight and tapered thread hold by two or three turns: not below the waterline"
                 : "straight and tapered thread hold by two or three turns only";
  }
  return {};
}

Joint judge(const PlacedRun& run, std::size_t i, bool below_waterline) {
  const PlacedPart &a = run.parts[i], &b = run.parts[i + 1];
  Joint joint{i, fit(a.out, b.in), {}, 1};
  const std::string reason = why(joint.fit, a.out, b.in, below_waterline);
  joint.text =
      fmt::format("{} on {}{}{}", end_text(a.out), end_text(b.in), reason.empty() ? "" : ": ", reason);
  if (b.bore_mm < a.bore_mm - kSameBore) joint.area_kept = (b.bore_mm * b.bore_mm) / (a.bore_mm * a.bore_mm);
  if (joint.area_kept < 1)
    joint.text += fmt::format("; bore {} to {}, {} of the area lost", mm(a.bore_mm, 1), mm(b.bore_mm, 1),
                              percent(1 - joint.area_kept));
  return joint;
}

// The size the trade calls the part by, for comparing with the service's: its narrower end.
std::optional<double> nominal_mm(const PlacedPart& part) {
  std::optional<double> size;
  for (const auto* end : {&part.in, &part.out}) {
    if (!end->joins() || end->size.empty()) continue;
    const auto* step = nominal_step(end->size);
    if (step != nullptr && (!size || step->hose_mm < *size)) size = step->hose_mm;
  }
  return size;
}

std::string too_small(const PlacedRun& run, const ServiceRun& service) {
  std::string which;
  double smallest = service.size_from_mm;
  for (std::size_t i = 0; i < run.parts.size(); ++i) {
    const auto size = nominal_mm(run.parts[i]);
    if (!size || *size >= smallest) continue;
    smallest = *size;
    which = numbered(run, i);
  }
  if (which.empty()) return {};
  return fmt::format("{} is smaller than what this service takes: {}{} ({}).", which, service.size_from,
                     service.size_to == service.size_from ? " in" : " to " + service.size_to + " in",
                     service.source);
}

}  // namespace

std::string_view key(Fit fit) {
  static constexpr std::array<std::string_view, 7> keys = {"good",   "poor", "stretched", "size",
                                                           "family", "form", "not-known"};
  return keys[static_cast<std::size_t>(fit)];
}

std::string_view label(Fit fit) {
  static constexpr std::array<std::string_view, 7> labels = {
      "Fits", "Fits badly", "Stretched", "Size", "Thread family", "Do not join", "Not known"};
  return labels[static_cast<std::size_t>(fit)];
}

bool matches(Fit fit) {
  return fit == Fit::Good || fit == Fit::NotKnown;
}

Fit fit(const PartEnd& a, const PartEnd& b) {
  if (a.form == EndForm::None || b.form == EndForm::None) return Fit::Form;
  if (a.form == EndForm::Any || b.form == EndForm::Any) return Fit::NotKnown;
  const bool hose = (a.form == EndForm::Hose && b.form == EndForm::Tail) ||
                    (a.form == EndForm::Tail && b.form == EndForm::Hose);
  if (hose) return hose_on_tail(a.size_mm, b.size_mm);
  if (family(a.form) == Family::None || family(b.form) == Family::None) return Fit::Form;
  return thread_in_thread(a, b);
}

RunMatch judge_joints(const PlacedRun& run, const ServiceRun* service, bool below_waterline) {
  RunMatch match;
  for (std::size_t i = 0; i + 1 < run.parts.size(); ++i) {
    match.joints.push_back(judge(run, i, below_waterline));
    match.all_match = match.all_match && matches(match.joints.back().fit);
  }
  for (std::size_t i = 0; i < run.parts.size(); ++i) {
    const double bore = run.parts[i].bore_mm;
    match.widest_mm = std::max(match.widest_mm, bore);
    if (!match.bottleneck || bore < match.narrowest_mm) {
      match.bottleneck = i;
      match.narrowest_mm = bore;
    }
  }
  if (match.bottleneck) match.area_left = std::pow(match.narrowest_mm / match.widest_mm, 2);
  if (service != nullptr) match.size_note = too_small(run, *service);
  return match;
}

}  // namespace spile::rules
