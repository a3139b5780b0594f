// Every command of `spile`, each in a file of its own name.
#pragma once

#include "app/cli/command.hpp"

namespace spile::app::cli {

void add_new(CLI::App& app, Console& console);
void add_demo(CLI::App& app, Console& console);
void add_import(CLI::App& app, Console& console);
void add_measure(CLI::App& app, Console& console);
void add_compare(CLI::App& app, Console& console);
void add_remeasure(CLI::App& app, Console& console);
void add_show(CLI::App& app, Console& console);
void add_verdict(CLI::App& app, Console& console);
void add_vessel(CLI::App& app, Console& console);
void add_survey_command(CLI::App& app, Console& console);
void add_opening(CLI::App& app, Console& console);
void add_observe(CLI::App& app, Console& console);
void add_type(CLI::App& app, Console& console);
void add_withdraw(CLI::App& app, Console& console);
void add_file(CLI::App& app, Console& console);
void add_run(CLI::App& app, Console& console);
void add_runs(CLI::App& app, Console& console);
void add_parts(CLI::App& app, Console& console);
void add_flow(CLI::App& app, Console& console);
void add_section(CLI::App& app, Console& console);
void add_bilge(CLI::App& app, Console& console);
void add_flooding(CLI::App& app, Console& console);
void add_undo_redo(CLI::App& app, Console& console);
void add_history(CLI::App& app, Console& console);
void add_card(CLI::App& app, Console& console);
void add_camera(CLI::App& app, Console& console);
void add_report(CLI::App& app, Console& console);
void add_rules(CLI::App& app, Console& console);
void add_merge(CLI::App& app, Console& console);
void add_trends(CLI::App& app, Console& console);
void add_checklist(CLI::App& app, Console& console);
void add_due(CLI::App& app, Console& console);
void add_verify(CLI::App& app, Console& console);

}  // namespace spile::app::cli
