// A crack traced by hand in a photo, as a record of the logbook.
#include "app/compare_photos.hpp"

namespace spile::app {

model::Measurement crack_record(const vision::TracedLength& length,
                                const std::vector<vision::PixelPoint>& points, const SurveyPhoto& photo,
                                model::OpeningId opening) {
  model::Measurement m;
  m.opening = opening;
  m.survey = photo.survey.id;
  m.photo = photo.view.photo.id;
  m.quantity = model::Quantity::CrackLength;
  m.value = length.length_mm;
  m.u95 = length.u95_mm;
  m.method = model::Method::PhotoByHand;
  m.instrument = vision::engine_name();
  m.budget = length.budget;
  m.trace.emplace();
  m.trace->reference_kind = length.reference_kind;
  m.trace->reference_outline = length.reference_outline;
  m.trace->lens = length.lens;
  m.trace->by_hand = points;
  return m;
}

}  // namespace spile::app
