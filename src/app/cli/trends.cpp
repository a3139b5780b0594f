// spile trends
#include "app/trends.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"
#include "app/typed_value.hpp"
#include "model/names.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag;
  std::vector<std::string> limits;
  bool all = false, json = false;
};

tl::unexpected<Error> no_limit(const std::string& typed) {
  return fail(
      ErrorCode::BadInput, fmt::format("\"{}\" is not a limit.", typed),
      "Write QUANTITY>VALUE where more is bad, QUANTITY<VALUE where less is, such as crack-length>40mm.");
}

// A limit is typed in the quantity's own unit, as its values are.
Result<void> read_limit(const std::string& typed, const rules::Tables& tables, Limits& into) {
  const auto sign = typed.find_first_of("<>");
  if (sign == std::string::npos) return no_limit(typed);
  const auto quantity = model::from_key<model::Quantity>(trimmed(typed.substr(0, sign)));
  if (!quantity) return no_limit(typed);
  const auto value = read_typed(*quantity, trimmed(typed.substr(sign + 1)), model::Method::Caliper, 1.0,
                                tables, std::nullopt);
  if (!value) return tl::unexpected(value.error());
  into[*quantity] = {value->value, typed[sign] == '>' ? trends::Bad::Above : trends::Bad::Below,
                     "As asked for", "as asked for"};
  return {};
}

void print_values(std::ostream& out, const trends::ValueTrend& trend) {
  for (const auto& v : trend.values)
    out << fmt::format("    {}  {} ({})\n", units::print_date(v.day),
                       print_interval(v.value, v.u95, model::unit_of(trend.quantity)),
                       lower(model::label(v.method)));
}

void print_methods(std::ostream& out, const trends::ValueTrend& trend) {
  if (trend.methods.size() < 2) return;
  for (const auto& m : trend.methods) {
    const std::string rate =
        m.rate ? print_interval(m.rate->per_year, m.rate->u95, model::unit_of(trend.quantity)) + " a year"
               : std::string("of one survey only");
    out << fmt::format("    By {} alone ({}): {}\n", lower(model::label(m.method)),
                       counted(static_cast<std::size_t>(m.values), "value"), rate);
  }
}

void print(std::ostream& out, const OpeningView& view, const OpeningTrends& trends, bool all) {
  out << view.opening.tag << '\n';
  std::string left_out;
  for (const auto& q : trends.quantities) {
    if (!all && q.trend.change == trends::Change::TooFew) {
      left_out += (left_out.empty() ? "" : ", ") + lower(name_of(q.trend));
      continue;
    }
    out << fmt::format("  {}: {}\n", name_of(q.trend), verdict_words(q.trend));
    print_values(out, q.trend);
    print_methods(out, q.trend);
    if (q.limit) out << "    " << limit_words(q) << '\n';
    out << "    " << q.trend.test << '\n';
  }
  for (const auto& series : trends.grades) {
    out << fmt::format("  {}: {}\n", label(series.grade), verdict_words(series));
    std::string grades;
    for (const auto& g : series.trend.grades)
      grades += fmt::format("{}{} {}", grades.empty() ? "" : ", ", units::print_date(g.day),
                            word_of(series.grade, g.grade));
    out << "    " << grades << '\n' << "    " << series.trend.test << '\n';
  }
  if (!left_out.empty()) out << fmt::format("  Of one survey only: {}\n", left_out);
}

Result<void> show(const Session& session, const Options& o, const Console& console) {
  Limits limits;
  for (const auto& typed : o.limits)
    if (auto read = read_limit(typed, session.tables(), limits); !read) return read;
  std::vector<const OpeningView*> views;
  if (o.tag.empty()) {
    for (const auto& view : session.snapshot().openings) views.push_back(&view);
  } else {
    const auto view = opening_by_tag(session, o.tag);
    if (!view) return tl::unexpected(view.error());
    views.push_back(*view);
  }
  for (const auto* view : views) {
    const auto trends = trends_of(session.snapshot(), *view, session.tables(), limits);
    if (o.json) {
      console.out << trends_json(*view, trends).dump() << '\n';
    } else {
      print(console.out, *view, trends, o.all);
    }
  }
  return {};
}

}  // namespace

void add_trends(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(
      app, "trends", "Say what changed over the seasons, how fast, and when a limit would be reached",
      "spile trends heron.spile --tag P-03 --limit \"crack-length>40mm\"");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("--tag", o->tag, "One opening; left out: all");
  command
      ->add_option("--limit", o->limits,
                   "QUANTITY>VALUE or QUANTITY<VALUE; in place of the tables' own; several times")
      ->type_name("LIMIT");
  command->add_flag("--all", o->all, "Also what was measured in one survey only");
  command->add_flag("--json", o->json, "One JSON object a line, an opening each");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading,
                 [&](Session& session) { return show(session, *o, console); });
  });
}

}  // namespace spile::app::cli
