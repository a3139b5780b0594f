// Photos into a logbook: what comes in, what is told, what is measured, and what a person corrects by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <stdexcept>

#include "app/logbook_json.hpp"
#include "app/photos.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

namespace fs = std::filesystem;
using model::Method;
using model::Quantity;
using test::must;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

class Import : public testing::Test {
 protected:
  test::TempFolder folder_;
  Session session_ = test::logbook_with_opening(folder_ / "heron");

  ImportOptions unmeasured() const {
    ImportOptions options;
    options.measure = false;
    return options;
  }
  static std::string numbered(int number) { return "photos/IMG_" + std::to_string(number) + ".png"; }
  const OpeningView& opening() const { return *session_.snapshot().find("P-03"); }
  std::optional<model::Measurement> standing(Quantity quantity) const {
    for (const auto& m : opening().measurements)
      if (m.quantity == quantity) return m;
    return std::nullopt;
  }
};

TEST_F(Import, EachPhotoIsOneEditInNaturalOrder) {
  fs::create_directories(folder_ / "photos");
  test::draw(folder_ / "photos/IMG_10.png", {.hole_mm = 0, .shade = 0.5});
  test::draw(folder_ / "photos/IMG_9.png", {.hole_mm = 0, .shade = 0.6});
  const auto before = must(session_.history()).size();
  const auto outcomes = import_photos(session_, {folder_ / "photos"}, unmeasured());
  ASSERT_THAT(outcomes, SizeIs(2));
  EXPECT_EQ(outcomes[0].file.filename(), "IMG_9.png");
  EXPECT_EQ(outcomes[1].file.filename(), "IMG_10.png");
  EXPECT_TRUE(outcomes[0].use && outcomes[1].use);
  EXPECT_EQ(must(session_.history()).size(), before + 2);
  EXPECT_EQ(session_.snapshot().undo_name, "Import IMG_10.png");
  ASSERT_THAT(session_.snapshot().unfiled, SizeIs(2));
  must(session_.undo());
  EXPECT_THAT(session_.snapshot().unfiled, SizeIs(1));
}

TEST_F(Import, IntoAnEmptyLogbookItBeginsASurvey) {
  auto fresh = must(Session::create(folder_ / "new", test::standing_clock()));
  const auto photo = test::draw(folder_ / "a.png");
  const auto outcomes = import_photos(fresh, {photo}, unmeasured());
  ASSERT_TRUE(outcomes.at(0).use) << outcomes[0].error->sentence();
  ASSERT_THAT(fresh.snapshot().surveys, SizeIs(1));
  EXPECT_EQ(fresh.snapshot().surveys[0].date, "2026-04-12");
}

TEST_F(Import, TheOriginalIsKeptByteForByte) {
  const auto photo = test::draw(folder_ / "a.png");
  static_cast<void>(import_photos(session_, {photo}, unmeasured()));
  const auto& record = session_.snapshot().unfiled.at(0).photo;
  EXPECT_EQ(record.original_name, "a.png");
  EXPECT_EQ(record.media_type, "image/png");
  EXPECT_EQ(record.width_px, 1600);
  EXPECT_EQ(record.height_px, 1000);
  std::vector<std::string> kept;
  for (const auto& entry : fs::recursive_directory_iterator(session_.snapshot().folder / "photos"))
    if (entry.is_regular_file()) kept.push_back(test::read_text(entry.path()));
  EXPECT_THAT(kept, ElementsAre(test::read_text(photo)));
}

TEST_F(Import, TheSameBytesInOneSurveyAreLinkedNotCopied) {
  const auto photo = test::draw(folder_ / "a.png");
  fs::copy_file(photo, folder_ / "copy of a.png");
  const auto first = import_photos(session_, {photo}, unmeasured());
  const auto edits = must(session_.history()).size();
  const auto again = import_photos(session_, {folder_ / "copy of a.png"}, unmeasured());
  ASSERT_TRUE(again.at(0).use);
  EXPECT_TRUE(again[0].already_there);
  EXPECT_EQ(again[0].use, first[0].use);
  EXPECT_EQ(must(session_.history()).size(), edits);
  EXPECT_THAT(session_.snapshot().unfiled, SizeIs(1));
}

