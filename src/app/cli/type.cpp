// spile type
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag, quantity, value, method, layer;
  Given u95;
};

Result<void> record(Session& session, const Options& o, const Console& console) {
  const auto view = opening_by_tag(session, o.tag);
  if (!view) return tl::unexpected(view.error());
  auto quantity = model::Quantity::LaminateThickness;
  auto method = model::Method::Caliper;
  std::optional<double> u95;
  Fields fields;
  fields.choice(Given(o.quantity), "quantity", quantity)
      .choice(Given(o.method), "instrument", method)
      .length(o.u95, u95);
  if (auto understood = fields.understood(); !understood) return understood;
  const auto opening = (*view)->opening.id;
  return record_edit(session, console, [&]() -> Result<void> {
    auto typed = session.type_measurement(opening, quantity, o.value, method, u95, o.layer);
    if (!typed) return tl::unexpected(std::move(typed.error()));
    for (const auto& m : session.snapshot().find(opening)->measurements)
      if (m.id == *typed) console.out << print_measurement(m) << '\n';
    return {};
  });
}

}  // namespace

void add_type(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "type", "Record a value read from an instrument",
                              "spile type heron.spile P-03 laminate-thickness 5/8 --method caliper");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("TAG", o->tag, "The opening")->required();
  command->add_option("QUANTITY", o->quantity, keys_of<model::Quantity>())->required();
  command->add_option("VALUE", o->value, "As read: 14.8 mm, 5/8, 1-1/2 in; percent or scale without unit")
      ->required();
  command->add_option("--method", o->method, "caliper, ultrasonic-gauge, steel-rule, tape, estimate")
      ->required();
  command->add_option("--u95", o->u95, "Half width of the 95 % interval (left out: the instrument's own)")
      ->type_name("LENGTH");
  command->add_option("--layer", o->layer, "For layer-thickness: gelcoat, laminate or core")
      ->check(CLI::IsMember({"gelcoat", "laminate", "core"}));
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return record(session, *o, console); });
  });
}

}  // namespace spile::app::cli
