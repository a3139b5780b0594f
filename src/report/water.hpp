// Runs and flooding as the report shows them: sentences and figures, made by whoever gathers the report.
#pragma once

#include <string>
#include <vector>

#include "figures/figure.hpp"
#include "rules/verdict.hpp"

namespace spile::report {

struct ReportPart {
  std::string text;   // "2. Hose ..., bore 25.00 ± 0.50 mm"
  std::string wrong;  // what does not match behind it; may be empty
};
struct ReportRemedy {
  std::string title;
  std::vector<std::string> lines;
};
struct ReportRun {
  std::string title, headline;
  rules::Standing standing = rules::Standing::NotKnownYet;
  std::string joints, bore, flow, sea;  // cells of the table of all runs
  std::vector<ReportPart> parts;
  std::vector<std::string> says;     // what flows, what the sea does, what is not known
  std::vector<std::string> dangers;  // of those what somebody has to act on
  std::vector<ReportRemedy> remedies;
  std::vector<figures::Figure> figures;
};

struct ReportFlood {
  int rank = 0;  // 0: not known, or never under water
  std::string tag, service, way;
  std::string at_rest, buckets, heeled, sole, pumped;  // cells
};

struct ReportWater {
  std::vector<ReportRun> runs;
  std::vector<ReportFlood> floods;  // by rank
  std::string pumps, sole_column;   // "Sole wet" or "500 L in"
  std::vector<std::string> cautions;
  std::vector<figures::Figure> flooding;  // none or one
};

}  // namespace spile::report
