#include "gui/textures.hpp"

#include <algorithm>

namespace spile::gui {

namespace {
std::size_t room_for(TextureKey::Kind kind) {
  switch (kind) {
    case TextureKey::Kind::Thumb:
      return Textures::kMaxThumbs;
    case TextureKey::Kind::View:
    case TextureKey::Kind::Season:
      return Textures::kMaxViews;
    case TextureKey::Kind::Tile:
    case TextureKey::Kind::SeasonTile:
      return Textures::kMaxTiles;
    case TextureKey::Kind::Loupe:
      return 1;
  }
  return 1;
}
}  // namespace

void Textures::put(const TextureKey& key, const vision::Rgba& pixels) {
  if (const auto old = held_.find(key); old != held_.end()) {
    destroy(old->second.texture.id);
    held_.erase(old);
  }
  make_room(key.kind);
  const bool smooth = key.kind != TextureKey::Kind::Loupe;
  const bool may_shrink = key.kind == TextureKey::Kind::View || key.kind == TextureKey::Kind::Thumb ||
                          key.kind == TextureKey::Kind::Season;
  const ImTextureID id = upload(pixels, smooth, may_shrink);
  held_[key] = {{id, pixels.width, pixels.height}, ++clock_};
}

std::optional<Texture> Textures::find(const TextureKey& key) {
  const auto hit = held_.find(key);
  if (hit == held_.end()) return std::nullopt;
  hit->second.wanted = ++clock_;
  return hit->second.texture;
}

void Textures::clear() {
  for (auto& [key, held] : held_) destroy(held.texture.id);
  held_.clear();
}

void Textures::make_room(TextureKey::Kind kind) {
  const auto same_kind = [kind](const auto& entry) { return entry.first.kind == kind; };
  while (static_cast<std::size_t>(std::count_if(held_.begin(), held_.end(), same_kind)) >= room_for(kind)) {
    auto oldest = held_.end();
    for (auto it = held_.begin(); it != held_.end(); ++it)
      if (same_kind(*it) && (oldest == held_.end() || it->second.wanted < oldest->second.wanted)) oldest = it;
    destroy(oldest->second.texture.id);
    held_.erase(oldest);
  }
}

ImTextureID NoTextures::upload(const vision::Rgba&, bool, bool) {
  return reinterpret_cast<ImTextureID>(next_++);
}

void NoTextures::destroy(ImTextureID) {}

}  // namespace spile::gui
