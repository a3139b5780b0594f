// spile-scenes: makes invented photos with known truth, from recipes or at random.

#include <CLI/CLI.hpp>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>

#include "recipe.hpp"

namespace {

namespace fs = std::filesystem;
using namespace spile;

struct Wanted {
  std::string recipes, kind = "hole-card";
  fs::path out = ".";
  int count = 0, width = 1632, height = 1224;
  std::uint64_t seed = 1;
  bool truth = false;
};

bool write(const fs::path& file, const std::string& bytes) {
  std::ofstream out(file, std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  if (!out) std::cerr << "“" << file.string() << "” could not be written.\n";
  return static_cast<bool>(out);
}

bool make(const scenes::Recipe& recipe, const Wanted& wanted) {
  const auto start = std::chrono::steady_clock::now();
  const scenes::Photo photo = scenes::take(recipe.scene, recipe.camera);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  const fs::path file = wanted.out / recipe.file;
  if (!write(file, {photo.jpeg.begin(), photo.jpeg.end()})) return false;
  fs::path beside = file;
  if (wanted.truth &&
      !write(beside.replace_extension(".json"), scenes::truth_json(recipe.file, photo, recipe.camera)))
    return false;
  std::cout << recipe.file << "  " << photo.jpeg.size() / 1024 << " kB  "
            << static_cast<int>(took.count() * 1000) << " ms\n";
  return true;
}

Result<std::vector<scenes::Recipe>> recipes_of(const Wanted& wanted) {
  if (!wanted.recipes.empty()) {
    std::ifstream in(wanted.recipes, std::ios::binary);
    if (!in)
      return fail(ErrorCode::FileMissing, "“" + wanted.recipes + "” cannot be opened.", "Check the name.");
    return scenes::read_recipes({std::istreambuf_iterator<char>(in), {}});
  }
  const auto kind = scenes::kind_from(wanted.kind);
  if (!kind) return tl::unexpected(kind.error());
  scenes::Priors priors;
  priors.width_px = wanted.width;
  priors.height_px = wanted.height;
  std::vector<scenes::Recipe> recipes;
  for (int i = 0; i < wanted.count; ++i) {
    const auto drawn = scenes::draw(*kind, wanted.seed + static_cast<std::uint64_t>(i), priors);
    recipes.push_back(
        {wanted.kind + "_" + std::to_string(wanted.seed + static_cast<std::uint64_t>(i)) + ".jpg",
         drawn.scene, drawn.camera});
  }
  return recipes;
}

}  // namespace

int main(int argc, char** argv) {
  Wanted wanted;
  CLI::App app("Makes invented photos of hull openings with known truth.");
  app.add_option("--recipes", wanted.recipes, "JSON file that describes the pictures to make");
  app.add_option(
      "--kind", wanted.kind,
      "random scenes of this kind: hole-card, hole-disc, hole-rule, edge-card, edge-rule, flange-card, "
      "hole-none, card-none, nut-card");
  app.add_option("--count", wanted.count, "how many random scenes");
  app.add_option("--seed", wanted.seed, "first seed; the same seed makes the same picture");
  app.add_option("--width", wanted.width, "pixels");
  app.add_option("--height", wanted.height, "pixels");
  app.add_option("--out", wanted.out, "folder to write to");
  app.add_flag("--truth", wanted.truth, "write NAME.json with the truth beside NAME.jpg");
  CLI11_PARSE(app, argc, argv);
  const auto recipes = recipes_of(wanted);
  if (!recipes) {
    std::cerr << recipes.error().sentence() << "\n";
    return 1;
  }
  fs::create_directories(wanted.out);
  for (const auto& recipe : *recipes)
    if (!make(recipe, wanted)) return 1;
  return 0;
}
