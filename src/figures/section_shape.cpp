#include "figures/section_shape.hpp"

#include <algorithm>
#include <cmath>

namespace spile::figures {

namespace {

constexpr int kSteps = 40;
constexpr double kStraight = 1, kBox = 8;

double station_of(const HullForm& form, const OpeningSection& section) {
  const double widest = form.sails() ? 0.6 : 0.55;
  return std::clamp(section.from_bow.value_or(form.length() * widest), 0.0, form.length());
}

}  // namespace

SectionShape::SectionShape(const HullForm& form, const OpeningSection& section)
    : sheer_(form.sheer(station_of(form, section))),
      depth_(std::max(-form.bottom(station_of(form, section)), 0.25 * form.body_depth())),
      at_sheer_(std::max(form.half_breadth(station_of(form, section)), 0.15 * form.beam())),
      at_water_(0.93 * at_sheer_) {
  pass_through(section.height, section.half_breadth);
}

void SectionShape::pass_through(double height, double out) {
  sheer_ = std::max(sheer_, height * 1.1);
  if (out <= 0) {
    if (height < 0) depth_ = -height;
    return;
  }
  at_sheer_ = std::max(at_sheer_, out);
  at_water_ = std::min(at_water_, at_sheer_);
  if (height >= 0) {
    const double up = height / sheer_;
    at_water_ = (out - at_sheer_ * up) / (1 - up);
    // Farther in than a flared side could be: wall-sided there.
    if (at_water_ < 0.5 * at_sheer_) at_water_ = at_sheer_ = out;
    return;
  }
  if (-height > 0.95 * depth_) depth_ = -height / 0.95;
  // Even a box is no wider than this so far down.
  const double fullest = std::pow(1 - std::pow(-height / depth_, kBox), 1 / kBox);
  if (out > fullest * at_water_) {
    at_water_ = out / fullest;
    at_sheer_ = std::max(at_sheer_, at_water_);
  }
  const double straight = at_water_ * (1 + height / depth_);
  if (out <= straight) {
    fullness_ = kStraight;
    at_water_ *= out / straight;
    return;
  }
  double least = kStraight, most = kBox;
  for (int i = 0; i < kSteps; ++i) {
    fullness_ = (least + most) / 2;
    (half_breadth(height) < out ? least : most) = fullness_;
  }
}

double SectionShape::half_breadth(double height) const {
  if (height >= 0) return std::lerp(at_water_, at_sheer_, std::min(height / sheer_, 1.0));
  const double t = std::min(-height / depth_, 1.0);
  return at_water_ * std::pow(1 - std::pow(t, fullness_), 1 / fullness_);
}

std::vector<At> SectionShape::outline() const {
  std::vector<At> low{{half_breadth(sheer_), sheer_}, {half_breadth(0), 0}};
  for (int i = 1; i <= kSteps; ++i) {
    // Closer together toward the keel, where the curve turns.
    const double down = depth_ * std::sin(i * 0.5 * std::acos(-1.0) / kSteps);
    low.push_back({half_breadth(-down), -down});
  }
  std::vector<At> all = low;
  for (auto p = low.rbegin(); p != low.rend(); ++p) all.push_back({-p->x, p->y});
  return all;
}

}  // namespace spile::figures
