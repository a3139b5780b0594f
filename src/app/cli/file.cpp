// spile file
#include <memory>

#include "app/cli/commands.hpp"
#include "app/cli/stored_photo.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string photo, opening;
  bool unfile = false, remove = false;
};

Result<void> run(Session& session, const Options& o, const Console& console) {
  const auto photo = stored_photo(session, o.photo);
  if (!photo) return tl::unexpected(photo.error());
  const auto use = photo->use.id;
  if (o.remove) return record_edit(session, console, [&] { return session.remove_photo_use(use); });
  std::optional<model::OpeningId> opening;
  if (!o.unfile) {
    const auto view = opening_by_tag(session, o.opening);
    if (!view) return tl::unexpected(view.error());
    opening = (*view)->opening.id;
  }
  return record_edit(session, console, [&] { return session.file_photo(use, opening); });
}

}  // namespace

void add_file(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "file", "File a photo of the survey under an opening, or take it out",
                              "spile file heron.spile IMG_0031.jpg P-03");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("PHOTO", o->photo, "Its file name, or the start of its SHA-256")->required();
  auto* where = command->add_option_group("where", "Where to");
  where->add_option("TAG", o->opening, "The opening");
  where->add_flag("--unfile", o->unfile, "Under no opening");
  where->add_flag("--remove", o->remove, "Out of the survey; the original is kept");
  where->require_option(1);
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run(session, *o, console); });
  });
}

}  // namespace spile::app::cli
