// How a photo is measured: what is looked for, and what gives the scale. For when it is not found by itself.
#include <imgui.h>
#include <imgui_stdlib.h>

#include <array>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/bench.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"

namespace spile::gui {

namespace {

constexpr std::array<Option, 5> kSubjects = {{{"auto", "what is there"},
                                              {"hole", "a hole"},
                                              {"edge", "a cut edge"},
                                              {"fitting", "a fitting's flange"},
                                              {"disc", "a disc"}}};
constexpr std::array<Option, 5> kScales = {{{"auto", "what is there"},
                                            {"card", "the printed card"},
                                            {"rule", "a steel rule"},
                                            {"id1", "a bank card"},
                                            {"a4", "an A4 sheet"}}};
// From memory: ISO/IEC 7810 (ID-1) and ISO 216 (A4).
const vision::SquareReference kBankCard{85.6, 53.98, {}, {}}, kA4{210, 297, {}, {}};

std::size_t scale_in_hand(const vision::ReferenceRequest& reference) {
  if (std::holds_alternative<vision::AutoReference>(reference)) return 0;
  if (std::holds_alternative<vision::CardReference>(reference)) return 1;
  if (std::holds_alternative<vision::RuleReference>(reference)) return 2;
  if (const auto* sheet = std::get_if<vision::SquareReference>(&reference)) {
    if (sheet->width_mm == kBankCard.width_mm) return 3;
    if (sheet->width_mm == kA4.width_mm) return 4;
  }
  return kScales.size();
}

// A length typed here; its value when it can be read and is more than nothing.
std::optional<double> size_input(const Ui& ui, const char* name, const char* example, std::string& typed) {
  ImGui::SetNextItemWidth(ui.px(96));
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  ImGui::InputTextWithHint((std::string("##") + name).c_str(), example, &typed);
  ImGui::PopStyleColor();
  hooks::note(name);
  const auto read = read_length(typed, ui.lengths);
  if (!read || read->length.value() <= 0) return std::nullopt;
  return read->length.value();
}

}  // namespace

void BenchView::draw_card_sizes(const Ui& ui) {
  field_label(ui, "a card of other sizes");
  const auto marker = size_input(ui, "how.card.marker", "20 mm", card_marker_typed_);
  ImGui::SameLine();
  ImGui::TextUnformatted("marker,");
  ImGui::SameLine();
  const auto width = size_input(ui, "how.card.width", "70 mm", card_width_typed_);
  ImGui::SameLine();
  ImGui::TextUnformatted("by");
  ImGui::SameLine();
  const auto height = size_input(ui, "how.card.height", "45 mm", card_height_typed_);
  ImGui::SameLine();
  if (button(ui, "how.card.use", "Use it", marker && width && height))
    ui.ask(SetReference{vision::CardReference{*marker, *width, *height}});
  hint("The side of a marker, and the distances between the markers' centres, as printed on the card.");
}

// A round reference by its diameter: a row with a field and a button.
void BenchView::draw_round_size(const Ui& ui, const RoundRow& row, std::string& typed) {
  field_label(ui, row.label);
  const auto across = size_input(ui, row.field, row.example, typed);
  ImGui::SameLine();
  ImGui::TextUnformatted("across");
  ImGui::SameLine();
  if (button(ui, row.use, "Use it", across.has_value()))
    ui.ask(SetReference{vision::DiscReference{*across, {}, row.flange}});
  hint(row.why);
}

void BenchView::draw_sheet_sizes(const Ui& ui) {
  field_label(ui, "a sheet of other sizes");
  const auto width = size_input(ui, "how.sheet.width", "100 mm", sheet_width_typed_);
  ImGui::SameLine();
  ImGui::TextUnformatted("by");
  ImGui::SameLine();
  const auto height = size_input(ui, "how.sheet.height", "100 mm", sheet_height_typed_);
  ImGui::SameLine();
  if (button(ui, "how.sheet.use", "Use it", width && height))
    ui.ask(SetReference{vision::SquareReference{*width, *height, {}, {}}});
  hint("Anything flat and rectangular, in another tone than what it lies on.");
}

void BenchView::draw_how(const Ui& ui) {
  const BenchState& bench = ui.desk.bench();
  const bool enabled = action("measure.auto").enabled(ui.desk);
  if (button(ui, "bench.how", "How…", enabled)) ImGui::OpenPopup("how");
  hint("What to look for and what gives the scale, when it is not found by itself.");
  ImGui::SetNextWindowSize({ui.px(680), 0});
  if (!ImGui::BeginPopup("how")) return;
  field_label(ui, "Measure");
  if (const auto picked =
          segments(ui, "how.subject", kSubjects, static_cast<std::size_t>(bench.draft.subject)))
    ui.ask(SetSubject{static_cast<vision::Subject>(*picked)});
  field_label(ui, "Scale from");
  if (const auto picked = segments(ui, "how.scale", kScales, scale_in_hand(bench.draft.reference))) {
    const std::array<vision::ReferenceRequest, 5> references = {
        vision::AutoReference{}, vision::CardReference{}, vision::RuleReference{}, kBankCard, kA4};
    ui.ask(SetReference{references[*picked]});
  }
  draw_card_sizes(ui);
  draw_round_size(
      ui,
      {"a coin or washer", "how.disc", "how.disc.use", "23.25 mm",
       "Its outer diameter. It is found by itself, and its thickness of about 2 mm is allowed for.", false},
      disc_typed_);
  draw_round_size(ui,
                  {"a flange", "how.flange", "how.flange.use", "72 mm",
                   "The outer diameter of a flange that stays where it is, as the calliper has it.", true},
                  flange_typed_);
  draw_sheet_sizes(ui);
  field_label(ui, "two points");
  if (button(ui, "how.points", "Place a known length", true, keys_of("measure.scale"))) {
    ui.ask(SetTool{Tool::Scale});
    ImGui::CloseCurrentPopup();
  }
  soft_wrapped(
      ui, "Whatever gives the scale has to lie flat in the plane of the hull, close to what is measured.");
  ImGui::EndPopup();
}

}  // namespace spile::gui
