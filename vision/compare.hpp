// Two photos of one opening, seasons apart: what on the hull round it has changed. Lengths are mm in the
// plane of the hull; pixels are of the later photo, upright, origin at the top-left pixel's centre.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "vision/measure.hpp"

namespace spile::vision {

enum class Season { Earlier, Later };

struct CompareRequest {
  ReferenceRequest earlier_reference = AutoReference{}, later_reference = AutoReference{};
};

struct Change {
  std::string kind;  // crack, stain, chip, other
  PixelPoint centre_px;
  std::optional<double> length_mm;         // of a crack, along it
  std::optional<double> area_mm2;          // of a stain or chip, in the later photo
  std::optional<double> earlier_area_mm2;  // of the same stain before, where it was made out
  double u95 = 0;                          // of the length or area given
  std::vector<PixelPoint> outline_px;      // the crack's course, or the closed outline of the rest
  std::vector<PixelPoint> earlier_px;      // the same points in the earlier photo
};

struct Comparison {
  bool aligned = false;
  double residual_px = 0;  // what alignment leaves between the two, from the scatter of patches of hull
  std::vector<Change> changes;
  double earlier_mm_per_px = 0, later_mm_per_px = 0;  // at the opening; 0: not aligned
  struct Laid;  // how either photo lies on the hull, for vision/seasons.hpp
  std::shared_ptr<const Laid> laid;
  std::optional<Refusal> refused;
};

// What is being done, for people, and how many of so many steps are behind.
using StageTold = std::function<void(const std::string& stage, int done, int total)>;

// Refusals: those of either photo's reference or opening, and not-aligned.
[[nodiscard]] Comparison compare(const Picture& earlier, const Picture& later, const CompareRequest& request,
                                 const StopAsked& stop = {}, const StageTold& told = {});

}  // namespace spile::vision
