#include "vision/exposure.hpp"

#include <fmt/format.h>

namespace spile::vision {
namespace {

constexpr double kBurntOut = 250, kBlack = 8;
// Below these, what is hidden is hardly what was looked for: a bright sky in a corner, the depth of a bore.
constexpr double kMuchBurntOut = 0.08, kMuchBlack = 0.5;

}  // namespace

Exposure exposure_of(const Picture::Pixels& pixels) {
  const cv::Mat& small = pixels.quarter();
  const auto area = static_cast<double>(small.total());
  return {cv::countNonZero(small >= kBurntOut) / area, cv::countNonZero(small <= kBlack) / area};
}

std::string light_advice(const Exposure& exposure) {
  if (exposure.burnt_out > kMuchBurntOut) {
    return fmt::format(
        " {:.0f} % of the photo is burnt out by glare, and nothing can be seen there: turn the lamp or flash "
        "aside, or "
        "shade the hull, and take it again.",
        100 * exposure.burnt_out);
  }
  if (exposure.black > kMuchBlack) {
    return fmt::format(
        " {:.0f} % of the photo is black: bring more light, evenly from the side, and take it again.",
        100 * exposure.black);
  }
  return {};
}

}  // namespace spile::vision
