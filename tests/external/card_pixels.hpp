// A drawn card scene as the engine's pixels.
#pragma once

#include <memory>

#include "vision/card.hpp"
#include "vision/card_scene.hpp"

namespace spile::external {

inline std::unique_ptr<vision::Picture::Pixels> pixels_of(const vision::testing::CardScene& scene) {
  const cv::Mat picture = vision::testing::drawn(scene);
  auto owned = std::make_unique<vision::Picture::Pixels>();
  vision::Picture::Pixels& pixels = *owned;
  cv::Mat ycc;
  cv::cvtColor(picture, ycc, cv::COLOR_BGR2YCrCb);
  std::vector<cv::Mat> planes;
  cv::split(ycc, planes);
  pixels.grey = planes[0];
  const cv::Size half((picture.cols + 1) / 2, (picture.rows + 1) / 2);
  cv::resize(planes[1], pixels.cr, half, 0, 0, cv::INTER_AREA);
  cv::resize(planes[2], pixels.cb, half, 0, 0, cv::INTER_AREA);
  pixels.info.width_px = picture.cols;
  pixels.info.height_px = picture.rows;
  pixels.info.focal_px = scene.focal;
  return owned;
}

}  // namespace spile::external
