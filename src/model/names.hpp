// The one spelling of every enumeration: as stored in the logbook and in JSON ("single-skin"), and as people
// read it.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "model/measurement.hpp"
#include "model/opening.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"

namespace spile::model {

template <class E>
struct Name {
  E value;
  std::string_view key;    // stable, lower-case, hyphens
  std::string_view label;  // for people
};

// Every value of E in order of declaration.
template <class E>
[[nodiscard]] std::span<const Name<E>> names();

template <>
std::span<const Name<VesselType>> names();
template <>
std::span<const Name<HullConstruction>> names();
template <>
std::span<const Name<Side>> names();
template <>
std::span<const Name<Reach>> names();
template <>
std::span<const Name<Afloat>> names();
template <>
std::span<const Name<Seen>> names();
template <>
std::span<const Name<Condition>> names();
template <>
std::span<const Name<Waterline>> names();
template <>
std::span<const Name<ValveState>> names();
template <>
std::span<const Name<Backing>> names();
template <>
std::span<const Name<Plug>> names();
template <>
std::span<const Name<Quantity>> names();
template <>
std::span<const Name<Method>> names();

template <class E>
[[nodiscard]] std::string_view key(E value) {
  for (const auto& n : names<E>()) {
    if (n.value == value) return n.key;
  }
  return {};
}

template <class E>
[[nodiscard]] std::string_view label(E value) {
  for (const auto& n : names<E>()) {
    if (n.value == value) return n.label;
  }
  return {};
}

template <class E>
[[nodiscard]] std::optional<E> from_key(std::string_view text) {
  for (const auto& n : names<E>()) {
    if (n.key == text) return n.value;
  }
  return std::nullopt;
}

[[nodiscard]] std::string_view unit_of(Quantity quantity);  // "mm", "%", "mm²", or "" for a meter's own scale

}  // namespace spile::model
