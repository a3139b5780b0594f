// spile card
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "report/card.hpp"
#include "units/text.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  std::string output = "spile-card.pdf";
  std::string marker = "20 mm", width = "70 mm", height = "45 mm", paper = "a4";
};

Result<report::CardSize> size_of(const Options& o) {
  report::CardSize size;
  const auto read = [](const std::string& text, double& into) -> Result<void> {
    const auto length = units::parse_length(text);
    if (!length) return tl::unexpected(length.error());
    into = length->length.value();
    return {};
  };
  if (auto ok = read(o.marker, size.marker_mm); !ok) return tl::unexpected(ok.error());
  if (auto ok = read(o.width, size.width_mm); !ok) return tl::unexpected(ok.error());
  if (auto ok = read(o.height, size.height_mm); !ok) return tl::unexpected(ok.error());
  size.paper = o.paper == "letter" ? report::Paper::Letter : report::Paper::A4;
  return size;
}

}  // namespace

void add_card(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "card", "Make the reference card as a PDF at true size",
                              "spile card --output card.pdf");
  command->add_option("-o,--output", o->output, "File to write")
      ->type_name("FILE.pdf")
      ->capture_default_str();
  command->add_option("--marker", o->marker, "Side of a marker")->type_name("LENGTH")->capture_default_str();
  command->add_option("--width", o->width, "Between marker centres, across")
      ->type_name("LENGTH")
      ->capture_default_str();
  command->add_option("--height", o->height, "Between marker centres, up and down")
      ->type_name("LENGTH")
      ->capture_default_str();
  command->add_option("--paper", o->paper, "a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->callback([o, &console] {
    const auto size = size_of(*o);
    if (!size) return console.tell(size.error());
    if (auto written = report::write_card_pdf(o->output, *size); !written)
      return console.tell(written.error());
    console.out << o->output << '\n';
    console.note("Print it at 100 % (no scaling), then put a rule to the 100 mm line.");
  });
}

}  // namespace spile::app::cli
