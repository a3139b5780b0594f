// Two random histories from one start, brought together: nothing is lost, and both ways give the same.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <set>

#include "random_edits.hpp"

namespace spile::db::test {
namespace {

constexpr int kPairs = 5;  // in each of the hundred cases of a property

// What a logbook holds as text, without the ids: equal when two logbooks say the same.
class Contents {
 public:
  explicit Contents(const Store& store)
      : measurements_(ok(store.all_measurements())), runs_(ok(store.runs())) {
    for (const auto& o : ok(store.openings())) tags_[o.id.value] = o.tag;
    for (const auto& s : ok(store.surveys())) surveys_[s.id.value] = s.date + s.title;
    for (const auto& p : ok(store.photos())) photos_[p.id.value] = p.sha256;
    for (const auto& id : ok(store.withdrawn())) withdrawn_.insert(id.value);
    list(store);
    std::sort(lines_.begin(), lines_.end());
  }
  [[nodiscard]] const std::vector<std::string>& lines() const { return lines_; }

 private:
  static std::string shown(const std::optional<double>& value) {
    return value ? std::to_string(*value) : "-";
  }

  void list(const Store& store) {
    if (const auto v = ok(store.vessel())) lines_.push_back("vessel " + v->name + shown(v->heel_deg));
    for (const auto& o : ok(store.openings())) lines_.push_back("opening " + o.tag + shown(o.height_mm));
    for (const auto& [id, text] : surveys_) lines_.push_back("survey " + text);
    for (const auto& f : ok(store.fittings()))
      lines_.push_back("fitting " + tags_.at(f.opening.value) + f.material);
    for (const auto& s : ok(store.surveys()))
      for (const auto& o : ok(store.observations(s.id)))
        lines_.push_back("seen " + tags_.at(o.opening.value) + surveys_.at(s.id.value) +
                         std::to_string(static_cast<int>(o.condition)));
    for (const auto& m : measurements_) lines_.push_back("measured " + of(m));
    for (const auto& r : runs_) lines_.push_back("run " + of(r, 4));
    for (const auto& u : ok(store.photo_uses()))
      lines_.push_back("photo " + photos_.at(u.photo.value) + surveys_.at(u.survey.value) +
                       (u.opening ? tags_.at(u.opening->value) : "-"));
  }
  std::string of(const model::Measurement& m) {
    std::string text = tags_.at(m.opening.value) + surveys_.at(m.survey.value) + std::to_string(m.value) +
                       m.note + (m.photo ? photos_.at(m.photo->value) : "-") +
                       std::to_string(m.budget.size()) +
                       (withdrawn_.count(m.id.value) > 0 ? " withdrawn" : "");
    for (const auto& other : measurements_)
      if (m.supersedes && other.id == *m.supersedes) text += " corrects " + of(other);
    return text;
  }
  std::string of(const model::Run& r, int depth) {  // two runs may join each other
    std::string text = tags_.at(r.opening.value) + r.name;
    for (const auto& part : r.parts) text += "," + part.part;
    for (const auto& other : runs_)
      if (r.joins && other.id == r.joins->run && depth > 0) text += " joins " + of(other, depth - 1);
    return text;
  }

  std::vector<model::Measurement> measurements_;
  std::vector<model::Run> runs_;
  std::map<std::int64_t, std::string> tags_, surveys_, photos_;
  std::set<std::int64_t> withdrawn_;
  std::vector<std::string> lines_;
};

std::string text_of(const Store& store) {
  std::string text;
  const Contents contents(store);
  for (const auto& line : contents.lines()) text += line + "\n";
  return text;
}

// The marks of the measurements that random edits made, and of the runs that are there.
std::multiset<std::string> marks_of(const Store& store) {
  std::multiset<std::string> marks;
  for (const auto& m : ok(store.all_measurements())) marks.insert(m.note.substr(0, m.note.find(' ')));
  for (const auto& r : ok(store.runs())) marks.insert(r.name);
  return marks;
}

class Pair {
 public:
  Pair() : temp_(fast_place()) {
    {
      auto store = ok(Store::create(folder("start")));
      const auto photos = two_photos(store);
      ok(store.edit("Start", [](Edit& edit) {
        edit.save_opening(opening("P-1"));
        edit.save_survey(survey("2026-04-01"));
      }));
      work_on(store, "s", *rc::gen::inRange(0, 8));
    }
    for (const auto* name : {"one", "other"})
      fs::copy(folder("start"), folder(name), fs::copy_options::recursive);
    for (const auto* name : {"one", "other"}) {
      auto store = ok(Store::open(folder(name)));
      work_on(store, name, *rc::gen::inRange(0, 8));
    }
  }

