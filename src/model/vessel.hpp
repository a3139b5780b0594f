// The craft whose openings are accounted for. Heights are measured from the waterline at rest, mm, up
// positive.
#pragma once

#include <optional>
#include <string>

namespace spile::model {

enum class VesselType { SailMonohull, SailMultihull, Power };
enum class HullConstruction { Unknown, SingleSkin, Sandwich, Timber, Metal };

struct Vessel {
  std::string name;
  VesselType type = VesselType::SailMonohull;
  HullConstruction construction = HullConstruction::Unknown;
  std::optional<double> length_mm;  // hull length
  std::optional<double> beam_mm;
  std::optional<double> draught_mm;
  std::optional<double> freeboard_mm;  // sheer above the waterline at rest, amidships
  double loaded_sinkage_mm = 0;        // how much deeper she floats fully laden; >= 0
  std::optional<double> heel_deg;      // worst heel; absent: the default for the type, from the tables
  std::optional<double> trim_deg;      // worst trim, bow down or stern down, >= 0; absent: none reckoned with
  std::string built;                   // year or period, free text
  std::string notes;
};

}  // namespace spile::model
