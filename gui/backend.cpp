#include "gui/backend.hpp"

#define GL_GLEXT_PROTOTYPES
#include <GL/gl.h>
#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <algorithm>
#include <cmath>

namespace spile::gui {

struct Backend::Impl {
  GLFWwindow* window = nullptr;
  Options options;
  float scale = 1;
  bool close_asked = false;
};

namespace {

std::string last_glfw_word() {
  const char* text = nullptr;
  glfwGetError(&text);
  return text ? text : "";
}

tl::unexpected<Error> no_display() {
  return fail(ErrorCode::Internal, "The window cannot be opened: there is no display to show it on.",
              "Start spile-desk from a desktop session, or use the command line program: spile --help.",
              last_glfw_word());
}

tl::unexpected<Error> no_graphics() {
  return fail(ErrorCode::Internal, "The window cannot be opened: the display offers no OpenGL 3.3.",
              "Install or update the graphics driver; Mesa's software driver will do as well.",
              last_glfw_word());
}

GLFWwindow* make_window(const Backend::Options& options) {
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_SCALE_TO_MONITOR, GLFW_TRUE);
  glfwWindowHintString(GLFW_X11_CLASS_NAME, "spile-desk");
  return glfwCreateWindow(options.width, options.height, options.title.c_str(), nullptr, nullptr);
}

}  // namespace

Backend::Backend(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}

Result<std::unique_ptr<Backend>> Backend::open(Options options) {
  if (glfwInit() != GLFW_TRUE) return no_display();
  auto impl = std::make_unique<Impl>();
  impl->options = std::move(options);
  impl->window = make_window(impl->options);
  if (!impl->window) {
    auto error = no_graphics();
    glfwTerminate();
    return error;
  }
  glfwMakeContextCurrent(impl->window);
  glfwSwapInterval(1);
  float x = 1;
  float y = 1;
  glfwGetWindowContentScale(impl->window, &x, &y);
  impl->scale = std::max(x, y);
  glfwSetWindowUserPointer(impl->window, impl.get());
  // Before ImGui's own callbacks are set: those it does not chain stay ours.
  glfwSetDropCallback(impl->window, [](GLFWwindow* window, int count, const char** paths) {
    // The names are only lent for the length of this call.
    auto* self = static_cast<Impl*>(glfwGetWindowUserPointer(window));
    std::vector<std::filesystem::path> files(paths, paths + count);
    if (self->options.on_drop) self->options.on_drop(std::move(files));
  });
  glfwSetWindowContentScaleCallback(impl->window, [](GLFWwindow* window, float sx, float sy) {
    static_cast<Impl*>(glfwGetWindowUserPointer(window))->scale = std::max(sx, sy);
  });
  glfwSetWindowCloseCallback(impl->window, [](GLFWwindow* window) {
    static_cast<Impl*>(glfwGetWindowUserPointer(window))->close_asked = true;
    glfwSetWindowShouldClose(window, GLFW_FALSE);
  });
  ImGui_ImplGlfw_InitForOpenGL(impl->window, true);
  ImGui_ImplOpenGL3_Init("#version 330 core");
  return std::unique_ptr<Backend>(new Backend(std::move(impl)));
}

Backend::~Backend() {
  ImGui_ImplOpenGL3_Shutdown();
  ImGui_ImplGlfw_Shutdown();
  glfwDestroyWindow(impl_->window);
  glfwTerminate();
}

bool Backend::close_asked() {
  return std::exchange(impl_->close_asked, false);
}

float Backend::display_scale() const {
  return impl_->scale;
}

void Backend::wait(bool busy, std::optional<std::chrono::steady_clock::time_point> alarm) {
  if (busy) return glfwPollEvents();
  if (!alarm) return glfwWaitEvents();
  const std::chrono::duration<double> left = *alarm - std::chrono::steady_clock::now();
  left.count() > 0 ? glfwWaitEventsTimeout(left.count()) : glfwPollEvents();
}

void Backend::wake() {
  glfwPostEmptyEvent();
}

void Backend::fonts_changed() {
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
}

void Backend::begin_frame() {
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  ImGui::NewFrame();
}

void Backend::end_frame() {
  ImGui::Render();
  int width = 0;
  int height = 0;
  glfwGetFramebufferSize(impl_->window, &width, &height);
  glViewport(0, 0, width, height);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  glfwSwapBuffers(impl_->window);
}

std::pair<int, int> Backend::size() const {
  int width = 0;
  int height = 0;
  glfwGetWindowSize(impl_->window, &width, &height);
  const auto design = [this](int px) {
    return static_cast<int>(std::lround(static_cast<float>(px) / impl_->scale));
  };
  return {design(width), design(height)};
}

void Backend::set_title(const std::string& title) {
  glfwSetWindowTitle(impl_->window, title.c_str());
}

}  // namespace spile::gui
