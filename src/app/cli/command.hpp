// What every command of `spile` shares: where data and messages go, the exit status, and how an error is
// told.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <iosfwd>
#include <string>

#include "app/session.hpp"
#include "outcome/outcome.hpp"

namespace spile::app::cli {

// Exit statuses, as the measuring contract of the design has them.
inline constexpr int kDone = 0;
inline constexpr int kError = 1;
inline constexpr int kWrongUsage = 2;
inline constexpr int kRefused = 3;

struct Console {
  std::ostream& out;  // data
  std::ostream& err;  // messages for people
  int status = kDone;

  // Prints the sentence and sets the status: wrong usage for what was typed wrong, else an error.
  void tell(const Error& error);
  void note(const std::string& message) const;
};

// One subcommand with its example; `run` is called after parsing.
CLI::App* add_command(CLI::App& app, const std::string& name, const std::string& what,
                      const std::string& example);

// The logbook argument and the survey to work in that most commands take.
struct LogbookArguments {
  std::string folder;
  std::string survey;  // a date; empty: the newest
};
void add_logbook(CLI::App& command, LogbookArguments& into);
void add_survey(CLI::App& command, LogbookArguments& into);

// Opens the logbook, chooses the survey and calls `use`; errors are told.
enum class For { Reading, Writing };
void with_logbook(Console& console, const LogbookArguments& arguments, For purpose,
                  const std::function<Result<void>(Session&)>& use);

// Runs one use case and tells, on standard error, the edit it made, or that there was nothing to change.
Result<void> record_edit(Session& session, const Console& console, const std::function<Result<void>()>& use);

// Errors: NotFound, with the tags there are.
[[nodiscard]] Result<const OpeningView*> opening_by_tag(const Session& session, const std::string& tag);

}  // namespace spile::app::cli
