// Scenes and cameras as JSON, so that a picture can be made again from a line in a file; and the truth as
// JSON. Field names are those of the structs. Unknown fields are refused: a slip must not make another
// picture.
#pragma once

#include <string>

#include "draw.hpp"
#include "outcome/outcome.hpp"

namespace spile::scenes {

struct Recipe {
  std::string file;  // name of the picture
  Scene scene;
  Camera camera;
};

// {"pictures": [{"file": "a.jpg", "scene": {...}, "camera": {...}}, ...]}. Errors: BadInput naming the
// picture and the field.
[[nodiscard]] Result<std::vector<Recipe>> read_recipes(const std::string& json);

[[nodiscard]] std::string truth_json(const std::string& file, const Photo& photo, const Camera& camera);

[[nodiscard]] Result<Kind> kind_from(const std::string& word);  // "hole-card", "edge-rule", ...

}  // namespace spile::scenes
