// Which two photos of an opening are compared, and what is said of them.
#include "app/compare_photos.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace spile::app {
namespace {

using testing::HasSubstr;

model::Survey survey(std::int64_t id, const char* date) {
  model::Survey s;
  s.id = model::SurveyId{id};
  s.date = date;
  return s;
}

PhotoView photo(std::int64_t id, std::int64_t in_survey, const char* finding) {
  PhotoView view;
  view.use.id = model::PhotoUseId{id};
  view.use.survey = model::SurveyId{in_survey};
  view.use.finding = finding;
  view.photo.id = model::PhotoId{id};
  return view;
}

std::vector<SurveyPhoto> photos_of(const OpeningView& opening) {
  Snapshot snapshot;
  snapshot.surveys = {survey(1, "2024-04-01"), survey(2, "2025-04-01"), survey(3, "2026-04-01")};
  return photos_by_survey(snapshot, opening);
}

TEST(PairToCompare, IsOfTheLastTwoSurveysWithPhotosAndShowsTheHole) {
  OpeningView opening;
  opening.other_photos = {photo(1, 1, "hole 38.1 ± 0.1 mm"), photo(2, 1, "not measured: too dark")};
  opening.photos = {photo(3, 3, "edge 14.8 ± 0.3 mm"), photo(4, 3, "hole 38.2 ± 0.1 mm"),
                    photo(5, 3, "not measured: too blurred")};
  const auto photos = photos_of(opening);
  const auto pair = pair_to_compare(photos);
  ASSERT_TRUE(pair);
  EXPECT_EQ(photos[pair->first].view.use.id.value, 1);
  EXPECT_EQ(photos[pair->second].view.use.id.value, 4);
  EXPECT_EQ(photos[pair->first].survey.date, "2024-04-01");
}

TEST(PairToCompare, NeedsTwoSurveys) {
  OpeningView opening;
  EXPECT_FALSE(pair_to_compare(photos_of(opening)));
  opening.photos = {photo(3, 3, "hole 1"), photo(4, 3, "hole 2")};
  EXPECT_FALSE(pair_to_compare(photos_of(opening)));
}

vision::TracedLength traced(double mm, double u95) {
  vision::TracedLength out;
  out.length_mm = mm;
  out.u95_mm = u95;
  return out;
}

// The difference of two independent lengths: JCGM 100:2008, 5.1.2; by hand sqrt(0.3^2 + 0.4^2) = 0.5.
TEST(Growth, IsSaidWhereItIsMoreThanItsInterval) {
  EXPECT_EQ(growth(traced(9, 0.3), traced(22, 0.4)), "grown by 13.00 ± 0.50 mm");
  EXPECT_THAT(growth(traced(9, 0.3), traced(9.4, 0.4)), HasSubstr("no growth beyond what tracing can tell"));
  EXPECT_THAT(growth(traced(22, 0.3), traced(9, 0.4)), HasSubstr("check both traces"));
}

TEST(ChangeWords, NameKindSizeAndInterval) {
  vision::Change crack;
  crack.kind = "crack";
  crack.length_mm = 18.24;
  crack.u95 = 0.99;
  EXPECT_EQ(sentence(crack), "new crack, 18.24 ± 0.99 mm long");
  vision::Change stain;
  stain.kind = "stain";
  stain.area_mm2 = 144;
  stain.earlier_area_mm2 = 62;
  stain.u95 = 13;
  EXPECT_EQ(title_of(stain), "Stain, grown");
  EXPECT_EQ(sentence(stain), "stain, grown, 144 ± 13 mm², was about 62 mm²");
  vision::Comparison comparison;
  EXPECT_EQ(summary(comparison), "No change found");
  comparison.changes = {crack, stain};
  EXPECT_EQ(summary(comparison), "2 changes");
}

TEST(CrackRecord, BelongsToTheSurveyAndPhotoItWasTracedIn) {
  OpeningView opening;
  opening.photos = {photo(4, 3, "hole 38.2 ± 0.1 mm")};
  const auto photos = photos_of(opening);
  const auto m = crack_record(traced(22, 0.6), {{1, 2}, {3, 4}}, photos[0], model::OpeningId{7});
  EXPECT_EQ(m.quantity, model::Quantity::CrackLength);
  EXPECT_EQ(m.method, model::Method::PhotoByHand);
  EXPECT_EQ(m.survey.value, 3);
  EXPECT_EQ(m.photo->value, 4);
  EXPECT_EQ(m.opening.value, 7);
  EXPECT_DOUBLE_EQ(m.value, 22);
  EXPECT_DOUBLE_EQ(m.u95, 0.6);
  ASSERT_TRUE(m.trace);
  EXPECT_EQ(m.trace->by_hand.size(), 2U);
}

}  // namespace
}  // namespace spile::app
