// One id type per kind of record, so that a photo's id cannot be taken for an opening's.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>

namespace spile::model {

template <class Record>
struct Id {
  std::int64_t value = 0;  // 0: not stored yet
  [[nodiscard]] bool stored() const { return value != 0; }
  friend auto operator<=>(Id, Id) = default;
};

using OpeningId = Id<struct Opening>;
using FittingId = Id<struct Fitting>;
using SurveyId = Id<struct Survey>;
using ObservationId = Id<struct Observation>;
using PhotoId = Id<struct Photo>;
using PhotoUseId = Id<struct PhotoUse>;
using MeasurementId = Id<struct Measurement>;
using RunId = Id<struct Run>;
using CameraProfileId = Id<struct CameraProfile>;

}  // namespace spile::model

template <class Record>
struct std::hash<spile::model::Id<Record>> {
  std::size_t operator()(spile::model::Id<Record> id) const noexcept {
    return std::hash<std::int64_t>{}(id.value);
  }
};
