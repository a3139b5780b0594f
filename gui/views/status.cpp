#include "gui/views/status.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "gui/chooser.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

void draw_job(const Ui& ui, const app::JobStatus& job) {
  ImGui::PushID(static_cast<int>(job.id));
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted(job.name.c_str());
  ImGui::SameLine();
  const float share = job.total > 0 ? static_cast<float>(job.done) / static_cast<float>(job.total) : 0;
  const std::string count = job.total > 0 ? fmt::format("{} of {}", job.done, job.total) : std::string("…");
  const ImVec2 size = {ui.px(160), ImGui::GetFrameHeight() - ui.px(6)};
  const ImVec2 min = {ImGui::GetCursorScreenPos().x, ImGui::GetCursorScreenPos().y + ui.px(3)};
  const ImVec2 max = {min.x + size.x, min.y + size.y};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(min, max, ui.colours.field.u32(), ui.px(3));
  list.AddRectFilled(min, {min.x + size.x * share, max.y}, ui.colours.selected.u32(), ui.px(3));
  list.AddRect(min, max, ui.colours.edge.u32(), ui.px(3));
  const ImVec2 text = size_of(count);
  list.AddText({(min.x + max.x - text.x) / 2, (min.y + max.y - text.y) / 2}, ui.colours.ink.u32(),
               count.c_str());
  ImGui::Dummy({size.x, ImGui::GetFrameHeight()});
  hooks::note("status.progress");
  ImGui::SameLine();
  if (button(ui, "status.cancel", job.cancelled ? "Stopping…" : "Stop", !job.cancelled))
    ui.ask(CancelJob{job.id});
  ImGui::SameLine();
  ImGui::AlignTextToFramePadding();
  soft_text(ui, job.stage);
  ImGui::PopID();
}

}  // namespace

void draw_status(const Ui& ui) {
  const auto& jobs = ui.desk.state().jobs;
  if (!jobs.empty()) {
    draw_job(ui, jobs.front());
    if (jobs.size() > 1) {
      ImGui::SameLine();
      soft_text(ui, fmt::format("and {} waiting", jobs.size() - 1));
    }
    return;
  }
  ImGui::AlignTextToFramePadding();
  const auto* logbook = ui.desk.logbook();
  soft_text(ui, logbook ? from_home(logbook->folder) : "No logbook is open.");
  const std::string right = "F1 keys and first steps";
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - size_of(right).x);
  soft_text(ui, right);
}

void draw_messages(const Ui& ui) {
  const auto& messages = ui.desk.state().messages;
  if (messages.empty()) return;
  constexpr std::size_t kInSight = 4;
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  const float width = std::min(ui.px(460), screen.x * 0.8F);
  ImGui::SetNextWindowPos({screen.x - ui.px(14), screen.y - ui.px(44)}, ImGuiCond_Always, {1, 1});
  ImGui::SetNextWindowSize({width, 0});
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ui.colours.pane.vec());
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::Begin("messages", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoFocusOnAppearing |
                   ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoNavFocus);
  const std::size_t first = messages.size() > kInSight ? messages.size() - kInSight : 0;
  if (first > 0) soft_text(ui, fmt::format("{} earlier", first));
  for (std::size_t i = first; i < messages.size(); ++i) {
    const Message& m = messages[i];
    ImGui::PushID(static_cast<int>(m.id));
    const Tone tone = m.problem ? ui.colours.act : ui.colours.good;
    ImGui::BeginGroup();
    const float button_width = ui.px(30);
    const ImVec2 at = ImGui::GetCursorScreenPos();
    draw_mark(*ImGui::GetWindowDrawList(),
              {at.x + ui.px(8), at.y + ImGui::GetTextLineHeight() / 2 + ui.px(2)}, ui.px(12),
              m.problem ? MarkShape::Triangle : MarkShape::Disc, tone.ink.u32());
    ImGui::SetCursorPosX(ImGui::GetCursorPosX() + ui.px(22));
    ImGui::PushTextWrapPos(width - button_width - ui.px(14));
    ImGui::TextUnformatted(m.text.c_str());
    ImGui::PopTextWrapPos();
    ImGui::EndGroup();
    hooks::note(m.problem ? "message.problem" : "message.notice");
    ImGui::SameLine(width - button_width - ui.px(4));
    if (button(ui, fmt::format("message.dismiss.{}", m.id), "×")) ui.ask(Dismiss{m.id});
    ImGui::PopID();
  }
  ImGui::End();
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
}

void draw_quit_question(const Ui& ui) {
  if (!ui.desk.state().asks_to_quit) return;
  if (!ImGui::IsPopupOpen("quit?")) ImGui::OpenPopup("quit?");
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({ui.px(430), 0});
  if (!ImGui::BeginPopupModal("quit?", nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize))
    return;
  heading(ui, "Photos are still being taken in");
  wrapped("What has come in is kept. The rest can be dropped in again at any time.");
  ImGui::Dummy({0, ui.px(4)});
  if (main_button(ui, "quit.stay", "Keep working")) ui.ask(CancelJob{0});
  ImGui::SameLine();
  if (button(ui, "quit.leave", "Stop it and quit")) ui.ask(Quit{});
  ImGui::EndPopup();
}

}  // namespace spile::gui
