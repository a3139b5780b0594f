// The plane a reference lies in, as a camera sees it: a pose, a focal length and a lens, all with one
// covariance, so that whatever is measured in the plane can be propagated from what is known and what is not.
//
// Plane frame: mm, x to the right and y up as the reference is read, z towards the camera, z = 0 on the
// reference's face. The hull lies at z = -height. Camera frame: x right, y down, z forward.
// Lens: radial k1, k2 about the principal point, in units of the focal length (the usual polynomial model).
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "vision/least_squares.hpp"
#include "vision/picture.hpp"

namespace spile::vision {

using Point2 = Eigen::Vector2d;
using Point3 = Eigen::Vector3d;

// Homography taking each `from` to its `to`, by the normalised direct linear transform (Hartley & Zisserman,
// Multiple View Geometry, algorithm 4.2; from memory). At least four pairs, no three in line; nothing when
// they are degenerate. Scaled to h33 = 1.
[[nodiscard]] std::optional<Eigen::Matrix3d> homography(const std::vector<Point2>& from,
                                                        const std::vector<Point2>& to);

class Plane {
 public:
  // Unknowns in the order of the covariance: a small turn (rad, applied in the camera frame), the position of
  // the plane's origin (mm, camera frame), log of the focal length, k1, k2, the principal point (px).
  static constexpr int kUnknowns = 11;
  enum Unknown { TurnX, TurnY, TurnZ, X, Y, Z, LogFocal, K1, K2, CentreX, CentreY };
  using Vector = Eigen::Matrix<double, kUnknowns, 1>;
  using Matrix = Eigen::Matrix<double, kUnknowns, kUnknowns>;

  // One source of doubt and its share of the covariance; the shares add up.
  struct Share {
    std::string term;
    Matrix covariance = Matrix::Zero();
  };

  Eigen::Matrix3d rotation = Eigen::Matrix3d::Identity();  // camera from plane
  Point3 origin = Point3(0, 0, 1);                         // of the plane frame, in the camera frame, mm
  double focal_px = 1, k1 = 0, k2 = 0;
  Point2 centre = Point2::Zero();
  std::vector<Share> shares;

  [[nodiscard]] Point2 px_from_mm(const Point3& mm) const;  // undefined behind the camera
  // Where the ray through a pixel meets the height z; nothing when it does not (above the horizon).
  [[nodiscard]] std::optional<Point2> mm_from_px(const Point2& px, double z = 0) const;
  [[nodiscard]] double mm_per_px(const Point2& px, double z = 0) const;  // root of the area ratio
  [[nodiscard]] double tilt_deg() const;
  [[nodiscard]] Point3 camera_mm() const;  // the camera's position in the plane frame
  [[nodiscard]] Plane moved(const Vector& change) const;
  [[nodiscard]] Matrix covariance() const;

  // Standard uncertainty, share by share, of anything computed from the plane: `value` is evaluated with the
  // plane moved along the principal axes of each share (JCGM 100, 5.1.3). In the order of `shares`.
  [[nodiscard]] std::vector<double> spread_of(const std::function<double(const Plane&)>& value) const;
};

// What is known of the camera before the reference is looked at.
struct CameraPrior {
  double focal_px = 0, u_log_focal = 0.3;
  double k1 = 0, u_k1 = 0.035;  // phones correct most of their distortion, cheap ones leave some per cent
  double k2 = 0, u_k2 = 0.008;
  double k_correlation = 0;  // between k1 and k2
  Point2 centre = Point2::Zero();
  double u_centre = 0;                      // px
  bool focal_from_exif = false;             // or from a calibration
  std::string lens_term = "lens: assumed";  // of the budget
};
// From the calibrated profile where the picture has one, else from EXIF and what cameras have in common.
[[nodiscard]] CameraPrior camera_prior(const PictureInfo& info);

// A start for fit_plane out of four or more points known in the plane (z = 0). With no focal length in the
// picture's EXIF it is taken from the perspective itself where the tilt shows it. Nothing when degenerate.
[[nodiscard]] std::optional<Plane> plane_from_points(const std::vector<Point2>& mm,
                                                     const std::vector<Point2>& px, const CameraPrior& prior);

// Residuals of a reference, each divided by its standard uncertainty, for a trial plane and the reference's
// own further unknowns (as many rows each time).
using PlaneResiduals = std::function<Eigen::VectorXd(const Plane&, const Eigen::VectorXd& extra)>;

struct PlaneFit {
  Plane plane;  // with its shares: `term` for the observations, the prior's lens term and "focal length"
  Eigen::VectorXd extra;
  Eigen::MatrixXd extra_covariance;
  double rms = 0;  // of the observations' whitened residuals
  bool converged = false;
};

// Maximum a posteriori plane. Pose unknowns are free unless the residuals hold them; give priors on a pose
// that the reference alone cannot hold (a rule's tilt across itself) as residuals. `extra_step` is the
// difference step of each further unknown.
[[nodiscard]] PlaneFit fit_plane(const Plane& start, const CameraPrior& prior,
                                 const PlaneResiduals& residuals, const Eigen::VectorXd& extra,
                                 const Eigen::VectorXd& extra_step, const std::string& term);

// The same where the residuals come from several sources: each gets a share of its own. The rows of the
// groups, in order, are those of the residuals.
struct ResidualGroup {
  std::string term;
  Eigen::Index rows = 0;
};
[[nodiscard]] PlaneFit fit_plane(const Plane& start, const CameraPrior& prior,
                                 const PlaneResiduals& residuals, const Eigen::VectorXd& extra,
                                 const Eigen::VectorXd& extra_step, const std::vector<ResidualGroup>& groups);

}  // namespace spile::vision
