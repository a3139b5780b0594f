#include "vision/circle_search.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/circle_edges.hpp"

namespace spile::vision {
namespace {

constexpr int kBaseSide = 1008;   // the finest copy searched, px on the longer side
constexpr double kLowRadius = 7;  // px of the copy; each copy serves radii from here to twice this
constexpr int kRadii = 6;
constexpr double kRadiusRatio = 1.1225;  // sixth root of two
constexpr double kMinScore = 0.3;

// Projective map of copy pixels into the plane, lens left aside: good to a few pixels, which is enough to
// vote.
struct Flat {
  Eigen::Matrix3d mm_from_px;
  struct At {
    Point2 mm = Point2::Zero();
    Eigen::Matrix2d slope = Eigen::Matrix2d::Zero();  // d mm / d px
    bool ok = false;
  };
  [[nodiscard]] At at(double x, double y) const {
    const Eigen::Vector3d v = mm_from_px * Eigen::Vector3d(x, y, 1);
    At out;
    if (v.z() <= 1e-9) return out;
    out.mm = v.head<2>() / v.z();
    out.slope = (mm_from_px.topLeftCorner<2, 2>() - out.mm * mm_from_px.block<1, 2>(2, 0)) / v.z();
    out.ok = true;
    return out;
  }
};

Flat flat_of(const Plane& plane, double z, const Copy& copy) {
  Eigen::Matrix3d px_from_mm;
  const Point3 origin = plane.rotation * Point3(0, 0, z) + plane.origin;
  px_from_mm << plane.rotation.col(0), plane.rotation.col(1), origin;
  Eigen::Matrix3d camera;
  camera << plane.focal_px, 0, plane.centre.x(), 0, plane.focal_px, plane.centre.y(), 0, 0, 1;
  Eigen::Matrix3d to_copy;
  to_copy << 1 / copy.scale, 0, -copy.shift / copy.scale, 0, 1 / copy.scale, -copy.shift / copy.scale, 0, 0,
      1;
  Eigen::Matrix3d inverse = (to_copy * camera * px_from_mm).inverse();
  // Positive where the ray meets the plane before the camera.
  const double sign =
      (inverse * Eigen::Vector3d(copy.grey.cols / 2.0, copy.grey.rows / 2.0, 1)).z() > 0 ? 1 : -1;
  return {inverse * sign};
}

struct Grid {
  Point2 low = Point2::Zero();
  double cell = 1;
  int cols = 0, rows = 0;
};

// The part of the plane that the picture shows, but no more than three times as far as it is near: towards
// the horizon a plane goes on for ever.
Grid grid_over(const Flat& flat, const cv::Size& size, double cell) {
  const auto middle = flat.at(size.width / 2.0, size.height / 2.0);
  const double reach =
      1.6 * std::max(size.width, size.height) / 2.0 * std::sqrt(std::abs(middle.slope.determinant()));
  Point2 low = middle.mm, high = middle.mm;
  for (const double x : {0.0, 0.5, 1.0}) {
    for (const double y : {0.0, 0.5, 1.0}) {
      const auto p = flat.at(x * size.width, y * size.height);
      Point2 mm = p.ok ? p.mm : middle.mm + Point2(reach, reach);
      mm = mm.cwiseMax(middle.mm - Point2(reach, reach)).cwiseMin(middle.mm + Point2(reach, reach));
      low = low.cwiseMin(mm);
      high = high.cwiseMax(mm);
    }
  }
  Grid grid{low, cell, 0, 0};
  grid.cols = std::clamp(static_cast<int>((high.x() - low.x()) / cell) + 3, 3, 2000);
  grid.rows = std::clamp(static_cast<int>((high.y() - low.y()) / cell) + 3, 3, 2000);
  return grid;
}

struct Voter {
  Point2 mm = Point2::Zero(), normal = Point2::Zero();
  float weight = 0;  // mm of plane this edge pixel stands for
};

std::vector<Voter> voters_of(const std::vector<EdgePixel>& edges, const Flat& flat) {
  std::vector<Voter> out;
  out.reserve(edges.size());
  for (const EdgePixel& e : edges) {
    const auto at = flat.at(static_cast<double>(e.x), static_cast<double>(e.y));
    if (!at.ok) continue;
    const Point2 g(static_cast<double>(e.gx), static_cast<double>(e.gy));
    // Along the edge one edge pixel stands for one pixel of the larger of its two extents.
    const Point2 tangent = Point2(-g.y(), g.x()) / std::max(std::abs(g.x()), std::abs(g.y()));
    const Point2 along = at.slope * tangent;
    const double length = along.norm();
    if (length < 1e-12) continue;
    out.push_back({at.mm, Point2(-along.y(), along.x()) / length, static_cast<float>(length)});
  }
  return out;
}

// One radius's votes, cell by cell and gathered; the memory serves the next radius too.
struct Ballot {
  cv::Mat votes, gathered;  // CV_32FC1
  std::vector<float> column;
};

// Sums over 3 by 3 cells, times `scale`; beyond the border nothing.
void gather(float scale, Ballot& ballot) {
  const cv::Mat& votes = ballot.votes;
  ballot.gathered.create(votes.size(), CV_32FC1);
  const auto cols = static_cast<std::size_t>(votes.cols);
  ballot.column.assign(cols + 2, 0.0F);
  float* column = ballot.column.data();
  for (int y = 0; y < votes.rows; ++y) {
    const float *above = votes.ptr<float>(std::max(0, y - 1)), *here = votes.ptr<float>(y),
                *below = votes.ptr<float>(std::min(votes.rows - 1, y + 1));
    const float with_above = y > 0 ? 1 : 0, with_below = y + 1 < votes.rows ? 1 : 0;
    float* sum = ballot.gathered.ptr<float>(y);
    for (std::size_t x = 0; x < cols; ++x)
      column[x + 1] = with_above * above[x] + here[x] + with_below * below[x];
    for (std::size_t x = 0; x < cols; ++x) sum[x] = scale * (column[x] + column[x + 1] + column[x + 2]);
  }
}

void vote(const std::vector<Voter>& voters, const Grid& grid, double radius, Ballot& ballot) {
  ballot.votes.create(grid.rows, grid.cols, CV_32FC1);
  ballot.votes.setTo(0);
  for (const Voter& v : voters) {
    for (const double sign : {-1.0, 1.0}) {
      const Point2 c = (v.mm + sign * radius * v.normal - grid.low) / grid.cell;
      const int x = static_cast<int>(c.x() + 0.5), y = static_cast<int>(c.y() + 0.5);
      if (x >= 0 && y >= 0 && x < grid.cols && y < grid.rows) ballot.votes.at<float>(y, x) += v.weight;
    }
  }
  gather(static_cast<float>(1 / (2 * M_PI * radius)), ballot);
}

// Largest of the 5 by 5 about it.
bool is_peak(const cv::Mat& votes, int x, int y) {
  const float here = votes.at<float>(y, x);
  for (int v = std::max(0, y - 2); v <= std::min(votes.rows - 1, y + 2); ++v) {
    const auto* row = votes.ptr<float>(v);
    for (int u = std::max(0, x - 2); u <= std::min(votes.cols - 1, x + 2); ++u) {
      if (row[u] > here) return false;
    }
  }
  return true;
}

// Compared as integers, in which positive floats keep their order: quicker than looking for each.
bool reaches(const float* row, int cols, float limit) {
  const auto least = std::bit_cast<std::int32_t>(limit);
  std::int32_t any = 0;
  for (int x = 0; x < cols; ++x) any |= std::bit_cast<std::int32_t>(row[x]) >= least ? 1 : 0;
  return any != 0;
}

void take_peaks(const cv::Mat& votes, const Grid& grid, double radius, std::vector<CircleCandidate>& out) {
  constexpr auto kLeast = static_cast<float>(kMinScore);
  for (int y = 0; y < votes.rows; ++y) {
    const auto* here = votes.ptr<float>(y);
    if (!reaches(here, votes.cols, kLeast)) continue;
    for (int x = 0; x < votes.cols; ++x) {
      if (here[x] >= kLeast && is_peak(votes, x, y))
        out.push_back({grid.low + grid.cell * Point2(x, y), radius, static_cast<double>(here[x])});
    }
  }
}

cv::Mat hidden_in(const Copy& copy, const std::vector<std::vector<PixelPoint>>& covered) {
  cv::Mat hidden(copy.grey.size(), CV_8UC1, cv::Scalar(0));
  for (const auto& polygon : covered) {
    std::vector<cv::Point> points;
    for (const PixelPoint& p : polygon) {
      points.emplace_back(cvRound((p.x - copy.shift) / copy.scale), cvRound((p.y - copy.shift) / copy.scale));
    }
    if (points.size() >= 3)
      cv::fillPoly(hidden, std::vector<std::vector<cv::Point>>{points}, cv::Scalar(255));
  }
  return hidden;
}

void search_octave(const Copy& copy, const Plane& plane, double z,
                   const std::vector<std::vector<PixelPoint>>& covered, double low_radius_mm,
                   std::vector<CircleCandidate>& out) {
  const auto edges = edges_of(copy, hidden_in(copy, covered));
  const Flat flat = flat_of(plane, z, copy);
  const auto voters = voters_of(edges, flat);
  const Grid grid = grid_over(flat, copy.grey.size(), low_radius_mm / 6);
  double radius = low_radius_mm;
  Ballot ballot;
  for (int k = 0; k < kRadii; ++k, radius *= kRadiusRatio) {
    vote(voters, grid, radius, ballot);
    take_peaks(ballot.gathered, grid, radius, out);
  }
}

// Best first, without the weaker doubles of the same circle.
std::vector<CircleCandidate> without_doubles(std::vector<CircleCandidate> all, std::size_t most) {
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.score > b.score; });
  std::vector<CircleCandidate> out;
  for (const CircleCandidate& c : all) {
    const bool known = std::any_of(out.begin(), out.end(), [&](const CircleCandidate& o) {
      return (o.centre_mm - c.centre_mm).norm() < 0.25 * o.radius_mm &&
             std::abs(std::log(o.radius_mm / c.radius_mm)) < 0.16;
    });
    if (!known) out.push_back(c);
    if (out.size() == most) break;
  }
  return out;
}

}  // namespace

std::vector<CircleCandidate> search_circles(const Picture::Pixels& pixels, const Plane& plane, double z,
                                            const std::vector<std::vector<PixelPoint>>& covered,
                                            std::size_t most) {
  const int side = std::max(pixels.grey.cols, pixels.grey.rows);
  int factor = 1;
  while (side / factor > kBaseSide * 3 / 2) factor *= 2;
  const Point2 middle(0.5 * pixels.grey.cols, 0.5 * pixels.grey.rows);
  const double mm_per_px = plane.mm_per_px(middle, z);
  std::vector<CircleCandidate> all;
  if (mm_per_px <= 0) return all;
  const double largest = 0.48 * std::min(pixels.grey.cols, pixels.grey.rows);
  Copy copy;
  for (; kLowRadius * factor < largest && side / factor > 40; factor *= 2) {
    copy = copy_of(pixels, factor, copy);
    search_octave(copy, plane, z, covered, kLowRadius * factor * mm_per_px, all);
  }
  return without_doubles(std::move(all), most);
}

}  // namespace spile::vision
