// Option texts into record fields: lengths as people write them, choices by key or by label. What was not
// given stays as it was; "unknown" clears what may be unknown. The first thing not understood is kept.
#pragma once

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/wording.hpp"
#include "model/names.hpp"
#include "outcome/outcome.hpp"
#include "rules/tables.hpp"

namespace spile::app::cli {

using Given = std::optional<std::string>;  // absent: the option was left out

class Fields {
 public:
  Fields& text(const Given& given, std::string& into);
  Fields& length(const Given& given, std::optional<double>& into);  // mm
  Fields& number(const Given& given, std::string_view what, std::optional<double>& into);
  // Rows of a table, a comma between two.
  Fields& rows(const Given& given, std::string_view what, const std::vector<rules::Choice>& choices,
               std::vector<std::string>& into);
  Fields& angle(const Given& given, std::optional<double>& into);  // degrees
  // A row of a table; `what` names it in the error.
  Fields& row(const Given& given, std::string_view what, const std::vector<rules::Choice>& choices,
              std::string& into);

  template <class E>
  Fields& choice(const Given& given, std::string_view what, E& into) {
    if (!given || error_) return *this;
    std::vector<rules::Choice> choices;
    for (const auto& name : model::names<E>())
      choices.push_back({std::string(name.key), std::string(name.label), {}, {}, {}});
    std::string key;
    if (pick(*given, what, choices, key)) into = *model::from_key<E>(key);
    return *this;
  }

  [[nodiscard]] bool anything_given() const { return given_; }
  [[nodiscard]] Result<void> understood() const;

 private:
  bool pick(const std::string& given, std::string_view what, const std::vector<rules::Choice>& choices,
            std::string& into);

  std::optional<Error> error_;
  bool given_ = false;
};

// "port, starboard, centreline", for help texts.
template <class E>
[[nodiscard]] std::string keys_of() {
  std::string keys;
  for (const auto& name : model::names<E>()) keys += (keys.empty() ? "" : ", ") + std::string(name.key);
  return keys;
}

}  // namespace spile::app::cli