TEST_F(Import, APhotoThatIsThereIsFiledWhereItIsWantedNow) {
  const auto photo = test::draw(folder_ / "a.png");
  static_cast<void>(import_photos(session_, {photo}, unmeasured()));
  auto options = unmeasured();
  options.opening = test::id_of(session_);
  const auto again = import_photos(session_, {photo}, options);
  EXPECT_TRUE(again.at(0).already_there);
  EXPECT_THAT(session_.snapshot().unfiled, IsEmpty());
  EXPECT_THAT(opening().photos, SizeIs(1));
  EXPECT_EQ(session_.snapshot().undo_name, "File a.png, P-03");
}

TEST_F(Import, AFileThatCannotBeTakenInIsToldAndTheOthersGoOn) {
  test::write_text(folder_ / "b.jpg", "");
  test::write_text(folder_ / "c.jpg", "not a picture at all");
  const auto whole = test::read_text(test::draw(folder_ / "whole.png"));
  test::write_text(folder_ / "d.png", whole.substr(0, whole.size() / 2));
  const auto outcomes = import_photos(session_,
                                      {folder_ / "missing.jpg", folder_ / "b.jpg", folder_ / "c.jpg",
                                       folder_ / "d.png", folder_ / "whole.png"},
                                      unmeasured());
  ASSERT_THAT(outcomes, SizeIs(5));
  for (std::size_t i = 0; i < 4; ++i) {
    ASSERT_TRUE(outcomes[i].error) << outcomes[i].file;
    EXPECT_FALSE(outcomes[i].use);
    EXPECT_THAT(outcomes[i].error->what, HasSubstr(outcomes[i].file.filename().string()));
  }
  EXPECT_TRUE(outcomes[4].use);
  EXPECT_THAT(session_.snapshot().unfiled, SizeIs(1));
}

TEST_F(Import, MeasuredOnTheWayInUnderItsOpening) {
  ImportOptions options;
  options.opening = test::id_of(session_);
  const auto outcomes = import_photos(session_, {test::draw(folder_ / "a.png", {.hole_mm = 38})}, options);
  ASSERT_TRUE(outcomes.at(0).report);
  ASSERT_FALSE(outcomes[0].report->refused) << outcomes[0].report->refused->reason;
  const auto diameter = standing(Quantity::HoleDiameter);
  ASSERT_TRUE(diameter);
  EXPECT_EQ(diameter->method, Method::PhotoAuto);
  EXPECT_NEAR(diameter->value, 38, 0.38);  // as drawn; the contract asks for 1 % at the very least
  EXPECT_LE(std::abs(diameter->value - 38), diameter->u95);
  EXPECT_FALSE(diameter->budget.empty());
  ASSERT_TRUE(diameter->trace);
  EXPECT_EQ(diameter->trace->reference_kind, "card");
  EXPECT_GE(diameter->trace->outline.size(), 72U);
  ASSERT_THAT(opening().photos, SizeIs(1));
  EXPECT_THAT(opening().photos[0].use.finding, HasSubstr("hole 38."));
  must(session_.undo());  // the photo and what was measured in it are one edit
  EXPECT_THAT(opening().measurements, IsEmpty());
  EXPECT_THAT(opening().photos, IsEmpty());
}

TEST_F(Import, APhotoWithoutReferenceComesInWithTheReasonItWasNotMeasured) {
  ImportOptions options;
  options.opening = test::id_of(session_);
  const auto outcomes = import_photos(session_, {test::draw(folder_ / "a.png", {.card = false})}, options);
  ASSERT_TRUE(outcomes.at(0).use);
  ASSERT_TRUE(outcomes[0].report && outcomes[0].report->refused);
  EXPECT_EQ(outcomes[0].report->refused->code, "no-reference");
  EXPECT_THAT(opening().photos.at(0).use.finding, HasSubstr("not measured: "));
  EXPECT_THAT(opening().measurements, IsEmpty());
}

