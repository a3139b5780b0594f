// The rules themselves as text: what each asks, which rows it goes by, and who stands behind those rows.
#pragma once

#include <string>

#include "rules/tables.hpp"

namespace spile::rules {

// A Markdown table: one line a rule, with its question, its figures and its sources.
[[nodiscard]] std::string rules_as_markdown(const Tables& tables);

}  // namespace spile::rules
