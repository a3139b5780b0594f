#include "app/cli/stored_photo.hpp"

#include <fmt/format.h>

#include <vector>

namespace spile::app::cli {

namespace {

constexpr std::size_t kLeastOfHash = 6;

bool is_called(const model::Photo& photo, const std::string& name) {
  return photo.original_name == name || (name.size() >= kLeastOfHash && photo.sha256.starts_with(name));
}

}  // namespace

Result<PhotoView> stored_photo(const Session& session, const std::string& name) {
  std::vector<PhotoView> found;
  const auto search = [&](const std::vector<PhotoView>& photos) {
    for (const auto& view : photos)
      if (is_called(view.photo, name)) found.push_back(view);
  };
  search(session.snapshot().unfiled);
  for (const auto& opening : session.snapshot().openings) search(opening.photos);
  if (found.size() == 1) return found.front();
  if (found.empty()) {
    return fail(ErrorCode::NotFound, fmt::format("There is no photo {} in this survey.", name),
                "\"spile show\" lists them by opening.");
  }
  return fail(ErrorCode::BadInput, fmt::format("{} photos in this survey are called {}.", found.size(), name),
              "Give the start of its SHA-256 instead, as \"spile show --json\" prints it, or its survey.");
}

}  // namespace spile::app::cli
