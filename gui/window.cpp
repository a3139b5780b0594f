#include "gui/window.hpp"

#include <imgui.h>

#include "app/log.hpp"
#include "gui/backend.hpp"
#include "gui/shell.hpp"

namespace spile::gui {

namespace {

// ImGui answers an event in the frame after it, and a popup it opens takes one more.
constexpr int kFramesPerEvent = 3;

struct ImGuiContextOwner {
  ImGuiContextOwner() {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;  // what is remembered stands in the settings
    io.LogFilename = nullptr;
    io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
    io.ConfigInputTextCursorBlink = false;  // a blinking cursor would draw for ever
  }
  ~ImGuiContextOwner() { ImGui::DestroyContext(); }
};

std::string title_of(const Desk& desk) {
  const app::Snapshot* logbook = desk.logbook();
  if (!logbook) return "Spile";
  const std::string folder = logbook->folder.stem().string();
  return logbook->read_only ? folder + " (for reading) – Spile" : folder + " – Spile";
}

void loop(Backend& backend, Desk& desk, Shell& shell) {
  std::string title;
  int frames = kFramesPerEvent;
  while (!desk.quits()) {
    if (frames > 0) --frames;
    backend.wait(frames > 0, shell.next_alarm());
    if (frames == 0) frames = kFramesPerEvent;
    if (backend.close_asked()) shell.ask_to_close();
    if (shell.prepare(backend.display_scale())) backend.fonts_changed();
    const auto [width, height] = backend.size();
    desk.window_resized(width, height);
    backend.begin_frame();
    shell.frame();
    backend.end_frame();
    if (title != title_of(desk)) backend.set_title(title = title_of(desk));
  }
}

}  // namespace

Result<void> show_window(const WindowOptions& options) {
  app::start_log("spile-desk");
  const ImGuiContextOwner context;
  Desk desk({settings_file(), [] { Backend::wake(); }, app::Clock::system()});
  Shell* drop_target = nullptr;
  Backend::Options window;
  window.title = "Spile";
  window.width = desk.state().settings.window_width;
  window.height = desk.state().settings.window_height;
  window.on_drop = [&drop_target](std::vector<std::filesystem::path> files) {
    if (drop_target) drop_target->drop(std::move(files));
  };
  auto backend = Backend::open(std::move(window));
  if (!backend) return tl::unexpected<Error>(backend.error());
  GlTextures textures;
  Shell shell(desk, textures);
  drop_target = &shell;
  if (!options.logbook.empty()) desk.apply(OpenLogbook{options.logbook});
  loop(**backend, desk, shell);
  return {};
}

}  // namespace spile::gui
