// A yard's own rows laid over the shipped tables, as text, so that the one reader checks them too.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "assets/embedded.hpp"
#include "rules/csv.hpp"
#include "rules/tables.hpp"

namespace spile::rules {

namespace {

constexpr std::string_view kMark = "the yard's own: ";

std::size_t key_columns(std::string_view table) {
  return table == "thread_joints.csv" ? 2 : 1;
}

std::string key_of(const std::vector<std::string>& row, std::size_t columns) {
  std::string key;
  for (std::size_t i = 0; i < columns && i < row.size(); ++i) key += (i > 0 ? " in " : "") + row[i];
  return key;
}

// Whose row it is must be seen wherever its source is shown.
void mark_source(const CsvTable& table, std::vector<std::string>& row) {
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    if (table.columns[i] == "source" && !row[i].empty()) row[i] = std::string(kMark) + row[i];
}

// The yard's rows first, so that the row an error names is the row of the yard's own file.
void lay(CsvTable& ours, std::vector<std::vector<std::string>> theirs) {
  const auto columns = key_columns(ours.name);
  for (auto& row : ours.rows) {
    const auto same = [&](const auto& r) { return key_of(r, columns) == key_of(row, columns); };
    if (std::none_of(theirs.begin(), theirs.end(), same)) theirs.push_back(std::move(row));
  }
  ours.rows = std::move(theirs);
}

Result<std::string> laid_over(const model::YardTable& yard, std::vector<std::string>& rows) {
  const std::string path = "tables/" + yard.name;
  if (!assets::contains(path)) {
    return fail(ErrorCode::BadInput, fmt::format("There is no table {} to lay rows over.", yard.name),
                "\"spile rules\" names the tables there are.");
  }
  auto ours = read_any_csv(yard.name, assets::text(path));
  if (!ours) return tl::unexpected(ours.error());
  auto theirs = read_csv(yard.name, yard.csv, ours->columns);
  if (!theirs) return tl::unexpected(theirs.error());
  for (auto& row : theirs->rows) {
    rows.push_back(fmt::format("{}: {}", yard.name, key_of(row, key_columns(yard.name))));
    mark_source(*ours, row);
  }
  lay(*ours, std::move(theirs->rows));
  return write_csv(*ours);
}

}  // namespace

Result<Tables> Tables::load_with(const std::vector<model::YardTable>& yard) {
  std::map<std::string, std::string, std::less<>> texts;
  std::vector<std::string> rows;
  for (const auto& table : yard) {
    auto text = laid_over(table, rows);
    if (!text) return tl::unexpected(text.error());
    texts[table.name] = std::move(*text);
  }
  auto tables = load([&](std::string_view name) {
    const auto hit = texts.find(name);
    return hit == texts.end() ? assets::text("tables/" + std::string(name)) : std::string_view(hit->second);
  });
  if (!tables) {
    if (yard.empty()) return tables;
    auto error = tables.error();
    error.what = "In the yard's own rows: " + error.what;
    return tl::unexpected(std::move(error));
  }
  for (const auto& table : yard) {
    if (!tables->sources_of(table.name).empty()) continue;
    return fail(
        ErrorCode::BadInput,
        fmt::format("No rule goes by the table {}, so rows over it would change nothing.", table.name),
        "Lay rows over one of those that \"spile rules\" names.");
  }
  tables->yard_rows_ = std::move(rows);
  return tables;
}

}  // namespace spile::rules
