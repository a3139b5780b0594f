// A logbook, an opening and its verdicts as plain text for a terminal.
#pragma once

#include <iosfwd>

#include "app/session.hpp"

namespace spile::app::cli {

void print_logbook(std::ostream& out, const Session& session);
void print_opening(std::ostream& out, const Session& session, const OpeningView& view);
void print_verdicts(std::ostream& out, const OpeningView& view);

}  // namespace spile::app::cli