TEST_F(Import, FiledElsewhereItTakesItsMeasurementsAlong) {
  ImportOptions options;
  options.opening = test::id_of(session_);
  const auto outcomes = import_photos(session_, {test::draw(folder_ / "a.png")}, options);
  model::Opening other;
  other.tag = "S-01";
  const auto target = must(session_.save_opening(other));
  must(session_.file_photo(*outcomes.at(0).use, target));
  EXPECT_EQ(session_.snapshot().undo_name, "File a.png under S-01");
  EXPECT_THAT(opening().measurements, IsEmpty());
  EXPECT_THAT(opening().photos, IsEmpty());
  EXPECT_THAT(session_.snapshot().find("S-01")->measurements, testing::Not(IsEmpty()));
  must(session_.file_photo(*outcomes[0].use, std::nullopt));
  EXPECT_THAT(session_.snapshot().unfiled, SizeIs(1));
  EXPECT_THAT(session_.snapshot().find("S-01")->measurements, IsEmpty());
  must(session_.undo());
  must(session_.undo());
  EXPECT_TRUE(standing(Quantity::HoleDiameter));
}

TEST_F(Import, TakenOutOfTheSurveyItsMeasurementsNoLongerStand) {
  ImportOptions options;
  options.opening = test::id_of(session_);
  const auto outcomes = import_photos(session_, {test::draw(folder_ / "a.png")}, options);
  must(session_.remove_photo_use(*outcomes.at(0).use));
  EXPECT_EQ(session_.snapshot().undo_name, "Remove a.png and what was measured in it");
  EXPECT_THAT(opening().photos, IsEmpty());
  EXPECT_THAT(opening().measurements, IsEmpty());
  must(session_.undo());
  EXPECT_TRUE(standing(Quantity::HoleDiameter));
}

class CountingProgress final : public Progress {
 public:
  explicit CountingProgress(int stop_at) : stop_at_(stop_at) {}
  void at(const std::string& stage, int done, int total) override {
    stages.push_back(stage);
    EXPECT_EQ(total, 3);
    done_ = done;
  }
  [[nodiscard]] bool cancelled() const override { return done_ >= stop_at_; }
  std::vector<std::string> stages;

 private:
  int stop_at_;
  int done_ = 0;
};

TEST_F(Import, StoppedItKeepsWhatWasTakenInAndSaysWhatWasNot) {
  fs::create_directories(folder_ / "photos");
  for (int i = 1; i <= 3; ++i) test::draw(folder_ / numbered(i), {.hole_mm = 0, .shade = 0.3 + 0.1 * i});
  CountingProgress progress(1);
  const auto outcomes = import_photos(session_, {folder_ / "photos"}, unmeasured(), &progress);
  ASSERT_THAT(outcomes, SizeIs(2));
  EXPECT_TRUE(outcomes[0].use);
  ASSERT_TRUE(outcomes[1].error);
  EXPECT_EQ(outcomes[1].error->code, ErrorCode::Cancelled);
  EXPECT_THAT(session_.snapshot().unfiled, SizeIs(1));
  EXPECT_EQ(progress.stages.front(), "Reading IMG_1.png");
}

TEST_F(Import, AsAJobItStoresOnTheOwnersThreadPhotoByPhoto) {
  fs::create_directories(folder_ / "photos");
  for (int i = 1; i <= 6; ++i) test::draw(folder_ / numbered(i), {.hole_mm = 0, .shade = 0.2 + 0.1 * i});
  Jobs jobs;
  std::vector<ImportOutcome> outcomes;
  std::size_t seen_during = 0;
  start_import(jobs, session_, {folder_ / "photos"}, unmeasured(),
               [&](std::vector<ImportOutcome> finished) { outcomes = std::move(finished); });
  while (!jobs.idle()) {
    jobs.pump();
    if (outcomes.empty()) seen_during = std::max(seen_during, session_.snapshot().unfiled.size());
  }
  ASSERT_THAT(outcomes, SizeIs(6));
  for (const auto& outcome : outcomes) EXPECT_TRUE(outcome.use);
  EXPECT_GT(seen_during, 0U);
  EXPECT_THAT(session_.snapshot().unfiled, SizeIs(6));
  EXPECT_THAT(jobs.take_failures(), IsEmpty());
}

TEST_F(Import, ClosingTheLogbookMeanwhileIsToldAndHarmsNothing) {
  Jobs jobs;
  std::vector<ImportOutcome> outcomes;
  {
    auto closing = must(Session::create(folder_ / "closing", test::standing_clock()));
    start_import(jobs, closing, {test::draw(folder_ / "a.png")}, unmeasured(),
                 [&](std::vector<ImportOutcome> finished) { outcomes = std::move(finished); });
  }
  jobs.wait_idle();
  ASSERT_THAT(outcomes, SizeIs(1));
  EXPECT_THAT(outcomes[0].error->what, HasSubstr("closed"));
}

