// spile report
#include "app/report.hpp"

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/line_progress.hpp"

namespace spile::app::cli {

void add_report(CLI::App& app, Console& console) {
  struct Options {
    LogbookArguments logbook;
    std::string output;
    std::string paper = "a4";
  };
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "report", "Write the survey report as a PDF",
                              "spile report heron.spile --output survey.pdf");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("-o,--output", o->output, "File to write")->type_name("FILE.pdf")->required();
  command->add_option("--paper", o->paper, "a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading, [&](Session& session) -> Result<void> {
      const auto paper = o->paper == "letter" ? report::Paper::Letter : report::Paper::A4;
      LineProgress progress(console.err);
      if (auto written = write_report(session, o->output, paper, &progress); !written) return written;
      console.out << o->output << '\n';
      return {};
    });
  });
}

}  // namespace spile::app::cli
