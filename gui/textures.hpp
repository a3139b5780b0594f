// Pictures on the graphics card, by key. The views ask for a key and draw what is there; whoever has pixels
// puts them. Main thread only.
#pragma once

#include <imgui.h>

#include <compare>
#include <cstdint>
#include <map>
#include <optional>

#include "app/photos.hpp"

namespace spile::gui {

struct TextureKey {
  enum class Kind { Thumb, View, Tile, Loupe, Season, SeasonTile };  // Season: of two photos compared
  Kind kind = Kind::View;
  std::int64_t photo = 0;
  int column = 0, row = 0;  // of a tile
  friend auto operator<=>(const TextureKey&, const TextureKey&) = default;
};

struct Texture {
  ImTextureID id = nullptr;
  int width = 0, height = 0;
};

class Textures {
 public:
  // Bounds of what is kept: 64 MB of tiles, thumbnails of a long list, the picture in hand and the one
  // before.
  static constexpr std::size_t kMaxTiles = 16;
  static constexpr std::size_t kMaxThumbs = 256;
  static constexpr std::size_t kMaxViews = 2;

  virtual ~Textures() = default;
  Textures() = default;
  Textures(const Textures&) = delete;
  Textures& operator=(const Textures&) = delete;

  void put(const TextureKey& key, const vision::Rgba& pixels);
  [[nodiscard]] std::optional<Texture> find(const TextureKey& key);  // and remembers that it was wanted
  [[nodiscard]] bool contains(const TextureKey& key) const { return held_.contains(key); }
  void clear();
  [[nodiscard]] std::size_t size() const { return held_.size(); }

 protected:
  // `smooth`: averaged when small, interpolated when large; else pixels stay squares.
  [[nodiscard]] virtual ImTextureID upload(const vision::Rgba& pixels, bool smooth, bool small) = 0;
  virtual void destroy(ImTextureID id) = 0;

 private:
  struct Held {
    Texture texture;
    std::uint64_t wanted = 0;
  };
  void make_room(TextureKey::Kind kind);
  std::map<TextureKey, Held> held_;
  std::uint64_t clock_ = 0;
};

// Keeps no pixels: for a window that is driven without a display.
class NoTextures final : public Textures {
 protected:
  ImTextureID upload(const vision::Rgba& pixels, bool smooth, bool small) override;
  void destroy(ImTextureID id) override;

 private:
  std::uintptr_t next_ = 1;
};

// OpenGL; the context must be current.
class GlTextures final : public Textures {
 public:
  ~GlTextures() override;

 protected:
  ImTextureID upload(const vision::Rgba& pixels, bool smooth, bool small) override;
  void destroy(ImTextureID id) override;
};

}  // namespace spile::gui
