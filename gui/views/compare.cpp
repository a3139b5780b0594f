#include "gui/views/compare.hpp"

#include <fmt/format.h>

#include <array>
#include <string>
#include <vector>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

using vision::Season;

constexpr float kPanel = 350;
constexpr ImGuiWindowFlags kNoScroll = ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse;

void action_button(const Ui& ui, const char* id, const char* label) {
  const Action& a = action(id);
  const bool lit = a.ticked && a.ticked(ui.desk);
  const std::string name = std::string("compare.") + id;
  const bool pressed = lit ? main_button(ui, name, label, a.enabled(ui.desk), keys_of(id))
                           : button(ui, name, label, a.enabled(ui.desk), keys_of(id));
  hint(std::string(a.label));
  if (pressed) ui.ask(a.intent(ui.desk));
}

}  // namespace

void CompareView::zoom(Zoom zoom) {
  zoom_camera(camera_, zoom);
}

void CompareView::draw(const Ui& ui) {
  const Comparing& comparing = ui.desk.comparing();
  to_blink_.reset();
  if (!comparing.open()) {
    soft_wrapped(ui, "Choose an opening with photos of two surveys, then compare them.");
    return;
  }
  if (std::exchange(shown_, comparing.texture_of(Season::Later)) != comparing.texture_of(Season::Later)) {
    camera_ = {};
    held_.reset();
    panning_.reset();
    focused_for_.reset();
  }
  const ImVec2 room = ImGui::GetContentRegionAvail();
  const float gap = ui.px(8), panel = ui.px(kPanel);
  ImGui::BeginChild("compare.left", {room.x - panel - gap, room.y}, true,
                    kNoScroll | ImGuiWindowFlags_AlwaysUseWindowPadding);
  draw_head(ui);
  draw_ways(ui);
  draw_canvases(ui, ImGui::GetContentRegionAvail());
  ImGui::EndChild();
  ImGui::SameLine(0, gap);
  ImGui::BeginChild("compare.panel", {panel, room.y}, true, ImGuiWindowFlags_AlwaysUseWindowPadding);
  draw_panel(ui);
  ImGui::EndChild();
}

void CompareView::draw_head(const Ui& ui) {
  const CompareState& state = ui.desk.comparing().state();
  const app::OpeningView* opening = ui.desk.logbook()->find(state.opening);
  heading(ui,
          opening ? fmt::format("{}: two surveys compared", opening->opening.tag) : "Two surveys compared");
  beside_heading(ui, ui.px(150));
  if (link(ui, "compare.back", "Back to the record")) ui.ask(ShowPage{Page::Desk});
  hint("Escape, or C");
  const float width = (ImGui::GetContentRegionAvail().x - ui.px(8)) / 2;
  draw_photo_list(ui, Season::Earlier, width);
  ImGui::SameLine(0, ui.px(8));
  draw_photo_list(ui, Season::Later, width);
}

void CompareView::draw_photo_list(const Ui& ui, Season season, float width) {
  const CompareState& state = ui.desk.comparing().state();
  const bool earlier = season == Season::Earlier;
  std::vector<std::string> keys, labels;
  for (const app::SurveyPhoto& photo : state.photos) {
    keys.push_back(fmt::format("{}", photo.view.use.id.value));
    labels.push_back(fmt::format("{}  {}", photo.survey.date, photo.view.photo.original_name));
  }
  std::vector<Option> options;
  for (std::size_t i = 0; i < keys.size(); ++i) options.push_back({keys[i], labels[i]});
  ImGui::BeginGroup();
  ImGui::AlignTextToFramePadding();
  soft_text(ui, earlier ? "Earlier" : "Later");
  ImGui::SameLine(0, ui.px(8));
  ImGui::SetNextItemWidth(width - size_of(earlier ? "Earlier" : "Later").x - ui.px(8));
  const auto picked = pick_list(ui, earlier ? "compare.earlier_photo" : "compare.later_photo", options,
                                state.chosen[static_cast<std::size_t>(season)]);
  ImGui::EndGroup();
  if (picked) ui.ask(ComparePhoto{season, state.photos[*picked].view.use.id});
}

void CompareView::draw_ways(const Ui& ui) {
  static constexpr std::array<Option, 4> kWays{
      {{"side", "Side by side"}, {"wipe", "Wipe"}, {"blink", "Blink"}, {"changes", "Changes"}}};
  const CompareState& state = ui.desk.comparing().state();
  ImGui::BeginDisabled(!state.aligned());
  if (const auto picked = segments(ui, "compare.showing", kWays, static_cast<std::size_t>(state.showing)))
    ui.ask(ShowAs{static_cast<Showing>(*picked)});
  ImGui::EndDisabled();
  if (state.showing == Showing::Blink) {
    static constexpr std::array<Option, 3> kRates{
        {{"slow", "every 2 s"}, {"one", "every s"}, {"two", "2 a s"}}};
    static constexpr std::array<double, 3> kASecond{0.5, 1, 2};
    std::size_t lit = 0;
    for (std::size_t i = 0; i < kASecond.size(); ++i)
      if (kASecond[i] <= state.blinks_a_second) lit = i;
    ImGui::SameLine(0, ui.px(12));
    if (const auto picked = segments(ui, "compare.rate", kRates, lit)) ui.ask(SetBlink{kASecond[*picked]});
    ImGui::SameLine(0, ui.px(4));
    action_button(ui, "compare.flip", "Flip");
    return;
  }
  ImGui::SameLine(0, ui.px(12));
  action_button(ui, "compare.outlines", "Outlines");
  ImGui::SameLine(0, ui.px(4));
  action_button(ui, "compare.trace", "Trace a crack");
  ImGui::SameLine(0, ui.px(4));
  action_button(ui, "view.fit", "Whole");
}

}  // namespace spile::gui
