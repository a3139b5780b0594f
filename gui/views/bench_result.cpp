// Below the picture: what to do with the tool in hand, what came out, and what becomes of it.
#include <fmt/format.h>
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cctype>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/bench.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"
#include "vision/camera_profile.hpp"

namespace spile::gui {

namespace {

std::string_view guide_of(Tool tool, std::size_t placed) {
  switch (tool) {
    case Tool::Rim:
      if (placed == 0)
        return "Press on the rim at three or more places, well spread, or drag the hollow handles onto it.";
      if (placed < 3)
        return placed == 1 ? "Two more points on the same rim." : "One more point on the same rim.";
      return "Drag to correct, press to add. Backspace takes the last point back.";
    case Tool::Scale:
      if (placed < 2)
        return placed == 0 ? "Press on one end of something whose length you know."
                           : "Press on its other end.";
      return "Type how long it is. It has to lie in the plane of the hull.";
    case Tool::Edge:
      if (placed < 2) return "Press on two places along the outer face of the cut edge.";
      if (placed < 4) return "Press on two places along the inner face.";
      return "Drag the ends to correct.";
    case Tool::Look:
      break;
  }
  return {};
}

// The answers of a report, the chosen hole first.
std::string answer_of(const vision::Report& report, std::size_t hole, units::LengthSystem lengths) {
  if (hole < report.holes.size())
    return "⌀ " + show_interval_mm(report.holes[hole].diameter_mm, report.holes[hole].u95_mm, lengths);
  if (report.edge) return show_interval_mm(report.edge->thickness_mm, report.edge->u95_mm, lengths);
  if (report.fitting && report.fitting->hexagon)
    return "across flats " + show_interval_mm(report.fitting->hexagon->across_flats_mm,
                                              report.fitting->hexagon->u95_mm, lengths);
  if (report.fitting)
    return "flange ⌀ " + show_interval_mm(report.fitting->flange_mm, report.fitting->flange_u95_mm, lengths);
  return {};
}

std::string chips_of(const vision::Hole& hole, units::LengthSystem lengths) {
  if (hole.chips.empty()) return {};
  const std::string deepest =
      show_interval_mm(hole.chips.front().depth_mm, hole.chips.front().u95_mm, lengths);
  return hole.chips.size() == 1 ? fmt::format(" · chip {} deep", deepest)
                                : fmt::format(" · {} chips, the deepest {}", hole.chips.size(), deepest);
}

std::string circumstances_of(const vision::Report& report, std::size_t hole, bool by_hand,
                             units::LengthSystem lengths) {
  std::string text = by_hand ? "by hand" : "found by itself";
  if (hole < report.holes.size())
    text += fmt::format(" · {:.0f} % of the rim seen{}", report.holes[hole].edge_seen * 100,
                        chips_of(report.holes[hole], lengths));
  if (report.edge && !report.edge->construction.empty()) text += " · " + report.edge->construction;
  if (report.edge && report.edge->thinnest)
    text += " · thinnest " +
            show_interval_mm(report.edge->thinnest->thickness_mm, report.edge->thinnest->u95_mm, lengths);
  if (report.reference)
    text += fmt::format(" · scale from {}, tilt {:.0f}°",
                        report.reference->kind == "points" ? "two points" : "the " + report.reference->kind,
                        report.reference->tilt_deg) +
            " · lens " + report.reference->lens;
  if (report.reference && !report.reference->checked.empty()) text += ", " + report.reference->checked;
  return text;
}

// What a person should know before the answer is recorded: what makes it less than it could be, and other
// photos that say something of the same opening.
std::vector<std::string> remarks_on(const BenchState& bench, const app::OpeningView* opening,
                                    units::LengthSystem lengths) {
  std::vector<std::string> out = bench.report->warnings;
  if (!opening || bench.hole >= bench.report->holes.size()) return out;
  for (const model::Measurement& m : opening->measurements) {
    if (m.quantity != model::Quantity::HoleDiameter || !m.photo || m.photo == bench.photo) continue;
    out.push_back(fmt::format("Another photo of {} already says {}. Recording keeps both; the newest stands.",
                              opening->opening.tag, show_interval(m.value, m.u95, m.quantity, lengths)));
    break;
  }
  return out;
}

// What stands in the record from this photo, on one line.
std::string recorded_from(const app::OpeningView& opening, model::PhotoId photo,
                          units::LengthSystem lengths) {
  std::string text;
  for (const model::Measurement& m : opening.measurements) {
    if (m.photo != photo) continue;
    std::string label(m.label.empty() ? model::label(m.quantity) : m.label);
    label[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(label[0])));
    text += fmt::format("{}{} {}{}", text.empty() ? "Recorded: " : "; ", label,
                        show_interval(m.value, m.u95, m.quantity, lengths),
                        m.method == model::Method::PhotoByHand ? ", by hand" : "");
  }
  return text;
}

// Whether what stands from this photo was measured before its camera was calibrated.
bool has_a_better_lens(const app::OpeningView& opening, const BenchState& bench) {
  if (!bench.picture || !bench.picture->info().lens) return false;
  const std::string lens = vision::lens_words(bench.picture->info());
  return std::any_of(opening.measurements.begin(), opening.measurements.end(),
                     [&](const model::Measurement& m) {
                       return m.photo == bench.photo && m.trace && m.trace->lens != lens;
                     });
}

}  // namespace

