#define GL_GLEXT_PROTOTYPES
#include <GL/gl.h>
#include <GL/glext.h>

#include "gui/textures.hpp"

namespace spile::gui {

namespace {
ImTextureID id_of(GLuint name) {
  return reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(name));
}
}  // namespace

GlTextures::~GlTextures() {
  clear();
}

ImTextureID GlTextures::upload(const vision::Rgba& pixels, bool smooth, bool small) {
  GLuint name = 0;
  glGenTextures(1, &name);
  glBindTexture(GL_TEXTURE_2D, name);
  const GLint inside = smooth ? GL_LINEAR : GL_NEAREST;
  // A photo shrunk without averaging breaks up thin edges, and edges are what is looked at.
  const GLint shrunk = small ? GL_LINEAR_MIPMAP_LINEAR : inside;
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, shrunk);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, inside);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA, pixels.width, pixels.height, 0, GL_RGBA, GL_UNSIGNED_BYTE,
               pixels.pixels.data());
  if (small) glGenerateMipmap(GL_TEXTURE_2D);
  return id_of(name);
}

void GlTextures::destroy(ImTextureID id) {
  const auto name = static_cast<GLuint>(reinterpret_cast<std::uintptr_t>(id));
  glDeleteTextures(1, &name);
}

}  // namespace spile::gui
