// A photo of a flat hull with the printed card and a hole on it, drawn here and not by the engine: OpenCV's
// own markers in a plane, laid into the picture by a pinhole homography, blurred in light, coded by the sRGB
// curve.
#pragma once

#include <array>
#include <cmath>
#include <opencv2/aruco.hpp>
#include <opencv2/calib3d.hpp>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <set>

namespace spile::vision::testing {

struct CardScene {
  int width = 1600, height = 1200;
  double focal = 1250, tilt_deg = 20, azimuth_deg = 40, roll_deg = 10, distance_mm = 260;
  double hole_mm = 38, hole_x = 76, hole_y = 8;  // plane mm, about the card's middle, y up
  double blur_px = 0.9, noise = 2;
  cv::Scalar hull{150, 160, 165}, bore{22, 20, 18};  // BGR, coded
  int dictionary = cv::aruco::DICT_4X4_50;
  double marker_mm = 20, rect_w = 70, rect_h = 45;
  std::set<int> hidden;  // marker ids covered by a hull-coloured patch
  bool card = true, hole = true;
  double sheet_w = 0, sheet_h = 0, sheet_corner = 0;  // a plain rounded sheet about the middle; 0: none
  cv::Scalar sheet{60, 80, 190};
  double aim_x = 28, aim_y = 0;
};

inline cv::Matx33d rotation_about(double x, double y, double z, double angle) {
  cv::Matx33d r;
  cv::Rodrigues(cv::Vec3d(x, y, z) * angle, r);
  return r;
}

// Pixel from plane millimetres (y up).
inline cv::Matx33d homography_of(const CardScene& s) {
  const double rad = CV_PI / 180;
  const cv::Matx33d flip(1, 0, 0, 0, -1, 0, 0, 0, -1);
  const cv::Matx33d r =
      rotation_about(0, 0, 1, s.roll_deg * rad) *
      rotation_about(std::cos(s.azimuth_deg * rad), std::sin(s.azimuth_deg * rad), 0, s.tilt_deg * rad) *
      flip;
  const cv::Vec3d t = cv::Vec3d(0, 0, s.distance_mm) - r * cv::Vec3d(s.aim_x, s.aim_y, 0);
  const cv::Matx33d k(s.focal, 0, 0.5 * (s.width - 1), 0, s.focal, 0.5 * (s.height - 1), 0, 0, 1);
  return k * cv::Matx33d(r(0, 0), r(0, 1), t[0], r(1, 0), r(1, 1), t[1], r(2, 0), r(2, 1), t[2]);
}

inline cv::Point2d pixel_of(const CardScene& s, double x, double y) {
  const cv::Vec3d v = homography_of(s) * cv::Vec3d(x, y, 1);
  return {v[0] / v[2], v[1] / v[2]};
}

// The plane as a picture, 16 px a millimetre, 260 x 200 mm about the card's middle.
constexpr double kTexturePerMm = 16;
constexpr double kTextureW = 260, kTextureH = 200;

inline cv::Point texture_point(double x, double y) {
  return {cvRound((x + kTextureW / 2) * kTexturePerMm), cvRound((kTextureH / 2 - y) * kTexturePerMm)};
}

inline void draw_card(const CardScene& s, cv::Mat& texture) {
  const double margin = s.marker_mm / 2 + 5;
  cv::rectangle(texture, texture_point(-s.rect_w / 2 - margin, s.rect_h / 2 + margin),
                texture_point(s.rect_w / 2 + margin, -s.rect_h / 2 - margin), cv::Scalar(225, 225, 225),
                cv::FILLED);
  const auto dictionary = cv::aruco::getPredefinedDictionary(s.dictionary);
  const int cells = dictionary->markerSize + 2;
  const std::array<cv::Point2d, 4> middle{cv::Point2d(-s.rect_w / 2, s.rect_h / 2),
                                          {s.rect_w / 2, s.rect_h / 2},
                                          {s.rect_w / 2, -s.rect_h / 2},
                                          {-s.rect_w / 2, -s.rect_h / 2}};
  for (int id = 0; id < 4; ++id) {
    const cv::Point corner = texture_point(middle[static_cast<std::size_t>(id)].x - s.marker_mm / 2,
                                           middle[static_cast<std::size_t>(id)].y + s.marker_mm / 2);
    const int side = cvRound(s.marker_mm * kTexturePerMm);
    cv::Mat marker;
    dictionary->drawMarker(id, cells * 8, marker, 1);
    cv::resize(marker, marker, cv::Size(side, side), 0, 0, cv::INTER_NEAREST);
    cv::Mat place = texture(cv::Rect(corner, cv::Size(side, side)));
    for (int y = 0; y < side; ++y) {
      for (int x = 0; x < side; ++x) {
        const bool white = marker.at<std::uint8_t>(y, x) > 127;
        place.at<cv::Vec3b>(y, x) = white ? cv::Vec3b(225, 225, 225) : cv::Vec3b(35, 35, 35);
      }
    }
    if (s.hidden.count(id) > 0) {
      cv::rectangle(texture, corner - cv::Point(80, 80), corner + cv::Point(side + 80, side + 80), s.hull,
                    cv::FILLED);
    }
  }
}

inline void draw_sheet(const CardScene& s, cv::Mat& texture) {
  const double w = s.sheet_w / 2, h = s.sheet_h / 2, r = s.sheet_corner;
  const auto box = [&](double x, double y) {
    cv::rectangle(texture, texture_point(-x, y), texture_point(x, -y), s.sheet, cv::FILLED);
  };
  box(w - r, h);
  box(w, h - r);
  for (const double x : {-w + r, w - r})
    for (const double y : {-h + r, h - r})
      cv::circle(texture, texture_point(x, y), cvRound(r * kTexturePerMm), s.sheet, cv::FILLED);
}

inline double light_of(double coded) {
  const double v = coded / 255;
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

inline double coded_of(double light) {
  return 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * std::pow(light, 1 / 2.4) - 0.055);
}

inline cv::Mat drawn(const CardScene& s, unsigned seed = 1) {
  cv::Mat texture(cvRound(kTextureH * kTexturePerMm), cvRound(kTextureW * kTexturePerMm), CV_8UC3, s.hull);
  if (s.sheet_w > 0) draw_sheet(s, texture);
  if (s.card) draw_card(s, texture);
  if (s.hole) {
    cv::circle(texture, texture_point(s.hole_x, s.hole_y), cvRound(s.hole_mm / 2 * kTexturePerMm), s.bore,
               cv::FILLED);
  }
  // Light, so that averaging and blurring mix it as a lens does.
  cv::Mat curve(1, 256, CV_32FC1);
  for (int i = 0; i < 256; ++i) curve.at<float>(i) = static_cast<float>(light_of(i));
  cv::Mat light(texture.size(), CV_32FC3);
  texture.forEach<cv::Vec3b>([&](const cv::Vec3b& p, const int* at) {
    light.at<cv::Vec3f>(at[0], at[1]) = {curve.at<float>(p[0]), curve.at<float>(p[1]), curve.at<float>(p[2])};
  });
  // Texture pixel (u, v) shows x = u / 16 - 130 mm; twofold supersampling on top of the smoothing by hand.
  const double k = 1 / kTexturePerMm;
  const cv::Matx33d mm_from_texture(k, 0, -kTextureW / 2, 0, -k, kTextureH / 2, 0, 0, 1);
  const cv::Matx33d fine(2, 0, 0.5, 0, 2, 0.5, 0, 0, 1);
  cv::Mat large, picture;
  const cv::Scalar hull_light(light_of(s.hull[0]), light_of(s.hull[1]), light_of(s.hull[2]));
  cv::GaussianBlur(light, light, cv::Size(0, 0), 1.2);
  cv::warpPerspective(light, large, cv::Mat(fine * homography_of(s) * mm_from_texture),
                      cv::Size(2 * s.width, 2 * s.height), cv::INTER_LINEAR, cv::BORDER_CONSTANT, hull_light);
  cv::resize(large, picture, cv::Size(s.width, s.height), 0, 0, cv::INTER_AREA);
  cv::GaussianBlur(picture, picture, cv::Size(0, 0), s.blur_px);
  cv::RNG random(seed);
  cv::Mat out(picture.size(), CV_8UC3);
  for (int y = 0; y < picture.rows; ++y) {
    for (int x = 0; x < picture.cols; ++x) {
      const cv::Vec3f& p = picture.at<cv::Vec3f>(y, x);
      for (int c = 0; c < 3; ++c) {
        out.at<cv::Vec3b>(y, x)[c] =
            cv::saturate_cast<std::uint8_t>(coded_of(static_cast<double>(p[c])) + random.gaussian(s.noise));
      }
    }
  }
  return out;
}

}  // namespace spile::vision::testing