void BenchView::draw_result(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  const app::PhotoView* photo = ui.desk.open_photo();
  if (!bench.use || !photo) {
    ImGui::Dummy({0, ImGui::GetFrameHeight() * 2});
    return;
  }
  bench.tool == Tool::Look ? draw_filing(ui, *photo) : draw_tool_line(ui);
  draw_result_line(ui);
}

// Which photo this is, and whose.
void BenchView::draw_filing(const Ui& ui, const app::PhotoView& photo) {
  constexpr const char* kWhose = "belongs to";
  const float list = ui.px(160);
  const float right = list + ui.px(8) + size_of(kWhose).x;
  ImGui::AlignTextToFramePadding();
  std::string text = photo.photo.original_name;
  if (!photo.photo.taken_at.empty()) text += " · taken " + photo.photo.taken_at.substr(0, 10);
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  cut_text(text, ImGui::GetContentRegionAvail().x - right - ui.px(12));
  ImGui::PopStyleColor();
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - right);
  ImGui::AlignTextToFramePadding();
  soft_text(ui, kWhose);
  ImGui::SameLine(0, ui.px(8));
  std::vector<Option> options = {{"none", "no opening yet"}};
  std::size_t lit = 0;
  const auto& openings = ui.desk.logbook()->openings;
  for (const auto& view : openings) {
    if (photo.use.opening == view.opening.id) lit = options.size();
    options.push_back({view.opening.tag, view.opening.tag});
  }
  ImGui::SetNextItemWidth(-FLT_MIN);
  ImGui::BeginDisabled(!ui.editable);
  if (const auto picked = pick_list(ui, "bench.file", options, lit))
    ui.ask(FilePhoto{photo.use.id,
                     *picked == 0 ? std::nullopt : std::optional(openings[*picked - 1].opening.id)});
  ImGui::EndDisabled();
}

void BenchView::draw_tool_line(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  const std::size_t placed = points_of(bench.draft, bench.tool).size();
  ImGui::AlignTextToFramePadding();
  if (bench.tool == Tool::Scale && placed == 2) {
    ImGui::TextUnformatted("Known length");
    ImGui::SameLine();
    ImGui::SetNextItemWidth(ui.px(110));
    Drafts::Draft& draft =
        ui.drafts.field("bench.scale_length", bench.draft.scale_typed, ImGui::GetFrameCount());
    if (ui.focus == "bench.scale_length") {
      ImGui::SetKeyboardFocusHere();
      ui.focus.clear();
    }
    ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
    const bool entered =
        ImGui::InputTextWithHint("##length", "100 mm", &draft.text, ImGuiInputTextFlags_EnterReturnsTrue);
    ImGui::PopStyleColor();
    hooks::note("bench.scale_length");
    const bool left = draft.active && !ImGui::IsItemActive();
    draft.active = ImGui::IsItemActive();
    if ((entered || left) && draft.text != bench.draft.scale_typed) ui.ask(SetScaleLength{draft.text});
    bool trouble = false;
    const std::string reading = reading_of(draft.text, ui.lengths, Size::Small, trouble);
    ImGui::SameLine();
    if (!reading.empty() || !bench.scale_trouble.empty()) {
      ImGui::PushStyleColor(ImGuiCol_Text, (trouble ? ui.colours.act.ink : ui.colours.soft).vec());
      cut_text(trouble                       ? reading
               : bench.scale_trouble.empty() ? reading
                                             : bench.scale_trouble,
               ImGui::GetContentRegionAvail().x);
      ImGui::PopStyleColor();
      return;
    }
  }
  const bool snaps = bench.tool == Tool::Rim || bench.tool == Tool::Edge;
  constexpr const char* kSnap = "snap to edge (N)";
  const float right = size_of(kSnap).x + ImGui::GetFrameHeight() + ui.px(8);
  cut_text(guide_of(bench.tool, placed), ImGui::GetContentRegionAvail().x - (snaps ? right + ui.px(12) : 0));
  if (!snaps) return;
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - right);
  bool snap = bench.draft.snap;
  if (ImGui::Checkbox(kSnap, &snap)) ui.ask(SetSnap{snap});
  hooks::note("bench.snap");
  hint(
      "Points you place move to the nearest sharp edge, finer than a pixel. Switch it off where the rim is "
      "dirty.");
}

