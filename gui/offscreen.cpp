#include "gui/offscreen.hpp"

#define GL_GLEXT_PROTOTYPES
#include <EGL/egl.h>
#include <EGL/eglext.h>
#include <GL/gl.h>
#include <GL/glext.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>
#include <stb/stb_image_write.h>

#include <array>
#include <cstdint>
#include <vector>

namespace spile::gui {

struct Offscreen::Impl {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLContext context = EGL_NO_CONTEXT;
  GLuint frame_buffer = 0, colours = 0;
  int width = 0, height = 0;
};

namespace {

tl::unexpected<Error> no_driver(const char* step) {
  return fail(ErrorCode::Internal,
              "No picture of the window can be made: there is no graphics driver for it.",
              "Install Mesa's software driver (package libgl1-mesa-dri).", step);
}

EGLDisplay surfaceless_display() {
  const auto get =
      reinterpret_cast<PFNEGLGETPLATFORMDISPLAYEXTPROC>(eglGetProcAddress("eglGetPlatformDisplayEXT"));
  return get ? get(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr) : EGL_NO_DISPLAY;
}

EGLContext make_context(EGLDisplay display) {
  constexpr std::array<EGLint, 3> kWanted = {EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_NONE};
  EGLConfig config = nullptr;
  EGLint count = 0;
  if (!eglChooseConfig(display, kWanted.data(), &config, 1, &count)) return EGL_NO_CONTEXT;
  constexpr std::array<EGLint, 7> kVersion = {EGL_CONTEXT_MAJOR_VERSION,
                                              3,
                                              EGL_CONTEXT_MINOR_VERSION,
                                              3,
                                              EGL_CONTEXT_OPENGL_PROFILE_MASK,
                                              EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT,
                                              EGL_NONE};
  return eglCreateContext(display, count > 0 ? config : nullptr, EGL_NO_CONTEXT, kVersion.data());
}

bool make_frame_buffer(Offscreen&, GLuint& frame_buffer, GLuint& colours, int width, int height) {
  glGenFramebuffers(1, &frame_buffer);
  glBindFramebuffer(GL_FRAMEBUFFER, frame_buffer);
  glGenRenderbuffers(1, &colours);
  glBindRenderbuffer(GL_RENDERBUFFER, colours);
  glRenderbufferStorage(GL_RENDERBUFFER, GL_RGBA8, width, height);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colours);
  return glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
}

}  // namespace

Offscreen::Offscreen(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}

Result<std::unique_ptr<Offscreen>> Offscreen::open(int width, int height) {
  auto impl = std::make_unique<Impl>();
  impl->width = width;
  impl->height = height;
  impl->display = surfaceless_display();
  if (impl->display == EGL_NO_DISPLAY || !eglInitialize(impl->display, nullptr, nullptr))
    return no_driver("display");
  eglBindAPI(EGL_OPENGL_API);
  impl->context = make_context(impl->display);
  if (impl->context == EGL_NO_CONTEXT) return no_driver("context");
  if (!eglMakeCurrent(impl->display, EGL_NO_SURFACE, EGL_NO_SURFACE, impl->context))
    return no_driver("current");
  std::unique_ptr<Offscreen> made(new Offscreen(std::move(impl)));
  Impl& self = *made->impl_;
  if (!make_frame_buffer(*made, self.frame_buffer, self.colours, width, height))
    return no_driver("frame buffer");
  ImGui::GetIO().DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
  if (!ImGui_ImplOpenGL3_Init("#version 330 core")) return no_driver("loader");
  return made;
}

Offscreen::~Offscreen() {
  if (ImGui::GetIO().BackendRendererUserData) ImGui_ImplOpenGL3_Shutdown();
  if (impl_->frame_buffer) glDeleteFramebuffers(1, &impl_->frame_buffer);
  if (impl_->colours) glDeleteRenderbuffers(1, &impl_->colours);
  eglMakeCurrent(impl_->display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
  eglDestroyContext(impl_->display, impl_->context);
  eglTerminate(impl_->display);
}

void Offscreen::fonts_changed() {
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
}

void Offscreen::begin_frame() {
  ImGui::GetIO().DeltaTime = 1.0F / 60;
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
}

void Offscreen::end_frame() {
  ImGui::Render();
  glBindFramebuffer(GL_FRAMEBUFFER, impl_->frame_buffer);
  glViewport(0, 0, impl_->width, impl_->height);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

Result<void> Offscreen::write_png(const std::filesystem::path& file) {
  const auto width = static_cast<std::size_t>(impl_->width);
  const auto height = static_cast<std::size_t>(impl_->height);
  std::vector<std::uint8_t> rows(width * height * 3);
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, impl_->width, impl_->height, GL_RGB, GL_UNSIGNED_BYTE, rows.data());
  // OpenGL counts rows from below: written from the last row upwards, with a negative stride.
  const std::uint8_t* top = rows.data() + (height - 1) * width * 3;
  const int stride = -impl_->width * 3;
  if (stbi_write_png(file.string().c_str(), impl_->width, impl_->height, 3, top, stride) == 0)
    return fail(ErrorCode::StorageReadOnly, "The picture could not be written to " + file.string() + ".",
                "Check that the folder exists and may be written to.");
  return {};
}

}  // namespace spile::gui
