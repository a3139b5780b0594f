#include "vision/placing.hpp"

#include <algorithm>

namespace spile::vision {

double placing_px(const Request& request, const PictureInfo& info) {
  constexpr double kUsualPx = 4, kOfSide = 0.001;
  return request.placed_px.value_or(std::max(kUsualPx, kOfSide * std::max(info.width_px, info.height_px)));
}

}  // namespace spile::vision
