#include "figures/hull_form.hpp"

#include <algorithm>
#include <cmath>

namespace spile::figures {

namespace {

constexpr double kUsualLength = 9000;

double taken(const std::optional<double>& given, double usual, const char* name,
             std::vector<std::string>& missing) {
  if (given && *given > 0) return *given;
  missing.emplace_back(name);
  return usual;
}

}  // namespace

HullForm::HullForm(const model::Vessel& vessel, double needed_length_mm) : type_(vessel.type) {
  const bool power = type_ == model::VesselType::Power;
  length_ = taken(vessel.length_mm, std::max(kUsualLength, needed_length_mm * 1.05), "length", missing_);
  beam_ = taken(vessel.beam_mm, length_ * (two_hulls() ? 0.55 : 0.33), "beam", missing_);
  draught_ = taken(vessel.draught_mm,
                   length_ * (power         ? 0.09
                              : two_hulls() ? 0.10
                                            : 0.17),
                   "draught", missing_);
  freeboard_ = taken(vessel.freeboard_mm, length_ * 0.11, "freeboard", missing_);
}

double HullForm::half_breadth(double station) const {
  const double s = std::clamp(station / length_, 0.0, 1.0);
  const bool power = type_ == model::VesselType::Power;
  const double widest = power ? 0.55 : 0.6, transom = power ? 0.94 : 0.72;
  if (s < widest) return beam_ / 2 * std::pow(std::sin(s / widest * 1.5707963), power ? 0.65 : 0.8);
  const double aft = (s - widest) / (1 - widest);
  return beam_ / 2 * (1 - (1 - transom) * aft * aft);
}

double HullForm::sheer(double station) const {
  // Lowest at two thirds, higher at the bow: about a quarter more there, five hundredths more aft.
  const double s = station / length_, from_lowest = s - 0.66;
  return freeboard_ * (1 + (from_lowest < 0 ? 0.6 : 0.45) * from_lowest * from_lowest);
}

double HullForm::body_depth() const {
  const double share = type_ == model::VesselType::SailMonohull ? 0.32 : 0.85;
  return std::max(draught_ * share, length_ * 0.02);
}

double HullForm::bottom(double station) const {
  const double s = station / length_;
  // Rises to the waterline a little aft of the stem and near the transom.
  const double fore = 0.05, aft = type_ == model::VesselType::Power ? 1.25 : 0.97;
  const double t = (s - fore) / (aft - fore);
  return -body_depth() * 4 * t * (1 - t);
}

double HullForm::section_half_breadth(double height) const {
  const double waterline = 0.93 * beam_ / 2;
  if (height >= 0) return waterline + (beam_ / 2 - waterline) * std::min(height / freeboard_, 1.0);
  const double t = std::min(-height / body_depth(), 1.0);
  return waterline * std::pow(1 - std::pow(t, 2.2), 1 / 2.2);
}

std::string HullForm::assumed() const {
  if (missing_.empty()) return {};
  std::string names;
  for (std::size_t i = 0; i < missing_.size(); ++i)
    names += (i == 0 ? "" : i + 1 == missing_.size() ? " and " : ", ") + missing_[i];
  names[0] = static_cast<char>(names[0] - 'a' + 'A');
  return names + (missing_.size() == 1 ? " is" : " are") + " not recorded: drawn as is usual.";
}

}  // namespace spile::figures
