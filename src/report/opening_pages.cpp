#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "figures/photo_overlay.hpp"
#include "figures/standing.hpp"
#include "metrology/print.hpp"
#include "model/names.hpp"
#include "report/paint_figure.hpp"
#include "report/sections.hpp"

namespace spile::report {

namespace {

constexpr double kBetween = 6;   // two photos abreast
constexpr double kTallest = 82;  // of a photo
const TextStyle kReason{9, Weight::Regular, kBlack};

void title(Flow& flow, const ReportOpening& opening) {
  flow.need(opening.photos.empty() ? 95 : 150);
  const auto look = figures::look_of(opening.mark.standing);
  flow.heading(1, fmt::format("{}  {}", opening.mark.tag, opening.service), place_of(opening), true);
  paint_mark(flow.pdf(), look.shape, look.role, {flow.left() + 1.8, flow.y() + 2.2}, 3.4);
  std::string line = std::string(look.word) + ": " + std::string(look.sentence);
  flow.paragraph(line, kStrong, 6);
  if (!opening.place.empty()) flow.paragraph(opening.place, {9, Weight::Regular, kGrey});
  if (opening.seen != model::Seen::Looked)
    flow.paragraph(opening.seen == model::Seen::NotLookedAt
                       ? "Not looked at in this survey; what stands here is from earlier."
                       : "Carried over from an earlier survey or seen in part: to be confirmed.",
                   kStrong);
  flow.gap(2);
}

// Height of one photo with its caption, at a width.
struct Placed {
  const ReportPhoto* photo;
  double width, height;
};

Placed placed(const ReportPhoto& photo, double column) {
  if (photo.jpeg.empty()) return {&photo, column, 12};
  double width = column, height = column * photo.height_px / photo.width_px;
  if (height > kTallest) {
    width *= kTallest / height;
    height = kTallest;
  }
  return {&photo, width, height};
}

std::string caption_of(const ReportPhoto& photo) {
  std::string text = photo.name;
  if (!photo.taken_at.empty()) text += fmt::format(", taken {}", long_date(photo.taken_at));
  if (!photo.finding.empty()) text += ". " + photo.finding;
  return text;
}

void draw_photo(Flow& flow, const Placed& p, double x, bool with_picture) {
  Pdf& pdf = flow.pdf();
  const ReportPhoto& photo = *p.photo;
  const Box box{x, flow.y(), p.width, p.height};
  if (photo.jpeg.empty()) {
    pdf.frame(box, 0.2, kHairline);
    return;
  }
  if (with_picture) pdf.picture(photo.jpeg, photo.width_px, photo.height_px, box);
  pdf.clip(box);
  paint(
      pdf,
      figures::photo_overlay(photo.original_width_px, photo.original_height_px, photo.measurements, p.width),
      {box.x, box.y});
  pdf.unclip();
  pdf.frame(box, 0.15, kHairline);
}

std::string change_sentence(const ReportValue& now, const ReportValue& before) {
  const auto &a = now.measurement, &b = before.measurement;
  const double change = a.value - b.value, u95 = std::hypot(a.u95, b.u95);
  const auto unit = model::unit_of(a.quantity);
  std::string text = fmt::format("{} since {}: {}{}", model::label(a.quantity), long_date(before.survey_date),
                                 change >= 0 ? "+" : "", metrology::print_interval(change, u95, unit));
  // E_n = |a - b| / sqrt(Ua^2 + Ub^2) > 1 (from memory: ISO 13528).
  text += std::abs(change) > u95 ? ". A real change: it is larger than both intervals together explain."
                                 : ". Within the two intervals: no change can be claimed.";
  return text;
}

const ReportValue* latest_before(const ReportOpening& opening, const ReportValue& now) {
  const ReportValue* latest = nullptr;
  for (const auto& v : opening.values)
    if (v.measurement.quantity == now.measurement.quantity && v.measurement.label == now.measurement.label &&
        v.survey_date < now.survey_date)
      latest = &v;
  return latest;
}

void changes(Flow& flow, const ReportOpening& opening) {
  for (const auto quantity : {model::Quantity::HoleDiameter, model::Quantity::LaminateThickness,
                              model::Quantity::FlangeDiameter, model::Quantity::BoreDiameter}) {
    const ReportValue* now = nullptr;
    for (const auto& v : opening.values)
      if (v.this_survey && v.measurement.quantity == quantity &&
          (!now || v.measurement.u95 < now->measurement.u95))
        now = &v;
    if (!now) continue;
    if (const ReportValue* before = latest_before(opening, *now))
      flow.item("–", change_sentence(*now, *before), kReason);
  }
}

std::string source_of(const ReportValue& value) {
  const auto& m = value.measurement;
  std::string text(model::label(m.method));
  if (!value.photo_name.empty()) text += " " + value.photo_name;
  if (!m.budget.empty()) {
    const auto largest = std::max_element(m.budget.begin(), m.budget.end(),
                                          [](const auto& a, const auto& b) { return a.u < b.u; });
    text += fmt::format("; largest part of the uncertainty: {}", largest->term);
  }
  if (!m.note.empty()) text += "; " + m.note;
  return text;
}

void values(Flow& flow, const ReportOpening& opening) {
  flow.heading(2, "Measured", "");
  if (opening.values.empty()) {
    flow.paragraph("Nothing has been measured at this opening yet.", kBody);
    return;
  }
  std::vector<std::vector<Cell>> rows;
  for (const auto& value : opening.values) {
    const auto& m = value.measurement;
    std::string quantity(model::label(m.quantity));
    if (!m.label.empty()) quantity += ", " + m.label;
    const Weight weight = value.this_survey ? Weight::Medium : Weight::Regular;
    rows.push_back(
        {{quantity, nullptr, Weight::Regular, {}},
         {metrology::print_interval(m.value, m.u95, model::unit_of(m.quantity)), nullptr, weight, {}},
         {source_of(value), nullptr, Weight::Regular, {}},
         {long_date(value.survey_date), nullptr, Weight::Regular, {}}});
  }
  flow.table({{"Quantity", 40}, {"Value, 95 % interval", 38}, {"How", flow.width() - 108}, {"Survey", 30}},
             rows);
  changes(flow, opening);
}

std::string join(const std::vector<std::string>& parts, const char* between) {
  std::string text;
  for (const auto& part : parts) text += (text.empty() ? "" : between) + part;
  return text;
}

// Items under one word in the margin.
void labelled(Flow& flow, const char* word, const std::vector<std::string>& items, bool numbered) {
  constexpr double kWord = 6, kText = 30;
  for (std::size_t i = 0; i < items.size(); ++i) {
    flow.need(9);
    if (i == 0)
      flow.pdf().text(word, {flow.left() + kWord, flow.y() + 0.2}, kText - kWord,
                      {8.5, Weight::Regular, kGrey});
    if (numbered && items.size() > 1)
      flow.pdf().text(fmt::format("{}", i + 1), {flow.left() + kText - 4, flow.y()}, 5, kReason);
    flow.paragraph(items[i], kReason, kText);
    flow.gap(0.5);
  }
}

void verdict_block(Flow& flow, const rules::Verdict& verdict) {
  flow.need(20);
  const auto look = figures::look_of(verdict.standing);
  paint_mark(flow.pdf(), look.shape, look.role, {flow.left() + 1.6, flow.y() + 2.2}, 3);
  flow.paragraph(fmt::format("{}: {}", verdict.title, verdict.headline), kStrong, 6);
  flow.gap(0.8);
  std::vector<std::string> inputs;
  for (const auto& input : verdict.inputs) inputs.push_back(fmt::format("{}: {}", input.label, input.text));
  if (!inputs.empty()) labelled(flow, "From", {join(inputs, "; ")}, false);
  labelled(flow, "Because", verdict.reasons, false);
  labelled(flow, "To do", verdict.actions, true);
  if (!verdict.margin.empty()) labelled(flow, "Margin", {verdict.margin}, false);
  labelled(flow, rules::settle_by(verdict).empty() ? "Would change it" : "Would settle it",
           verdict.would_change, false);
  if (!verdict.sources.empty()) labelled(flow, "Source", {join(verdict.sources, "; ")}, false);
  flow.gap(2);
}

void verdicts(Flow& flow, const ReportOpening& opening) {
  if (opening.verdicts.empty()) return;
  flow.heading(2, "What follows from it", "");
  std::vector<std::string> cautions, open;  // open: about work to come, of which too little is recorded
  for (const auto& verdict : opening.verdicts) {
    if (verdict.standing == rules::Standing::NotApplicable) continue;
    if (verdict.planning && verdict.standing == rules::Standing::NotKnownYet) {
      open.push_back(
          fmt::format("{}: {} To settle it: {}", verdict.title, verdict.headline, rules::settle_by(verdict)));
      continue;
    }
    verdict_block(flow, verdict);
    if (!verdict.caution.empty() &&
        std::find(cautions.begin(), cautions.end(), verdict.caution) == cautions.end())
      cautions.push_back(verdict.caution);
  }
  labelled(flow, "Not known yet", open, false);
  if (!cautions.empty()) flow.boxed("Caution", join(cautions, "\n"));
}

}  // namespace

void photos(Flow& flow, const std::vector<ReportPhoto>& list, bool with_pictures) {
  const double column = (flow.width() - kBetween) / 2;
  if (list.size() == 1) {
    const Placed alone = placed(list[0], flow.width() * 0.63);
    const double caption = flow.pdf().set(caption_of(list[0]), flow.width(), kSmall).height();
    flow.need(alone.height + caption + 4);
    draw_photo(flow, alone, flow.left(), with_pictures);
    flow.pdf().text(caption_of(list[0]), {flow.left(), flow.y() + alone.height + 1}, flow.width(), kSmall);
    flow.gap(alone.height + caption + 4);
    return;
  }
  for (std::size_t i = 0; i < list.size(); i += 2) {
    const std::size_t end = std::min(i + 2, list.size());
    double tallest = 0, captions = 0;
    for (std::size_t k = i; k < end; ++k) {
      tallest = std::max(tallest, placed(list[k], column).height);
      captions = std::max(captions, flow.pdf().set(caption_of(list[k]), column, kSmall).height());
    }
    flow.need(tallest + captions + 4);
    for (std::size_t k = i; k < end; ++k) {
      const double x = flow.left() + static_cast<double>(k - i) * (column + kBetween);
      draw_photo(flow, placed(list[k], column), x, with_pictures);
      flow.pdf().text(caption_of(list[k]), {x, flow.y() + tallest + 1}, column, kSmall);
    }
    flow.gap(tallest + captions + 4);
  }
}

void opening_block(Flow& flow, const ReportOpening& opening, bool with_pictures) {
  title(flow, opening);
  photos(flow, opening.photos, with_pictures);
  values(flow, opening);
  if (!opening.record.empty()) {
    flow.heading(2, "Record", "");
    std::vector<Row> rows;
    for (const auto& r : opening.record) rows.push_back({r.label, r.text});
    flow.rows(rows, 42);
  }
  verdicts(flow, opening);
  if (!opening.missing.empty())
    flow.paragraph("Not recorded yet: " + join(opening.missing, ", ") + ".", {9, Weight::Regular, kGrey});
}

void unfiled_photos(Flow& flow, const SurveyReport& data, bool with_pictures) {
  if (data.unfiled.empty()) return;
  flow.need(100);
  flow.heading(1, "Photos that belong to no opening yet", "unfiled");
  photos(flow, data.unfiled, with_pictures);
}

}  // namespace spile::report
