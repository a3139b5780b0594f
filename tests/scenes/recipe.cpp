#include "recipe.hpp"

#include <array>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace spile::scenes {

namespace {

using nlohmann::json;

// Reads the fields of one object and, when it is done, refuses what was not asked for.
class Fields {
 public:
  Fields(const json& object, std::string where) : object_(object), where_(std::move(where)) {
    if (!object.is_object()) throw std::invalid_argument(where_ + " must be an object");
  }
  template <class T>
  Fields& operator()(const char* name, T& value) {
    known_.push_back(name);
    if (const auto it = object_.find(name); it != object_.end()) read(*it, value, where_ + "." + name);
    return *this;
  }
  void end() const {
    for (const auto& item : object_.items())
      if (std::find(known_.begin(), known_.end(), item.key()) == known_.end())
        throw std::invalid_argument(where_ + " has no field “" + item.key() + "”");
  }

 private:
  template <class T>
  static void read(const json& j, T& value, const std::string& where);

  const json& object_;
  std::string where_;
  std::vector<std::string> known_;
};

template <class T>
T word(const json& j, const std::string& where, std::initializer_list<std::pair<const char*, T>> words) {
  for (const auto& [name, value] : words)
    if (j == name) return value;
  throw std::invalid_argument(where + " is none of the known words: " + j.dump());
}

void fill(const json& j, Hull& v, const std::string& where) {
  v = word<Hull>(j, where,
                 {{"white", Hull::White},
                  {"dark", Hull::Dark},
                  {"bare-laminate", Hull::BareLaminate},
                  {"timber", Hull::Timber}});
}
void fill(const json& j, FlangeMaterial& v, const std::string& where) {
  v = word<FlangeMaterial>(j, where,
                           {{"bronze", FlangeMaterial::Bronze},
                            {"white-plastic", FlangeMaterial::WhitePlastic},
                            {"black-plastic", FlangeMaterial::BlackPlastic}});
}
void fill(const json& j, Chip& v, const std::string& where) {
  Fields(j, where)("at_deg", v.at_deg)("width_mm", v.width_mm)("depth_mm", v.depth_mm).end();
}
void fill(const json& j, SealantRing& v, const std::string& where) {
  Fields(j, where)("inner_mm", v.inner_mm)("outer_mm", v.outer_mm)("tone", v.tone).end();
}
void fill(const json& j, Hole& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("diameter_mm", v.diameter_mm)("ovality_pct", v.ovality_pct)(
      "major_at_deg", v.major_at_deg)("depth_mm", v.depth_mm)("skin_mm", v.skin_mm)(
      "roughness_mm", v.roughness_mm)("chips", v.chips)("sealant", v.sealant)
      .end();
}
void fill(const json& j, Card& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("turn_deg", v.turn_deg)("marker_mm", v.marker_mm)(
      "width_mm", v.width_mm)("height_mm", v.height_mm)("print_scale_x", v.print_scale_x)(
      "print_scale_y", v.print_scale_y)("face_height_mm", v.face_height_mm)("dull", v.dull)
      .end();
}
void fill(const json& j, Board& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("turn_deg", v.turn_deg)("columns", v.columns)("rows", v.rows)(
      "square_mm", v.square_mm)("margin_mm", v.margin_mm)
      .end();
}
void fill(const json& j, Rule& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("turn_deg", v.turn_deg)("length_mm", v.length_mm)(
      "width_mm", v.width_mm)("thickness_mm", v.thickness_mm)("scale", v.scale)
      .end();
}
void fill(const json& j, Disc& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("diameter_mm", v.diameter_mm)("thickness_mm", v.thickness_mm).end();
}
void fill(const json& j, Layer& v, const std::string& where) {
  Fields(j, where)("kind", v.kind)("thickness_mm", v.thickness_mm).end();
}
void fill(const json& j, CutEdge& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("turn_deg", v.turn_deg)("length_mm", v.length_mm)("layers", v.layers)(
      "waviness_mm", v.waviness_mm)("contrast", v.contrast)("height_mm", v.height_mm)("thin_mm", v.thin_mm)(
      "thin_at_mm", v.thin_at_mm)("thin_over_mm", v.thin_over_mm)
      .end();
}
void fill(const json& j, Flange& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("diameter_mm", v.diameter_mm)("height_mm", v.height_mm)(
      "bore_mm", v.bore_mm)("material", v.material)
      .end();
}
void fill(const json& j, Nut& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("turn_deg", v.turn_deg)("across_flats_mm", v.across_flats_mm)(
      "height_mm", v.height_mm)("stem_mm", v.stem_mm)("bore_mm", v.bore_mm)("material", v.material)
      .end();
}
void fill(const json& j, Crack& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("direction_deg", v.direction_deg)("length_mm", v.length_mm)(
      "width_mm", v.width_mm)("wander_mm", v.wander_mm)
      .end();
}
void fill(const json& j, Stain& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("diameter_mm", v.diameter_mm)("darkness", v.darkness).end();
}
void fill(const json& j, Light& v, const std::string& where) {
  Fields(j, where)("level", v.level)("gradient", v.gradient)("gradient_deg", v.gradient_deg).end();
}
void fill(const json& j, Shadow& v, const std::string& where) {
  Fields(j, where)("x", v.x)("y", v.y)("direction_deg", v.direction_deg)("softness_mm", v.softness_mm)(
      "darkness", v.darkness)
      .end();
}
void fill(const json& j, Scene& v, const std::string& where) {
  Fields(j, where)("hull", v.hull)("seed", v.seed)("holes", v.holes)("cracks", v.cracks)("stains", v.stains)(
      "card", v.card)("board", v.board)("rule", v.rule)("disc", v.disc)("edge", v.edge)("flange", v.flange)(
      "nut", v.nut)("shadow", v.shadow)("light", v.light)
      .end();
}
void fill(const json& j, Camera& v, const std::string& where) {
  Fields(j, where)("width_px", v.width_px)("height_px", v.height_px)("focal_px", v.focal_px)(
      "look_x", v.look_x)("look_y", v.look_y)("distance_mm", v.distance_mm)("tilt_deg", v.tilt_deg)(
      "azimuth_deg", v.azimuth_deg)("roll_deg", v.roll_deg)("k1", v.k1)("k2", v.k2)("axis_x_px", v.axis_x_px)(
      "axis_y_px", v.axis_y_px)("blur_px", v.blur_px)("vignetting", v.vignetting)("noise", v.noise)(
      "sharpening", v.sharpening)("tone", v.tone)("warmth", v.warmth)("jpeg_quality", v.jpeg_quality)(
      "exif_orientation", v.exif_orientation)("taken_at", v.taken_at)("focal_35mm", v.focal_35mm)("seed",
                                                                                                  v.seed)
      .end();
}
template <class T>
void fill(const json& j, std::optional<T>& v, const std::string& where);
template <class T>
void fill(const json& j, std::vector<T>& v, const std::string& where) {
  if (!j.is_array()) throw std::invalid_argument(where + " must be a list");
  for (const auto& item : j) fill(item, v.emplace_back(), where);
}
template <class T>
void fill_plain(const json& j, T& v, const std::string& where) {
  try {
    v = j.get<T>();
  } catch (const json::exception&) {
    throw std::invalid_argument(where + " cannot be " + j.dump());
  }
}
void fill(const json& j, double& v, const std::string& where) {
  fill_plain(j, v, where);
}
void fill(const json& j, int& v, const std::string& where) {
  fill_plain(j, v, where);
}
void fill(const json& j, std::uint64_t& v, const std::string& where) {
  fill_plain(j, v, where);
}
void fill(const json& j, std::string& v, const std::string& where) {
  fill_plain(j, v, where);
}
template <class T>
void fill(const json& j, std::optional<T>& v, const std::string& where) {
  if (j.is_null()) return;
  fill(j, v.emplace(), where);
}

template <class T>
void Fields::read(const json& j, T& value, const std::string& where) {
  fill(j, value, where);
}

json points(const std::vector<Pixel>& pixels) {
  json list = json::array();
  for (const auto& p : pixels) list.push_back({p.x, p.y});
  return list;
}

json holes_json(const Truth& truth) {
  json holes = json::array();
  for (const auto& h : truth.holes)
    holes.push_back({{"centre_px", {h.centre_px.x, h.centre_px.y}},
                     {"diameter_mm", h.diameter_mm},
                     {"major_mm", h.major_mm},
                     {"minor_mm", h.minor_mm},
                     {"ovality_pct", h.ovality_pct},
                     {"depth_mm", h.depth_mm},
                     {"edge_damage_mm", h.edge_damage_mm},
                     {"mm_per_px", h.mm_per_px},
                     {"rim_px", points(h.rim_px)}});
  return holes;
}

json edge_json(const EdgeTruth& edge) {
  json layers = json::array();
  for (const auto& layer : edge.layers)
    layers.push_back({{"kind", layer.kind}, {"thickness_mm", layer.thickness_mm}});
  return {{"thickness_mm", edge.thickness_mm},
          {"construction", edge.construction},
          {"layers", layers},
          {"boundaries_px", points(edge.boundaries_px)}};
}

}  // namespace