  // `into` gets what `from` holds; with every question answered by `answer`, until none is left.
  MergeOutcome merge(const std::string& into, const std::string& from,
                     const std::function<MergeSide(const MergeConflict&)>& answer) {
    auto mine = ok(Store::open(folder(into)));
    const auto theirs = ok(Store::open(folder(from), Access::ReadOnly));
    const auto before = state_of(mine);
    MergeChoices choices;
    for (;;) {
      auto outcome = ok(mine.merge(theirs, choices));
      if (outcome.open.empty()) {
        check_undo(mine, before, outcome);
        return outcome;
      }
      RC_ASSERT(state_of(mine) == before);
      for (const auto& conflict : outcome.open) choices[conflict.key] = answer(conflict);
    }
  }
  void copy(const std::string& from, const std::string& to) {
    fs::copy(folder(from), folder(to), fs::copy_options::recursive);
  }
  [[nodiscard]] fs::path folder(const std::string& name) const { return temp_.path() / (name + ".spile"); }
  [[nodiscard]] std::string text(const std::string& name) const {
    return text_of(ok(Store::open(folder(name), Access::ReadOnly)));
  }
  [[nodiscard]] std::string all_texts() const {
    std::string texts;
    for (const auto* name : {"start", "one", "other", "first"})
      texts += std::string("--- ") + name + "\n" + text(name);
    return texts;
  }
  [[nodiscard]] std::multiset<std::string> marks(const std::string& name) const {
    return marks_of(ok(Store::open(folder(name), Access::ReadOnly)));
  }

 private:
  static void work_on(Store& store, const std::string& mark, int count) {
    RandomEdits edits(store, ok(store.photos()), mark);
    for (int i = 0; i < count; ++i) {
      edits.one();
      if (*rc::gen::inRange(0, 6) == 0 && store.undo_name()) ok(store.undo());
      if (*rc::gen::inRange(0, 8) == 0 && store.redo_name()) ok(store.redo());
    }
  }
  static void check_undo(Store& mine, const std::string& before, const MergeOutcome& outcome) {
    RC_ASSERT(ok(mine.verify()).faults.empty());
    if (!outcome.written) return;
    const auto after = state_of(mine);
    ok(mine.undo());
    RC_ASSERT(state_of(mine) == before);
    ok(mine.redo());
    RC_ASSERT(state_of(mine) == after);
  }

  TempFolder temp_;
};

std::string keys_of(const MergeOutcome& outcome) {
  std::string keys;
  for (const auto& conflict : outcome.decided)
    keys += "asked " + conflict.key + ": " + conflict.mine + " | " + conflict.theirs + "\n";
  return keys;
}

// One run named anew by both keeps the name that was chosen.
bool chosen_between(const MergeOutcome& outcome, const std::string& mark) {
  return std::any_of(outcome.decided.begin(), outcome.decided.end(), [&](const MergeConflict& conflict) {
    return conflict.mine == mark || conflict.theirs == mark;
  });
}

bool heads(const std::string& key) {  // the same for a conflict whichever way it is looked at
  return std::hash<std::string>{}(key) % 2 == 0;
}

MergeSide one_way(const MergeConflict& conflict) {
  return heads(conflict.key) ? MergeSide::Mine : MergeSide::Theirs;
}

MergeSide other_way(const MergeConflict& conflict) {
  return heads(conflict.key) ? MergeSide::Theirs : MergeSide::Mine;
}

RC_GTEST_PROP(MergeProperty, BothOrdersGiveTheSameLogbookAndNothingIsLost, ()) {
  for (int i = 0; i < kPairs; ++i) {
    Pair pair;
    pair.copy("one", "first");
    pair.copy("other", "second");
    const auto outcome = pair.merge("first", "other", one_way);
    (void)pair.merge("second", "one", other_way);
    RC_ASSERT(pair.text("first") == pair.text("second"));
    const bool taken_out = std::any_of(
        outcome.decided.begin(), outcome.decided.end(),
        [](const MergeConflict& conflict) { return conflict.key.find(": taken out") != std::string::npos; });
    if (taken_out) continue;
    const auto start = pair.marks("start"), merged = pair.marks("first");
    for (const auto& added : {pair.marks("one"), pair.marks("other")}) {
      for (const auto& mark : added) {
        if (start.count(mark) > 0 || mark.rfind('s', 0) == 0 || chosen_between(outcome, mark)) continue;
        if (merged.count(mark) != 1U) RC_FAIL(mark + "\n" + keys_of(outcome) + pair.all_texts());
      }
    }
  }
}

RC_GTEST_PROP(MergeProperty, WithOneThatDidNothingItGivesTheOther, ()) {
  Pair pair;
  pair.copy("one", "first");
  pair.copy("start", "second");
  // Nothing is asked but whether what was undone since is meant to be.
  const auto the_one = [](MergeSide side) {
    return [side](const MergeConflict& conflict) {
      if (conflict.key.find(": undone") == std::string::npos)
        RC_FAIL(conflict.key + ": " + conflict.before + ", " + conflict.mine + ", " + conflict.theirs);
      return side;
    };
  };
  RC_ASSERT(!pair.merge("first", "start", the_one(MergeSide::Mine)).written);
  (void)pair.merge("second", "one", the_one(MergeSide::Theirs));
  RC_ASSERT(pair.text("second") == pair.text("one"));
}

RC_GTEST_PROP(MergeProperty, AgainChangesNothing, ()) {
  Pair pair;
  pair.copy("one", "first");
  // What was chosen is not remembered: the same question may be asked again, or not come up again.
  if (!pair.merge("first", "other", one_way).decided.empty()) return;
  const auto once = pair.text("first");
  if (pair.merge("first", "other", one_way).written) RC_FAIL("before:\n" + once + pair.all_texts());
  RC_ASSERT(pair.text("first") == once);
}

}  // namespace
}  // namespace spile::db::test