void BenchView::draw_result_line(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  if (bench.report) return bench.report->refused ? draw_refusal(ui) : draw_answer(ui);
  const app::PhotoView* photo = ui.desk.open_photo();
  const app::OpeningView* opening = ui.desk.selected();
  std::string text = opening ? recorded_from(*opening, bench.photo, ui.lengths) : std::string();
  if (text.empty() && photo && !photo->use.finding.empty()) text = "Last time: " + photo->use.finding;
  if (text.empty()) text = "Not measured yet.";
  if (opening && has_a_better_lens(*opening, bench))
    text = fmt::format("Its camera has been calibrated since: {} measures it again. {}",
                       keys_of("measure.auto"), text);
  if (bench.measuring) text = "Measuring…";
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  cut_wrapped(text, ImGui::GetContentRegionAvail().x, 2);
  ImGui::PopStyleColor();
  hooks::note("bench.finding");
}

// Why nothing could be measured and what to do about it, in full.
void BenchView::draw_refusal(const Ui& ui) {
  const float right = ui.px(130);
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.act.ink.vec());
  cut_wrapped("Not measured: " + ui.desk.bench().report->refused->reason,
              ImGui::GetContentRegionAvail().x - right, 2);
  ImGui::PopStyleColor();
  hooks::note("bench.refused");
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - right + ui.px(8));
  draw_discard(ui);
}

void BenchView::draw_answer(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  const app::OpeningView* opening = ui.desk.selected();
  const std::string record = opening ? "Record for " + opening->opening.tag : std::string("Record");
  const float buttons = size_of(record).x + size_of(keys_of("measure.accept")).x + ui.px(170);
  ImGui::BeginGroup();
  ImGui::PushFont(ui.fonts.heading);
  ImGui::TextUnformatted(answer_of(*bench.report, bench.hole, ui.lengths).c_str());
  ImGui::PopFont();
  hooks::note("bench.answer");
  if (bench.measuring) {
    beside_heading(ui);
    soft_text(ui, "measuring…");
  }
  ImGui::PushFont(ui.fonts.small);
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  const float width = ImGui::GetContentRegionAvail().x - buttons;
  cut_text(circumstances_of(*bench.report, bench.hole, bench.by_hand, ui.lengths), width);
  ImGui::PopStyleColor();
  for (const std::string& remark : remarks_on(bench, opening, ui.lengths)) {
    ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.watch.ink.vec());
    cut_text("⚠ " + remark, width);
    ImGui::PopStyleColor();
    hint(remark.c_str());
    hooks::note("bench.remark");
  }
  ImGui::PopFont();
  ImGui::EndGroup();
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - buttons + ui.px(6));
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + ui.px(6));
  if (main_button(ui, "bench.accept", record.c_str(), ui.desk.can_accept(), keys_of("measure.accept")))
    ui.ask(AcceptResult{});
  if (!opening) hint("Say first which opening the photo belongs to.");
  ImGui::SameLine();
  draw_discard(ui);
}

void BenchView::draw_discard(const Ui& ui) {
  if (button(ui, "bench.discard", "Put aside", true, keys_of("measure.discard"))) ui.ask(DiscardResult{});
}

}  // namespace spile::gui
