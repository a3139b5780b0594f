// One opening in her section as she heels: is it under, does it need a valve, can its fixture flood through
// it. In words and as a picture, for the window, the command line and the report.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/session.hpp"
#include "figures/section.hpp"

namespace spile::app {

struct SectionView {
  std::string tag;
  std::optional<figures::OpeningSection> drawn;  // nothing: its height is not recorded
  std::vector<std::string> words;                // a sentence each
};

// `run` may be null; its opening must be this one.
[[nodiscard]] SectionView section_of(const Snapshot& snapshot, const OpeningView& opening,
                                     const RunView* run);
// Of every opening, once for each run that ends there.
[[nodiscard]] std::vector<SectionView> sections_of(const Snapshot& snapshot);
[[nodiscard]] figures::Figure section_figure(const Snapshot& snapshot, const SectionView& section,
                                             double width_paper);
[[nodiscard]] nlohmann::ordered_json to_json(const SectionView& section);

}  // namespace spile::app
