// Use cases on runs of hose and parts, and on the bilge.
#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "app/access.hpp"
#include "app/wording.hpp"

namespace spile::app {

namespace {

Result<void> parts_are_known(const model::Run& run, const rules::Stock& stock) {
  for (const auto& part : run.parts) {
    if (stock.part(part.part) != nullptr) continue;
    return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not in the table of parts.", part.part),
                "Choose one from the list, or own-part for something else.");
  }
  return {};
}

std::string run_edit_name(const std::optional<model::Run>& before, const model::Run& after,
                          const std::string& tag) {
  const std::string of = after.name.empty() ? tag : fmt::format("{}, {}", after.name, tag);
  if (!before) return fmt::format("Add run {}", of);
  if (before->parts != after.parts) return fmt::format("Change parts of run {}", of);
  return fmt::format("Change run {}", of);
}

}  // namespace

Result<model::RunId> Session::save_run(const model::Run& run) {
  Access& a = *impl_->access;
  const auto view = a.opening(run.opening);
  if (!view) return tl::unexpected(view.error());
  if (auto ok = parts_are_known(run, a.stock); !ok) return tl::unexpected(std::move(ok.error()));
  std::optional<model::Run> before;
  if (run.id.stored()) {
    const auto* known = a.snapshot.water.find(run.id);
    if (known == nullptr)
      return fail(ErrorCode::NotFound, "That run is not in this logbook.", "Choose one from the list.");
    before = known->run;
  }
  if (run.joins && a.snapshot.water.find(run.joins->run) == nullptr)
    return fail(ErrorCode::NotFound, "The run to join is not in this logbook.", "Choose one from the list.");
  model::RunId id;
  auto done = a.edit(run_edit_name(before, run, (*view)->opening.tag),
                     [&](db::Edit& edit) { id = edit.save_run(run); });
  if (!done) return tl::unexpected(std::move(done.error()));
  return id;
}

Result<void> Session::remove_run(model::RunId run) {
  Access& a = *impl_->access;
  const auto* view = a.snapshot.water.find(run);
  if (view == nullptr)
    return fail(ErrorCode::NotFound, "That run is not in this logbook.", "Choose one from the list.");
  return a.edit(fmt::format("Remove run {}", view->title), [&](db::Edit& edit) { edit.remove_run(run); });
}

Result<model::RunId> Session::start_run(model::OpeningId opening, const std::string& name) {
  Access& a = *impl_->access;
  const auto view = a.opening(opening);
  if (!view) return tl::unexpected(view.error());
  model::Run run = run_from_template(a.stock, (*view)->opening.service, opening);
  if (run.parts.empty())
    return fail(ErrorCode::NotFound,
                fmt::format("There is no template for what {} serves.", (*view)->opening.tag),
                "Record its service, or add the parts one by one.");
  run.name = name;
  const auto* last = a.stock.part(run.parts.back().part);
  if ((*view)->fitting && rules::nominal_step((*view)->fitting->nominal_size) &&
      last->kind == rules::PartKind::ThroughHull)
    run.parts.pop_back();
  return save_run(run);
}

Result<void> Session::save_bilge(const model::Bilge& bilge) {
  return impl_->access->edit("Record bilge and pumps", [&](db::Edit& edit) { edit.save_bilge(bilge); });
}

Result<void> Session::type_bilge(std::optional<double> model::Bilge::*field, const std::string& typed) {
  model::Bilge bilge = impl_->access->snapshot.bilge;
  const std::string text = trimmed(typed);
  (bilge.*field).reset();
  if (!text.empty()) {
    double value = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (code != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
      return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a number.", typed),
                  "Write it like 420 or 21.5.");
    bilge.*field = value;
  }
  return save_bilge(bilge);
}

}  // namespace spile::app
