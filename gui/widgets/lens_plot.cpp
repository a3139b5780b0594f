#include "gui/widgets/lens_plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "gui/widgets/text.hpp"
#include "vision/camera_profile.hpp"

namespace spile::gui {

namespace {

constexpr int kSteps = 40;
constexpr double kCoverage = 1.96;  // of a normal distribution: 95 %

struct Frame {
  ImVec2 min, max;
  [[nodiscard]] float width() const { return max.x - min.x; }
  [[nodiscard]] float height() const { return max.y - min.y; }
};

Frame begin_plot(const Ui& ui, ImVec2 size) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const Frame frame{at, {at.x + size.x, at.y + size.y}};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(frame.min, frame.max, ui.colours.field.u32(), ui.px(3));
  list.AddRect(frame.min, frame.max, ui.colours.line.u32(), ui.px(3));
  return frame;
}

void label(const Ui& ui, ImVec2 at, const std::string& text) {
  ImGui::GetWindowDrawList()->AddText(ui.fonts.small, ui.fonts.small->FontSize, at, ui.colours.soft.u32(),
                                      text.c_str());
}

// The next of 1, 2, 5, 10 ... not below.
double round_up(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(std::max(value, 1e-3))));
  for (const double step : {1.0, 2.0, 5.0})
    if (step * power >= value) return step * power;
  return 10 * power;
}

}  // namespace

void distortion_plot(const Ui& ui, const model::CameraProfile& profile, ImVec2 size) {
  const Frame frame = begin_plot(ui, size);
  std::array<vision::Displacement, kSteps + 1> curve;
  double largest = 0;
  for (int i = 0; i <= kSteps; ++i) {
    auto& at = curve.at(static_cast<std::size_t>(i));
    at = vision::displacement_at(profile, static_cast<double>(i) / kSteps);
    largest = std::max(largest, std::abs(at.px) + kCoverage * at.u_px);
  }
  const double top = round_up(std::max(largest, 0.5));
  const auto place = [&](int i, double px) {
    return ImVec2(frame.min.x + frame.width() * static_cast<float>(i) / kSteps,
                  (frame.min.y + frame.max.y) / 2 - static_cast<float>(px / top) * frame.height() * 0.48F);
  };
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddLine(place(0, 0), place(kSteps, 0), ui.colours.line.u32());
  for (int i = 0; i < kSteps; ++i) {
    const auto &a = curve.at(static_cast<std::size_t>(i)), &b = curve.at(static_cast<std::size_t>(i) + 1);
    list.AddQuadFilled(place(i, a.px + kCoverage * a.u_px), place(i + 1, b.px + kCoverage * b.u_px),
                       place(i + 1, b.px - kCoverage * b.u_px), place(i, a.px - kCoverage * a.u_px),
                       ui.colours.accent.u32(0.18F));
    const bool seen = static_cast<double>(i + 1) / kSteps <= profile.reach;
    if (seen || i % 2 == 0)
      list.AddLine(place(i, a.px), place(i + 1, b.px), ui.colours.accent.u32(), ui.px(1.6F));
  }
  const float line = ui.fonts.small->FontSize;
  label(ui, {frame.min.x + ui.px(5), frame.min.y + ui.px(2)}, fmt::format("+{:g} px", top));
  label(ui, {frame.min.x + ui.px(5), frame.max.y - line - ui.px(2)}, fmt::format("-{:g} px", top));
  const std::string corner = "corner";
  label(ui, {frame.max.x - size_of(corner).x, frame.max.y - line - ui.px(2)}, corner);
  ImGui::Dummy(size);
  hint(
      "How far the lens moves a point, out (+) or in (-), from the middle of the picture to its corner, with "
      "the 95 % "
      "band; dashed beyond where the board was seen.");
}

void residual_plot(const Ui& ui, const model::CameraProfile& profile,
                   const std::vector<vision::CalibrationPhoto>& photos, ImVec2 size) {
  const float scale =
      std::min(size.x / static_cast<float>(profile.width_px), size.y / static_cast<float>(profile.height_px));
  const ImVec2 drawn(scale * static_cast<float>(profile.width_px),
                     scale * static_cast<float>(profile.height_px));
  const Frame frame = begin_plot(ui, drawn);
  // So that a usual one is long enough to see which way it leans.
  const double larger =
      std::max(1.0, std::round(ui.px(12) / (static_cast<double>(scale) * std::max(profile.rms_px, 0.01))));
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.PushClipRect(frame.min, frame.max, true);
  for (const auto& photo : photos) {
    for (std::size_t i = 0; i < photo.residuals.size(); ++i) {
      const auto &c = photo.corners[i], &r = photo.residuals[i];
      const ImVec2 from(frame.min.x + scale * static_cast<float>(c.x),
                        frame.min.y + scale * static_cast<float>(c.y));
      list.AddLine(from,
                   {from.x + scale * static_cast<float>(larger * r.x),
                    from.y + scale * static_cast<float>(larger * r.y)},
                   ui.colours.accent.u32());
      list.AddCircleFilled(from, ui.px(1.6F), ui.colours.ink.u32());
    }
  }
  list.PopClipRect();
  ImGui::Dummy(drawn);
  ImGui::SameLine();
  ImGui::BeginGroup();
  ImGui::PushTextWrapPos(0);
  soft_wrapped(
      ui, fmt::format("Where the board's corners were seen in the picture, and how far they lie off the lens "
                      "that was found, drawn {:.0f} times larger: {:.2f} px as a rule.",
                      larger, profile.rms_px));
  soft_wrapped(
      ui,
      "Empty parts of the picture are where the lens is least certain. Lines that all lean one way in one "
      "part mean a bent board.");
  ImGui::PopTextWrapPos();
  ImGui::EndGroup();
}

}  // namespace spile::gui
