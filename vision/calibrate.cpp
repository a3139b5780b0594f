#include "vision/calibrate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>

#include "vision/camera_profile.hpp"
#include "vision/lens_fit.hpp"
#include "vision/median.hpp"
#include "vision/turn.hpp"

namespace spile::vision {
namespace {

// Seen from one direction, focal length and distance cannot be told apart.
constexpr double kSmallestTurnDeg = 20;
// A photo's corners this many times further off the lens than the photos' are as a rule, and this many
// pixels.
constexpr double kBadPhoto = 2.5, kBadPhotoPx = 0.3;
// What EXIF alone gives is a standard uncertainty of 2.5 %.
constexpr double kWorstFocal = 0.012;
constexpr double kHalfWay = 0.5;    // to the corner: where openings are measured, and the lens must be known
constexpr double kGoodReach = 0.7;  // of the way to the corner

struct Used {
  std::size_t photo = 0;  // in the list given
  BoardView view;
};

// The corners as the camera stores them, rows turned about where the picture is a mirror image.
std::vector<Point2> stored_corners(const BoardPhoto& photo, const BoardSize& board) {
  const Turn turn = turn_of(photo.info.exif_orientation);
  const StoredSize size = stored_size(photo.info);
  std::vector<Point2> out;
  for (const PixelPoint& c : photo.corners) {
    double dx = c.x - 0.5 * (photo.info.width_px - 1), dy = c.y - 0.5 * (photo.info.height_px - 1);
    turn_back(turn, dx, dy);
    out.emplace_back(dx + 0.5 * (size.width_px - 1), dy + 0.5 * (size.height_px - 1));
  }
  const auto across = static_cast<std::ptrdiff_t>(board.across);
  const Point2 along = out[static_cast<std::size_t>(across - 1)] - out.front();
  const Point2 down = out[out.size() - static_cast<std::size_t>(across)] - out.front();
  if (along.x() * down.y() - along.y() * down.x() < 0) {
    for (auto row = out.begin(); row != out.end(); row += across) std::reverse(row, row + across);
  }
  return out;
}

std::vector<Point2> board_corners(const BoardSize& board) {
  std::vector<Point2> out;
  for (int row = 0; row < board.up; ++row)
    for (int column = 0; column < board.across; ++column) out.emplace_back(column, -row);
  return out;
}

std::string optics_of(const PictureInfo& info) {
  std::string text = info.camera.empty() ? "a camera without a name" : info.camera;
  if (info.focal_mm) text += fmt::format(", {:.3g} mm", *info.focal_mm);
  if (info.focal_35mm) text += fmt::format(" ({:.0f} mm equivalent)", *info.focal_35mm);
  if (info.digital_zoom > 1) text += fmt::format(", digital zoom {:.3g}", info.digital_zoom);
  const StoredSize size = stored_size(info);
  return text + fmt::format(", {} x {} px", size.width_px, size.height_px);
}

bool is_on_its_side(const PictureInfo& a, const PictureInfo& b) {
  return same_optics(a, b) && stored_size(a).width_px == stored_size(b).height_px &&
         stored_size(a).height_px == stored_size(b).width_px;
}

bool same_kind(const PictureInfo& a, const PictureInfo& b) {
  return same_optics(a, b) && stored_size(a).width_px == stored_size(b).width_px &&
         stored_size(a).height_px == stored_size(b).height_px;
}

// The kind most of the photos with a board are of.
const PictureInfo* usual_kind(const std::vector<BoardPhoto>& photos) {
  const PictureInfo* usual = nullptr;
  std::ptrdiff_t most = 0;
  for (const BoardPhoto& photo : photos) {
    if (photo.corners.empty()) continue;
    const auto alike = std::count_if(photos.begin(), photos.end(), [&](const BoardPhoto& other) {
      return !other.corners.empty() && same_kind(photo.info, other.info);
    });
    if (alike > most) {
      most = alike;
      usual = &photo.info;
    }
  }
  return usual;
}

Refusal too_few(std::size_t usable, std::size_t given) {
  return {"too-few-photos",
          fmt::format(
              "The board can be used in {} of {} photo{}; {} are needed, eight or more are better. Lay the "
              "board flat, light it evenly, and photograph it from in front and from each side, out to "
              "the corners of the picture.",
              usable, given, given == 1 ? "" : "s", kFewestBoardPhotos)};
}

std::optional<Refusal> mixed(const std::vector<BoardPhoto>& photos, const PictureInfo& usual) {
  for (const BoardPhoto& photo : photos) {
    if (photo.corners.empty() || same_kind(photo.info, usual) || is_on_its_side(photo.info, usual)) continue;
    return Refusal{
        "mixed-cameras",
        fmt::format("These photos are not all of one camera at one zoom: {} is by {}, most are by {}. A "
                    "profile belongs to one of them; calibrate each by itself.",
                    photo.name, optics_of(photo.info), optics_of(usual))};
  }
  if (!usual.camera.empty() && (usual.focal_mm || usual.focal_35mm)) return std::nullopt;
  return Refusal{
      "no-camera",
      "These photos do not say which camera took them at which focal length (no EXIF), so no later photo "
      "could be matched to them. Use the files as the camera wrote them."};
}

std::vector<Used> usable(const std::vector<BoardPhoto>& photos, const PictureInfo& usual,
                         const BoardSize& board, Calibration& out) {
  std::vector<Used> used;
  const std::vector<Point2> corners = board_corners(board);
  for (std::size_t i = 0; i < photos.size(); ++i) {
    if (photos[i].corners.empty()) {
      out.photos[i].left_out =
          fmt::format("no board with {} x {} inner corners was seen in it", board.across, board.up);
    } else if (!same_kind(photos[i].info, usual)) {
      out.photos[i].left_out = "it was turned by a program and no longer says which way up it was taken";
    } else {
      used.push_back({i, {corners, stored_corners(photos[i], board)}});
    }
  }
  return used;
}

double rms_of(const std::vector<Point2>& residuals) {
  double sum = 0;
  for (const Point2& r : residuals) sum += r.squaredNorm();
  return std::sqrt(sum / (2.0 * static_cast<double>(residuals.size())));
}

std::optional<LensFit> fitted(const std::vector<Used>& used, const PictureInfo& info) {
  std::vector<BoardView> views;
  for (const Used& one : used) views.push_back(one.view);
  PictureInfo stored = info;
  stored.width_px = stored_size(info).width_px;
  stored.height_px = stored_size(info).height_px;
  stored.lens.reset();
  return fit_lens(views, camera_prior(stored));
}

struct Rms {
  std::vector<double> each;
  double usual = 0;
  std::size_t worst = 0;
};

Rms rms_of(const LensFit& fit, const std::vector<Used>& used) {
  Rms rms;
  for (std::size_t v = 0; v < used.size(); ++v) rms.each.push_back(rms_of(fit.residuals(v, used[v].view)));
  rms.usual = median(rms.each);
  rms.worst = static_cast<std::size_t>(std::max_element(rms.each.begin(), rms.each.end()) - rms.each.begin());
  return rms;
}

// Leaves out the photo that least agrees with the lens, one after the other, while there is one that stands
// out.
std::optional<LensFit> fitted_without_bad_ones(std::vector<Used>& used, const PictureInfo& info,
                                               Calibration& out) {
  auto fit = fitted(used, info);
  while (fit && used.size() > static_cast<std::size_t>(kFewestBoardPhotos)) {
    const Rms rms = rms_of(*fit, used);
    const double worst = rms.each[rms.worst];
    if (worst < kBadPhoto * rms.usual || worst < kBadPhotoPx) break;
    CalibrationPhoto& photo = out.photos[used[rms.worst].photo];
    photo.rms_px = worst;
    photo.left_out = fmt::format(
        "its corners lie {:.2f} px off what the other photos agree on ({:.2f} px): blurred, or "
        "the board bent",
        worst, rms.usual);
    used.erase(used.begin() + static_cast<std::ptrdiff_t>(rms.worst));
    fit = fitted(used, info);
  }
  return fit;
}

void describe_photos(const LensFit& fit, const std::vector<Used>& used, Calibration& out) {
  for (std::size_t v = 0; v < used.size(); ++v) {
    CalibrationPhoto& photo = out.photos[used[v].photo];
    const auto residuals = fit.residuals(v, used[v].view);
    photo.rms_px = rms_of(residuals);
    photo.tilt_deg = fit.planes[v].tilt_deg();
    for (std::size_t i = 0; i < residuals.size(); ++i) {
      photo.corners.push_back({used[v].view.px[i].x(), used[v].view.px[i].y()});
      photo.residuals.push_back({residuals[i].x(), residuals[i].y()});
    }
  }
}

// The largest angle between two of the directions the board was seen from.
double turn_between(const LensFit& fit) {
  double largest = 0;
  for (const Plane& a : fit.planes) {
    for (const Plane& b : fit.planes) {
      const double cosine = a.rotation.col(2).dot(b.rotation.col(2));
      largest = std::max(largest, std::acos(std::clamp(cosine, -1.0, 1.0)) * 180 / M_PI);
    }
  }
  return largest;
}

std::string note_of(const Calibration& out, const model::CameraProfile& profile) {
  std::string note;
  if (profile.reach < kGoodReach) {
    note = fmt::format(
        "The board was seen up to {:.0f} % of the way to the corners; the lens is less certain beyond.",
        100 * profile.reach);
  }
  for (const CalibrationPhoto& photo : out.photos) {
    if (!photo.left_out.empty())
      note += fmt::format("{}{} left out: {}.", note.empty() ? "" : " ", photo.name, photo.left_out);
  }
  return note;
}

model::CameraProfile profile_of(const LensFit& fit, const std::vector<Used>& used, const PictureInfo& info) {
  const Plane& lens = fit.planes.front();
  const StoredSize size = stored_size(info);
  model::CameraProfile p;
  p.camera = info.camera;
  p.focal_mm = info.focal_mm;
  p.focal_35mm = info.focal_35mm;
  p.digital_zoom = info.digital_zoom;
  p.width_px = size.width_px;
  p.height_px = size.height_px;
  p.focal_px = lens.focal_px;
  p.k1 = lens.k1;
  p.k2 = lens.k2;
  p.centre_x_px = lens.centre.x();
  p.centre_y_px = lens.centre.y();
  const LensFit::Matrix& c = fit.covariance;
  p.u_log_focal = std::sqrt(c(0, 0));
  p.u_k1 = std::sqrt(c(1, 1));
  p.u_k2 = std::sqrt(c(2, 2));
  p.k_correlation = std::clamp(c(1, 2) / (p.u_k1 * p.u_k2), -0.9999, 0.9999);
  p.u_centre_px = std::sqrt(0.5 * (c(3, 3) + c(4, 4)));
  p.photos = static_cast<int>(used.size());
  const double corner = 0.5 * std::hypot(size.width_px, size.height_px);
  const Point2 middle(0.5 * (size.width_px - 1), 0.5 * (size.height_px - 1));
  double squares = 0, count = 0;
  for (std::size_t v = 0; v < used.size(); ++v) {
    for (const Point2& px : used[v].view.px) p.reach = std::max(p.reach, (px - middle).norm() / corner);
    for (const Point2& r : fit.residuals(v, used[v].view)) squares += r.squaredNorm();
    count += 2.0 * static_cast<double>(used[v].view.px.size());
  }
  p.rms_px = std::sqrt(squares / count);
  return p;
}

// Whether the profile is worth having: it must say clearly more than EXIF and what lenses have in common.
std::optional<Refusal> not_held(const model::CameraProfile& profile) {
  const CameraPrior assumed;
  model::CameraProfile guess = profile;
  guess.u_k1 = assumed.u_k1;
  guess.u_k2 = assumed.u_k2;
  guess.k_correlation = 0;
  const double known = displacement_at(profile, kHalfWay).u_px;
  const double before = displacement_at(guess, kHalfWay).u_px;
  if (profile.u_log_focal <= kWorstFocal && known <= 0.5 * before) return std::nullopt;
  return Refusal{
      "lens-not-held",
      fmt::format(
          "These photos do not hold the lens: the focal length would be known to {:.1f} % only, and the "
          "distortion half-way to the corner to {:.1f} px. The board reached {:.0f} % of the way to the "
          "corners. Take "
          "more photos: tilted about 30 degrees to each side, and with the board in each corner of the "
          "picture.",
          196 * profile.u_log_focal, 1.96 * known, 100 * profile.reach)};
}

std::optional<Refusal> solve(const std::vector<BoardPhoto>& photos, const BoardSize& board,
                             const std::string& date, Calibration& out) {
  const PictureInfo* usual = usual_kind(photos);
  if (usual != nullptr) {
    if (auto refusal = mixed(photos, *usual)) return refusal;
  }
  auto used = usual == nullptr ? std::vector<Used>() : usable(photos, *usual, board, out);
  if (usual == nullptr) (void)usable(photos, PictureInfo{}, board, out);
  if (used.size() < static_cast<std::size_t>(kFewestBoardPhotos)) return too_few(used.size(), photos.size());
  const auto fit = fitted_without_bad_ones(used, *usual, out);
  if (!fit)
    return Refusal{"lens-not-held", "The corners found do not lie in a plane. Check the number of corners."};
  describe_photos(*fit, used, out);
  const double turn = turn_between(*fit);
  if (turn < kSmallestTurnDeg) {
    return Refusal{
        "same-direction",
        fmt::format(
            "The board is seen from nearly one direction: the photos differ by {:.0f} degrees, {:.0f} "
            "are needed. Tilt the camera about 30 degrees to the left, right, above and below.",
            turn, kSmallestTurnDeg)};
  }
  auto profile = profile_of(*fit, used, *usual);
  if (auto refusal = not_held(profile)) return refusal;
  profile.date = date;
  profile.note = note_of(out, profile);
  out.profile = std::move(profile);
  return std::nullopt;
}

}  // namespace

Calibration calibrate(const std::vector<BoardPhoto>& photos, const BoardSize& board,
                      const std::string& date) {
  Calibration out;
  for (const BoardPhoto& photo : photos) out.photos.push_back({photo.name, {}, 0, 0, {}, {}});
  out.refused = solve(photos, board, date, out);
  return out;
}

}  // namespace spile::vision
