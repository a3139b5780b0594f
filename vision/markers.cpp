#include "vision/markers.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/aruco.hpp>
#include <opencv2/imgproc.hpp>
#include <set>

namespace spile::vision {
namespace {

constexpr int kIds = 4;

using Quad = std::vector<cv::Point2f>;

struct LevelImage {
  const cv::Mat* grey = nullptr;
  double scale = 1, shift = 0;  // full = scale * level + shift
};

LevelImage image_of(const Picture::Pixels& pixels, Level level) {
  switch (level) {
    case Level::Quarter:
      return {&pixels.quarter(), 4, 1.5};
    case Level::Half:
      return {&pixels.half(), 2, 0.5};
    case Level::Full:
      break;
  }
  return {&pixels.grey, 1, 0};
}

cv::Ptr<cv::aruco::DetectorParameters> parameters() {
  auto p = cv::aruco::DetectorParameters::create();
  p->adaptiveThreshWinSizeMin = 5;
  p->adaptiveThreshWinSizeMax = 25;
  p->adaptiveThreshWinSizeStep = 20;
  p->minMarkerPerimeterRate = 0.04;
  p->cornerRefinementMethod = cv::aruco::CORNER_REFINE_NONE;
  return p;
}

// The cells of a quad seen square-on, black 0 and white 1, borders included; empty when it is all one tone.
cv::Mat cells_of(const cv::Mat& grey, const Quad& quad, int cells) {
  constexpr int kCell = 6;
  const float side = static_cast<float>(cells * kCell);
  const std::vector<cv::Point2f> square{{0, 0}, {side, 0}, {side, side}, {0, side}};
  cv::Mat flat, bits(cells, cells, CV_8UC1);
  cv::warpPerspective(grey, flat, cv::getPerspectiveTransform(quad, square),
                      cv::Size(cells * kCell, cells * kCell));
  cv::Scalar mean, deviation;
  cv::meanStdDev(flat, mean, deviation);
  if (deviation[0] < 8) return {};
  cv::threshold(flat, flat, 0, 1, cv::THRESH_BINARY | cv::THRESH_OTSU);
  for (int y = 0; y < cells; ++y) {
    for (int x = 0; x < cells; ++x) {
      const cv::Rect inner(x * kCell + 1, y * kCell + 1, kCell - 2, kCell - 2);
      bits.at<std::uint8_t>(y, x) = 2 * cv::countNonZero(flat(inner)) > inner.area() ? 1 : 0;
    }
  }
  return bits;
}

bool border_is_black(const cv::Mat& bits) {
  const cv::Rect inside(1, 1, bits.cols - 2, bits.rows - 2);
  return cv::countNonZero(bits) - cv::countNonZero(bits(inside)) <= bits.cols / 3;
}

std::optional<Marker> identified(const cv::Mat& grey, const Quad& quad,
                                 const cv::aruco::Dictionary& dictionary) {
  const cv::Mat bits = cells_of(grey, quad, dictionary.markerSize + 2);
  if (bits.empty() || !border_is_black(bits)) return std::nullopt;
  int id = -1, rotation = 0;
  const cv::Mat inner = bits(cv::Rect(1, 1, dictionary.markerSize, dictionary.markerSize)).clone();
  if (!dictionary.identify(inner, id, rotation, 0.6) || id >= kIds) return std::nullopt;
  Marker marker;
  marker.id = id;
  for (int i = 0; i < 4; ++i) {
    const cv::Point2f& p = quad[static_cast<std::size_t>((i + 4 - rotation) % 4)];
    marker.corners[static_cast<std::size_t>(i)] = Point2(p.x, p.y);
  }
  return marker;
}

std::size_t distinct(const std::vector<Marker>& markers) {
  std::set<int> ids;
  for (const Marker& m : markers) ids.insert(m.id);
  return ids.size();
}

}  // namespace

double Marker::side() const {
  double longest = 0;
  for (std::size_t i = 0; i < 4; ++i) longest = std::max(longest, (corners[i] - corners[(i + 1) % 4]).norm());
  return longest;
}

cv::Mat marker_cells(MarkerFamily family, int id) {
  const auto dictionary = cv::aruco::getPredefinedDictionary(
      family == MarkerFamily::Aruco4x4 ? cv::aruco::DICT_4X4_50 : cv::aruco::DICT_APRILTAG_36h11);
  const int size = dictionary->markerSize;
  cv::Mat cells(size + 2, size + 2, CV_8UC1, cv::Scalar(0));
  const cv::Mat inner =
      cv::aruco::Dictionary::getBitsFromByteList(dictionary->bytesList.rowRange(id, id + 1), size);
  inner.copyTo(cells(cv::Rect(1, 1, size, size)));
  return cells;
}

MarkersSeen find_markers(const Picture::Pixels& pixels, Level level) {
  const LevelImage image = image_of(pixels, level);
  const auto aruco = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50);
  const auto april = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_APRILTAG_36h11);
  std::vector<Quad> quads, others;
  std::vector<int> ids;
  cv::aruco::detectMarkers(*image.grey, aruco, quads, ids, parameters(), others);
  std::vector<Marker> first, second;
  for (std::size_t i = 0; i < quads.size(); ++i) {
    if (ids[i] >= kIds) continue;
    Marker marker;
    marker.id = ids[i];
    for (std::size_t k = 0; k < 4; ++k) marker.corners[k] = Point2(quads[i][k].x, quads[i][k].y);
    first.push_back(marker);
  }
  if (distinct(first) < kIds) {
    for (const Quad& quad : others) {
      if (const auto marker = identified(*image.grey, quad, *april)) second.push_back(*marker);
    }
  }
  MarkersSeen seen;
  const bool april_wins = distinct(second) > distinct(first);
  seen.family = april_wins ? MarkerFamily::AprilTag36h11 : MarkerFamily::Aruco4x4;
  seen.markers = april_wins ? std::move(second) : std::move(first);
  for (Marker& marker : seen.markers) {
    for (Point2& corner : marker.corners) corner = image.scale * corner + Point2(image.shift, image.shift);
  }
  return seen;
}

}  // namespace spile::vision