Result<std::vector<Recipe>> read_recipes(const std::string& text) {
  try {
    const json whole = json::parse(text);
    std::vector<Recipe> recipes;
    for (const auto& entry : whole.at("pictures")) {
      Recipe recipe;
      const std::string name = entry.value("file", "picture without a name");
      Fields(entry, name)("file", recipe.file)("scene", recipe.scene)("camera", recipe.camera).end();
      recipes.push_back(std::move(recipe));
    }
    return recipes;
  } catch (const std::exception& e) {
    return fail(ErrorCode::BadInput, std::string("The recipe cannot be read: ") + e.what() + ".",
                "Correct the field and run it again.");
  }
}

std::string truth_json(const std::string& file, const Photo& photo, const Camera& camera) {
  const Truth& truth = photo.truth;
  json out = {{"photo", file},
              {"size_px", {camera.width_px, camera.height_px}},
              {"reference", truth.reference.empty() ? json() : json(truth.reference)},
              {"tilt_deg", camera.tilt_deg},
              {"holes", holes_json(truth)},
              {"edge", truth.edge ? edge_json(*truth.edge) : json()},
              {"fitting", json()}};
  json markers = json::array();
  for (const auto& m : truth.marker_corners) markers.push_back(points({m.begin(), m.end()}));
  out["marker_corners_px"] = markers;
  if (truth.flange)
    out["fitting"] = {{"flange_mm", truth.flange->flange_mm},
                      {"bore_mm", truth.flange->bore_mm},
                      {"height_mm", truth.flange->height_mm}};
  if (truth.nut) out["nut"] = {{"across_flats_mm", truth.nut->across_flats_mm}};
  if (truth.edge) out["edge"]["thinnest_mm"] = truth.edge->thinnest_mm;
  return out.dump(1);
}

Result<Kind> kind_from(const std::string& name) {
  static const std::map<std::string, Kind> kinds = {{"hole-card", Kind::HoleWithCard},
                                                    {"hole-disc", Kind::HoleWithDisc},
                                                    {"hole-rule", Kind::HoleWithRule},
                                                    {"edge-card", Kind::EdgeWithCard},
                                                    {"edge-rule", Kind::EdgeWithRule},
                                                    {"flange-card", Kind::FlangeWithCard},
                                                    {"hole-none", Kind::HoleWithoutReference},
                                                    {"card-none", Kind::CardWithoutHole},
                                                    {"nut-card", Kind::NutWithCard}};
  if (const auto it = kinds.find(name); it != kinds.end()) return it->second;
  std::string known;
  for (const auto& [key, kind] : kinds) known += (known.empty() ? "" : ", ") + key;
  return fail(ErrorCode::BadInput, "“" + name + "” is not a kind of scene.", "Choose one of: " + known + ".");
}

}  // namespace spile::scenes