TEST_F(Import, PhotosGoToTheSurveyThatWasCurrentWhenItStarted) {
  model::Survey earlier;
  earlier.date = "2025-04-05";
  const auto last_year = must(session_.save_survey(earlier));
  model::Survey later;
  later.date = "2026-04-11";
  const auto now = must(session_.save_survey(later));
  must(session_.choose_survey(now));
  test::draw(folder_ / "a.png", {.shade = 0.6});
  test::draw(folder_ / "b.png", {.shade = 0.7});
  auto options = unmeasured();
  options.opening = test::id_of(session_);
  {
    Jobs jobs;
    start_import(jobs, session_, {folder_ / "a.png", folder_ / "b.png"}, options, {});
    must(session_.choose_survey(last_year));
    jobs.wait_idle();
  }
  EXPECT_THAT(opening().photos, IsEmpty());
  must(session_.choose_survey(now));
  EXPECT_THAT(opening().photos, SizeIs(2));
}

TEST_F(Import, AStoredPhotoIsLoadedAndMeasuredBesideTheWindow) {
  static_cast<void>(import_photos(session_, {test::draw(folder_ / "a.png")}, unmeasured()));
  const auto photo = session_.snapshot().unfiled.at(0).photo.id;
  Jobs jobs;
  std::optional<vision::Report> report;
  start_load(jobs, session_, photo, [&](Result<vision::Picture> picture) {
    ASSERT_TRUE(picture) << picture.error().sentence();
    EXPECT_EQ(picture->info().width_px, 1600);
    EXPECT_EQ(picture->name(), "a.png");
    start_measure(jobs, *picture, {}, [&](vision::Report measured) { report = std::move(measured); });
  });
  jobs.wait_idle();
  ASSERT_TRUE(report);
  EXPECT_EQ(report->width_px, 1600);
  EXPECT_THAT(session_.snapshot().unfiled.at(0).use.finding, IsEmpty());  // nothing is stored
}

// The first thing a job does is to say where it is: here that fails.
TEST_F(Import, AJobThatFailsStillAnswers) {
  static_cast<void>(import_photos(session_, {test::draw(folder_ / "a.png")}, unmeasured()));
  const auto photo = session_.snapshot().unfiled.at(0).photo.id;
  const auto fails_once = [] {
    return [failed = std::make_shared<std::atomic<bool>>(false)] {
      if (!failed->exchange(true)) throw std::runtime_error("the window is gone");
    };
  };
  std::optional<Result<vision::Picture>> loaded;
  const auto load = [&](std::function<void()> wake) {
    Jobs jobs(std::move(wake));
    start_load(jobs, session_, photo, [&](Result<vision::Picture> picture) { loaded = std::move(picture); });
    jobs.wait_idle();
  };
  load(fails_once());
  ASSERT_TRUE(loaded && !*loaded);
  EXPECT_EQ(loaded->error().code, ErrorCode::Internal);
  load({});
  ASSERT_TRUE(*loaded) << loaded->error().sentence();
  std::optional<vision::Report> report;
  Jobs jobs(fails_once());
  start_measure(jobs, **loaded, {}, [&](vision::Report measured) { report = std::move(measured); });
  jobs.wait_idle();
  ASSERT_TRUE(report && report->refused);
  EXPECT_THAT(report->refused->reason, HasSubstr("the window is gone"));
}

TEST_F(Import, AVaultFileThatIsGoneIsTold) {
  static_cast<void>(import_photos(session_, {test::draw(folder_ / "a.png")}, unmeasured()));
  fs::remove_all(session_.snapshot().folder / "photos");
  Jobs jobs;
  std::optional<Error> error;
  start_load(jobs, session_, session_.snapshot().unfiled.at(0).photo.id,
             [&](const Result<vision::Picture>& picture) {
               if (!picture) error = picture.error();
             });
  jobs.wait_idle();
  ASSERT_TRUE(error);
  EXPECT_THAT(error->sentence(), HasSubstr("a.png"));
}

}  // namespace
}  // namespace spile::app
