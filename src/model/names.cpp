#include "model/names.hpp"

#include <array>

namespace spile::model {

template <>
std::span<const Name<VesselType>> names() {
  static constexpr std::array kNames = std::to_array<Name<VesselType>>({
      {VesselType::SailMonohull, "sail-monohull", "Sailing monohull"},
      {VesselType::SailMultihull, "sail-multihull", "Sailing multihull"},
      {VesselType::Power, "power", "Power craft"},
  });
  return kNames;
}

template <>
std::span<const Name<HullConstruction>> names() {
  static constexpr std::array kNames = std::to_array<Name<HullConstruction>>({
      {HullConstruction::Unknown, "unknown", "Not known"},
      {HullConstruction::SingleSkin, "single-skin", "Single skin (solid laminate)"},
      {HullConstruction::Sandwich, "sandwich", "Sandwich (cored)"},
      {HullConstruction::Timber, "timber", "Timber"},
      {HullConstruction::Metal, "metal", "Metal"},
  });
  return kNames;
}

template <>
std::span<const Name<Side>> names() {
  static constexpr std::array kNames = std::to_array<Name<Side>>({
      {Side::Port, "port", "Port"},
      {Side::Starboard, "starboard", "Starboard"},
      {Side::Centreline, "centreline", "Centreline"},
  });
  return kNames;
}

template <>
std::span<const Name<Reach>> names() {
  static constexpr std::array kNames = std::to_array<Name<Reach>>({
      {Reach::Unknown, "unknown", "Not known"},
      {Reach::Readily, "readily", "At once, without tools"},
      {Reach::WithTools, "with-tools", "With tools"},
      {Reach::ByDismantling, "by-dismantling", "Only by taking structure apart"},
  });
  return kNames;
}

template <>
std::span<const Name<Afloat>> names() {
  static constexpr std::array kNames = std::to_array<Name<Afloat>>({
      {Afloat::Ashore, "ashore", "Ashore"},
      {Afloat::Afloat, "afloat", "Afloat"},
  });
  return kNames;
}

template <>
std::span<const Name<Seen>> names() {
  static constexpr std::array kNames = std::to_array<Name<Seen>>({
      {Seen::NotLookedAt, "not-looked-at", "Not looked at"},
      {Seen::ToBeConfirmed, "to-be-confirmed", "To be confirmed"},
      {Seen::Looked, "looked", "Looked at"},
  });
  return kNames;
}

template <>
std::span<const Name<Condition>> names() {
  static constexpr std::array kNames = std::to_array<Name<Condition>>({
      {Condition::Unknown, "unknown", "Not known"},
      {Condition::Sound, "sound", "Sound"},
      {Condition::Worn, "worn", "Worn, watch it"},
      {Condition::Poor, "poor", "Poor, renew it"},
      {Condition::Failed, "failed", "Failed"},
  });
  return kNames;
}

template <>
std::span<const Name<Waterline>> names() {
  static constexpr std::array kNames = std::to_array<Name<Waterline>>({
      {Waterline::Unknown, "unknown", "Not known"},
      {Waterline::Below, "below-waterline", "Below the waterline"},
      {Waterline::WettedWhenHeeled, "wetted-when-heeled", "Wetted when heeled"},
      {Waterline::Above, "above", "Above the waterline"},
  });
  return kNames;
}

template <>
std::span<const Name<ValveState>> names() {
  static constexpr std::array kNames = std::to_array<Name<ValveState>>({
      {ValveState::Unknown, "unknown", "Not known"},
      {ValveState::None, "none", "No valve"},
      {ValveState::Works, "works", "Works freely"},
      {ValveState::Stiff, "stiff", "Stiff"},
      {ValveState::Seized, "seized", "Seized"},
  });
  return kNames;
}

template <>
std::span<const Name<Backing>> names() {
  static constexpr std::array kNames = std::to_array<Name<Backing>>({
      {Backing::Unknown, "unknown", "Not known"},
      {Backing::None, "none", "No backing block"},
      {Backing::Present, "present", "Backing block fitted"},
  });
  return kNames;
}

template <>
std::span<const Name<Plug>> names() {
  static constexpr std::array kNames = std::to_array<Name<Plug>>({
      {Plug::Unknown, "unknown", "Not known"},
      {Plug::None, "none", "No plug"},
      {Plug::Tied, "tied", "Plug tied beside it"},
  });
  return kNames;
}

template <>
std::span<const Name<Quantity>> names() {
  static constexpr std::array kNames = std::to_array<Name<Quantity>>({
      {Quantity::HoleDiameter, "hole-diameter", "Hole diameter"},
      {Quantity::HoleOvality, "hole-ovality", "Hole out of round"},
      {Quantity::LaminateThickness, "laminate-thickness", "Laminate thickness"},
      {Quantity::LayerThickness, "layer-thickness", "Layer thickness"},
      {Quantity::FlangeDiameter, "flange-diameter", "Flange diameter"},
      {Quantity::BoreDiameter, "bore-diameter", "Bore of the fitting"},
      {Quantity::BackingThickness, "backing-thickness", "Backing block thickness"},
      {Quantity::BackingWidth, "backing-width", "Backing block width"},
      {Quantity::EdgeDamage, "edge-damage", "Deepest chip at the edge"},
      {Quantity::MoistureReading, "moisture-reading", "Moisture meter reading"},
      {Quantity::CrackLength, "crack-length", "Crack length"},
      {Quantity::StainArea, "stain-area", "Stain area"},
  });
  return kNames;
}

template <>
std::span<const Name<Method>> names() {
  static constexpr std::array kNames = std::to_array<Name<Method>>({
      {Method::PhotoAuto, "photo-auto", "Photo"},
      {Method::PhotoByHand, "photo-by-hand", "Photo, corrected by hand"},
      {Method::Caliper, "caliper", "Caliper"},
      {Method::UltrasonicGauge, "ultrasonic-gauge", "Ultrasonic gauge"},
      {Method::SteelRule, "steel-rule", "Steel rule"},
      {Method::Tape, "tape", "Tape measure"},
      {Method::Estimate, "estimate", "Estimate by eye"},
  });
  return kNames;
}

std::string_view unit_of(Quantity quantity) {
  if (quantity == Quantity::HoleOvality) return "%";
  if (quantity == Quantity::MoistureReading) return "";
  if (quantity == Quantity::StainArea) return "mm²";
  return "mm";
}

}  // namespace spile::model
