// spile merge
#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/merge.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string theirs, keep;
  std::vector<std::string> choose;
  bool json = false;
};

Result<db::MergeSide> side_of(const std::string& word) {
  if (word == "mine") return db::MergeSide::Mine;
  if (word == "theirs") return db::MergeSide::Theirs;
  if (word == "both") return db::MergeSide::Both;
  return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a side.", word), "Say mine, theirs or both.");
}

Result<db::MergeChoices> choices_of(const std::vector<std::string>& texts) {
  db::MergeChoices choices;
  for (const auto& text : texts) {
    const auto at = text.rfind('=');
    if (at == std::string::npos || at == 0) {
      return fail(ErrorCode::BadInput, fmt::format("\"{}\" chooses nothing.", text),
                  "Write what is asked, =, and the side, such as \"P-03: height (mm)=theirs\".");
    }
    const auto side = side_of(text.substr(at + 1));
    if (!side) return tl::unexpected(side.error());
    choices[text.substr(0, at)] = *side;
  }
  return choices;
}

// With one side for all that is not chosen singly; a choice can bring up a further question.
Result<db::MergeOutcome> merged(Session& session, const Options& o, db::MergeChoices choices) {
  for (;;) {
    auto outcome = merge_logbook(session, o.theirs, choices);
    if (!outcome || outcome->open.empty() || o.keep.empty()) return outcome;
    for (const auto& conflict : outcome->open) choices[conflict.key] = *side_of(o.keep);
  }
}

nlohmann::ordered_json to_json(const std::vector<db::MergeConflict>& conflicts) {
  auto list = nlohmann::ordered_json::array();
  for (const auto& c : conflicts) {
    list.push_back({{"key", c.key},
                    {"before", c.before},
                    {"mine", c.mine},
                    {"theirs", c.theirs},
                    {"both_possible", c.both_possible}});
  }
  return list;
}

void print_json(const Console& console, const db::MergeOutcome& outcome) {
  auto counts = nlohmann::ordered_json::array();
  for (const auto& c : outcome.counts)
    counts.push_back({{"kind", c.noun}, {"added", c.added}, {"changed", c.changed}, {"removed", c.removed}});
  const nlohmann::ordered_json object = {
      {"written", outcome.written},          {"changes", counts},
      {"photo_files", outcome.photos},       {"open", to_json(outcome.open)},
      {"decided", to_json(outcome.decided)}, {"unused_choices", outcome.unused}};
  console.out << object.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
}

std::string shown(const std::string& value) {
  return value.empty() ? "(nothing)" : value;
}

void print_open(const Console& console, const std::vector<db::MergeConflict>& open) {
  for (const auto& c : open) {
    console.out << c.key << '\n';
    if (!c.before.empty()) console.out << "  before: " << c.before << '\n';
    console.out << "  mine:   " << shown(c.mine) << "\n  theirs: " << shown(c.theirs) << '\n';
    if (c.both_possible) console.out << "  both:   two openings; theirs gets another tag\n";
  }
}

void tell(const Options& o, const db::MergeOutcome& outcome, Console& console) {
  for (const auto& key : outcome.unused)
    console.note(fmt::format("\"{}\" was not asked, so that choice was not used.", key));
  if (outcome.open.empty()) {
    console.note(outcome.written || outcome.photos > 0
                     ? fmt::format("Merged: {}. Give the other person this logbook to go on with.",
                                   merge_words(outcome))
                     : "There was nothing to bring in.");
    return;
  }
  console.note(
      fmt::format("spile: Nothing was changed: both changed the same, differently. Choose for each, such "
                  "as\n  spile merge {} {} "
                  "--choose \"{}=theirs\"\nor for all that is left, with --keep mine or --keep theirs.",
                  o.logbook.folder, o.theirs, outcome.open.front().key));
  console.status = kRefused;
}

Result<void> run_merge(Session& session, const Options& o, Console& console) {
  const auto choices = choices_of(o.choose);
  if (!choices) return tl::unexpected(choices.error());
  const auto outcome = merged(session, o, *choices);
  if (!outcome) return tl::unexpected(outcome.error());
  if (o.json) {
    print_json(console, *outcome);
  } else {
    print_open(console, outcome->open);
    for (const auto& c : outcome->decided)
      console.out << fmt::format("Chosen: {} (mine: {}, theirs: {})\n", c.key, shown(c.mine),
                                 shown(c.theirs));
  }
  tell(o, *outcome, console);
  return {};
}

}  // namespace

void add_merge(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "merge", "Bring in what somebody else recorded in their copy of the logbook",
                  "spile merge heron.spile /media/stick/heron.spile\n"
                  "Both are copies of one logbook. Each field that only one of you changed is taken over, "
                  "photos come along.\n"
                  "What you both changed is listed and nothing is written until it is chosen. One change; "
                  "undo takes it back.\n"
                  "Exit status: 0 merged, 3 something is to be chosen first, 1 an error, 2 wrong usage.");
  add_logbook(*command, o->logbook);
  command->add_option("THEIRS", o->theirs, "Their copy; it is only read")->required();
  command->add_option("--choose", o->choose, "What is asked, =, and mine, theirs or both; may be given again")
      ->type_name("KEY=SIDE")
      ->allow_extra_args(false);
  command->add_option("--keep", o->keep, "The side for all that is not chosen singly")
      ->check(CLI::IsMember({"mine", "theirs"}));
  command->add_flag("--json", o->json, "What was asked and done as JSON");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run_merge(session, *o, console); });
  });
}

}  // namespace spile::app::cli
