#include "gui/views/cameras.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/lens_plot.hpp"
#include "gui/widgets/page.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

void draw_start_here(const Ui& ui) {
  const CamerasState& cameras = ui.desk.state().cameras;
  soft_wrapped(
      ui,
      "A calibrated lens makes what is measured away from the middle of a photo more exact. Print the board, "
      "lay "
      "it flat, and take eight to twelve photos with the zoom you use on the hull: in front, tilted about 30 "
      "degrees to each side, and with the board in each corner of the picture. Drop them here.");
  ImGui::Dummy({0, ui.px(2)});
  if (main_button(ui, "cameras.photos", cameras.calibrating ? "Calibrating…" : "Photos of the board…",
                  ui.editable && !cameras.calibrating))
    ui.ask(AskForFile{ChooserFor::BoardPhotos});
  ImGui::SameLine();
  if (button(ui, "cameras.print.a4", "Board as PDF, A4")) ui.ask(PrintBoard{false});
  ImGui::SameLine();
  if (button(ui, "cameras.print.letter", "US Letter")) ui.ask(PrintBoard{true});
  text_field(ui, {"cameras.board", 1}, "Inner corners",
             fmt::format("{} x {}", cameras.board.across, cameras.board.up), "9 x 6",
             [intents = &ui.intents](const std::string& typed) { intents->push(SetBoard{typed}); });
  hint(
      "Of another chessboard: the corners where four squares meet along each side. Its printed size does not "
      "matter.");
  if (cameras.board_trouble.empty()) return;
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.act.ink.vec());
  wrapped(cameras.board_trouble);
  ImGui::PopStyleColor();
  hooks::note("cameras.board_trouble");
}

void draw_photo_row(const Ui& ui, const vision::CalibrationPhoto& photo) {
  ImGui::TableNextRow();
  ImGui::TableNextColumn();
  cut_text(photo.name, ImGui::GetContentRegionAvail().x);
  ImGui::TableNextColumn();
  if (photo.rms_px > 0) ImGui::TextUnformatted(fmt::format("{:.2f} px", photo.rms_px).c_str());
  ImGui::TableNextColumn();
  if (!photo.left_out.empty()) {
    ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.act.ink.vec());
    wrapped("Left out: " + photo.left_out + ".");
    ImGui::PopStyleColor();
  } else if (photo.rms_px > 0) {
    soft_text(ui, fmt::format("used, tilt {:.0f}°", photo.tilt_deg));
  }
  hooks::note("cameras.photo." + photo.name);
}

void draw_photos(const Ui& ui, const vision::Calibration& calibration) {
  if (!ImGui::BeginTable("photos", 3, ImGuiTableFlags_BordersInnerH)) return;
  ImGui::TableSetupColumn("name", ImGuiTableColumnFlags_WidthStretch, 2);
  ImGui::TableSetupColumn("scatter", ImGuiTableColumnFlags_WidthFixed, ui.px(70));
  ImGui::TableSetupColumn("use", ImGuiTableColumnFlags_WidthStretch, 3);
  for (const auto& photo : calibration.photos) draw_photo_row(ui, photo);
  ImGui::EndTable();
}

void draw_last(const Ui& ui) {
  const auto& last = ui.desk.state().cameras.last;
  if (!last || last->error) return;
  const vision::Calibration& calibration = last->calibration;
  section(ui, "Last calibration");
  if (calibration.refused) {
    caution_box(ui, "No profile was made. " + calibration.refused->reason, ui.colours.act,
                MarkShape::Triangle);
    hooks::note("cameras.refused");
  }
  if (calibration.profile) {
    residual_plot(ui, *calibration.profile, calibration.photos,
                  {ImGui::GetContentRegionAvail().x, ui.px(230)});
    hooks::note("cameras.residuals");
  }
  draw_photos(ui, calibration);
}

void draw_profile(const Ui& ui, const model::CameraProfile& p) {
  section(ui, p.camera);
  const float plot = ui.px(250), left = ImGui::GetContentRegionAvail().x - plot - ui.px(16);
  ImGui::BeginGroup();
  ImGui::PushTextWrapPos(ImGui::GetCursorPosX() + left);
  strong_text(ui, app::optics_words(p));
  ImGui::TextWrapped(
      "%s", fmt::format("Calibrated {} from {} photo{}; corners within {:.2f} px, out to {:.0f} % of the "
                        "way to the corner.",
                        p.date, p.photos, p.photos == 1 ? "" : "s", p.rms_px, 100 * p.reach)
                .c_str());
  ImGui::TextWrapped("%s", fmt::format("Moves a point at the corner by {}.", app::corner_words(p)).c_str());
  if (!p.note.empty()) soft_wrapped(ui, p.note);
  ImGui::PopTextWrapPos();
  if (button(ui, fmt::format("cameras.remove.{}", p.id.value), "Remove", ui.editable))
    ui.ask(RemoveCamera{p.id});
  hint("What was measured with it stays as it was measured. Undo brings it back.");
  ImGui::EndGroup();
  hooks::note(fmt::format("cameras.profile.{}", p.id.value));
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - plot);
  distortion_plot(ui, p, {plot, ui.px(120)});
}

}  // namespace

void draw_cameras(const Ui& ui) {
  begin_page(ui, "cameras");
  heading(ui, "Cameras");
  draw_start_here(ui);
  draw_last(ui);
  const auto& cameras = ui.desk.logbook()->cameras;
  for (const auto& profile : cameras) {
    ImGui::PushID(static_cast<int>(profile.id.value));
    draw_profile(ui, profile);
    ImGui::PopID();
  }
  if (cameras.empty()) soft_wrapped(ui, "None yet. Photos are measured with what lenses have in common.");
  ImGui::Dummy({0, ui.px(4)});
  if (button(ui, "cameras.done", "Back to the openings", true, "F5")) ui.ask(ShowPage{Page::Desk});
  ImGui::EndChild();
}

}  // namespace spile::gui
