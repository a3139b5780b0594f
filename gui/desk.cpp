// Desk: the logbook's life, undo, messages, settings, the window's own state.
#include "gui/desk.hpp"

#include <algorithm>

namespace spile::gui {

namespace fs = std::filesystem;

namespace {
constexpr auto kNoticeStays = std::chrono::seconds(8);
constexpr std::size_t kMaxMessages = 50;
}  // namespace

Desk::Desk(Options options) : options_(std::move(options)) {
  state_.settings = load_settings(options_.settings_file);
  imports_ = std::make_unique<app::Jobs>(options_.wake);
  hand_jobs_ = std::make_unique<app::Jobs>(options_.wake);
  thumb_jobs_ = std::make_unique<app::Jobs>(options_.wake);
  compare_jobs_ = std::make_unique<app::Jobs>(options_.wake);
  bench_ = std::make_unique<Bench>(*hand_jobs_, uploads_);
  comparing_ = std::make_unique<Comparing>(*compare_jobs_, *thumb_jobs_, uploads_);
}

Desk::~Desk() = default;

const app::Snapshot* Desk::logbook() const {
  return session_ ? &session_->snapshot() : nullptr;
}

const rules::Stock* Desk::stock() const {
  return session_ ? &session_->stock() : nullptr;
}
const rules::Tables* Desk::tables() const {
  return session_ ? &session_->tables() : nullptr;
}

const app::OpeningView* Desk::selected() const {
  return session_ && state_.selected ? session_->snapshot().find(*state_.selected) : nullptr;
}

std::vector<const app::OpeningView*> Desk::rows() const {
  if (!session_) return {};
  return listed(session_->snapshot(), session_->tables(), state_.list);
}

bool Desk::can_edit() const {
  return session_ && !session_->snapshot().read_only;
}

// What is placed in the photo in hand, or traced in the two beside each other, is taken back before records.
std::optional<std::string> Desk::undo_name() const {
  if (state_.page == Page::Compare) {
    if (auto name = comparing_->undo_name()) return name;
  } else if (auto name = bench_->undo_name())
    return name;
  return can_edit() ? session_->snapshot().undo_name : std::nullopt;
}

std::optional<std::string> Desk::redo_name() const {
  if (state_.page == Page::Compare) {
    if (auto name = comparing_->redo_name()) return name;
  } else if (auto name = bench_->redo_name())
    return name;
  return can_edit() ? session_->snapshot().redo_name : std::nullopt;
}

void Desk::apply(const Intent& intent) {
  std::visit([this](const auto& asked) { on(asked); }, intent);
}

void Desk::pump() {
  for (app::Jobs* jobs : {imports_.get(), hand_jobs_.get(), thumb_jobs_.get(), compare_jobs_.get()}) {
    jobs->pump();
    for (const app::JobFailure& failure : jobs->take_failures()) {
      complain(failure.error.sentence());
      bench_->failed(failure);
      comparing_->failed(failure);
    }
  }
  // A step of an import may have moved what is being looked at.
  if (session_ && session_->snapshot().revision != revision_) records_changed();
  state_.jobs = imports_->status();
  const auto now = std::chrono::steady_clock::now();
  std::erase_if(state_.messages, [now](const Message& m) { return !m.problem && m.gone_at <= now; });
}

std::optional<std::chrono::steady_clock::time_point> Desk::next_alarm() const {
  std::optional<std::chrono::steady_clock::time_point> soonest;
  for (const Message& m : state_.messages)
    if (!m.problem && (!soonest || m.gone_at < *soonest)) soonest = m.gone_at;
  return soonest;
}

bool Desk::idle() const {
  return imports_->idle() && hand_jobs_->idle() && thumb_jobs_->idle() && compare_jobs_->idle();
}

void Desk::wait_idle() {
  // A step of one queue may start work in another.
  while (!idle()) {
    imports_->wait_idle();
    hand_jobs_->wait_idle();
    compare_jobs_->wait_idle();
    thumb_jobs_->wait_idle();
  }
  pump();
}

void Desk::say(std::string text) {
  state_.messages.push_back(
      {next_message_++, false, std::move(text), std::chrono::steady_clock::now() + kNoticeStays});
  if (state_.messages.size() > kMaxMessages) state_.messages.erase(state_.messages.begin());
}

void Desk::complain(std::string text) {
  const auto same = [&](const Message& m) { return m.problem && m.text == text; };
  if (std::any_of(state_.messages.begin(), state_.messages.end(), same)) return;
  state_.messages.push_back({next_message_++, true, std::move(text), {}});
  if (state_.messages.size() > kMaxMessages) state_.messages.erase(state_.messages.begin());
}

bool Desk::done(const Result<void>& result) {
  if (!result) complain(result.error().sentence());
  records_changed();
  return result.has_value();
}

void Desk::keep_settings() {
  if (auto kept = save_settings(state_.settings, options_.settings_file); !kept)
    complain(kept.error().sentence());
}

void Desk::window_resized(int width, int height) {
  state_.settings.window_width = width;
  state_.settings.window_height = height;
}

// --- the logbook

void Desk::on(const CreateLogbook& asked) {
  auto session = app::Session::create(asked.folder, options_.clock);
  if (!session) return complain(session.error().sentence());
  take_over(std::move(*session));
  say("Everything you do is kept at once in " + session_->snapshot().folder.filename().string() + ".");
  state_.page = Page::Vessel;  // a new logbook begins with the craft it is about
}

void Desk::on(const OpenLogbook& asked) {
  auto session = app::Session::open(asked.folder, false, options_.clock);
  if (session) return take_over(std::move(*session));
  if (session.error().code != ErrorCode::LogbookBusy && session.error().code != ErrorCode::StorageReadOnly)
    return complain(session.error().sentence());
  const std::string why = session.error().what;
  auto beside = app::Session::open(asked.folder, true, options_.clock);
  if (!beside) return complain(beside.error().sentence());
  take_over(std::move(*beside));
  state_.held_by = why;
}

void Desk::take_over(app::Session session) {
  on(CloseLogbook{});
  session_.emplace(std::move(session));
  state_.page = Page::Desk;
  state_.settings.remember(session_->snapshot().folder);
  keep_settings();
  if (const auto shown = rows(); !shown.empty()) on(SelectOpening{shown.front()->opening.id});
}

void Desk::on(const CloseLogbook&) {
  ++logbook_;
  for (app::Jobs* jobs : {imports_.get(), hand_jobs_.get(), thumb_jobs_.get(), compare_jobs_.get()})
    for (const app::JobStatus& job : jobs->status()) jobs->cancel(job.id);
  bench_->forget();
  comparing_->close();
  uploads_.clear();
  thumbs_asked_.clear();
  session_.reset();
  state_.held_by.clear();
  state_.selected.reset();
  state_.list = {};
  state_.cameras = {};
  state_.large_photo = false;
  state_.page = Page::Start;
}

void Desk::on(const Quit&) {
  // Asked once; asking again means it.
  if (!state_.asks_to_quit && !imports_->idle()) {
    state_.asks_to_quit = true;
    return;
  }
  keep_settings();
  quits_ = true;
}

void Desk::on(const Undo&) {
  if (state_.page == Page::Compare && comparing_->undo_name()) return comparing_->undo();
  if (state_.page != Page::Compare && bench_->undo_name()) return bench_->undo();
  go_back_or_on(true);
}

void Desk::on(const Redo&) {
  if (state_.page == Page::Compare && comparing_->redo_name()) return comparing_->redo();
  if (state_.page != Page::Compare && bench_->redo_name()) return bench_->redo();
  go_back_or_on(false);
}

void Desk::go_back_or_on(bool back) {
  const auto name = back ? undo_name() : redo_name();
  if (!name) return;
  std::set<model::OpeningId> before;
  for (const auto& view : session_->snapshot().openings) before.insert(view.opening.id);
  if (!done(back ? session_->undo() : session_->redo())) return;
  say((back ? "Undone: " : "Done again: ") + *name);
  // What has come back is looked at.
  for (const auto& view : session_->snapshot().openings)
    if (!before.contains(view.opening.id)) on(SelectOpening{view.opening.id});
}

// --- the window

void Desk::on(const ShowPage& asked) {
  if (session_ || asked.page == Page::Start) state_.page = asked.page;
}
void Desk::on(const ShowSeasons& asked) {
  state_.seasons_tab = asked.tab;
  if (session_) state_.page = Page::Seasons;
}
void Desk::on(const ShowHelp& asked) {
  state_.help = asked.show;
}
void Desk::on(const ToggleLargePhoto&) {
  state_.large_photo = !state_.large_photo;
}
void Desk::on(const FocusPane& asked) {
  if (session_) state_.page = Page::Desk;
  commands_.emplace_back(asked);
}
void Desk::on(const FocusFilter& asked) {
  if (session_) state_.page = Page::Desk;
  commands_.emplace_back(asked);
}
void Desk::on(const ZoomPhoto& asked) {
  commands_.emplace_back(asked);
}
void Desk::on(const ToggleLoupe&) {
  state_.loupe = !state_.loupe;
}

void Desk::on(const AskForFile& asked) {
  const Settings& settings = state_.settings;
  fs::path from = takes_photos(asked.purpose) ? settings.photo_folder : settings.logbook_folder;
  std::error_code ignored;
  if (from.empty() || !fs::is_directory(from, ignored)) from = settings.logbook_folder;
  if (from.empty() || !fs::is_directory(from, ignored)) {
    const auto places = list_folder(asked.purpose, "/").places;
    from = places.empty() ? fs::path("/") : places.front();
  }
  state_.chooser = list_folder(asked.purpose, from);
}

void Desk::on(const ChooserGo& asked) {
  auto next = list_folder(state_.chooser.purpose, asked.folder);
  // A folder that cannot be read says so and leaves the old list to go on from.
  if (!next.trouble.empty()) {
    state_.chooser.trouble = next.trouble;
    return;
  }
  state_.chooser = std::move(next);
}

void Desk::on(const ChooserPick& asked) {
  const ChooserFor purpose = state_.chooser.purpose;
  const fs::path folder = state_.chooser.folder;
  state_.chooser = {};
  if (asked.files.empty()) return;
  switch (purpose) {
    case ChooserFor::OpenLogbook:
      return on(OpenLogbook{asked.files.front()});
    case ChooserFor::CreateLogbook:
      return on(CreateLogbook{asked.files.front()});
    case ChooserFor::MergeLogbook:
      return on(PlanMerge{asked.files.front()});
    case ChooserFor::Photos:
      state_.settings.photo_folder = folder;
      keep_settings();
      return import(asked.files, state_.selected);
    case ChooserFor::BoardPhotos:
      state_.settings.photo_folder = folder;
      keep_settings();
      return on(CalibrateCamera{asked.files});
  }
}

void Desk::on(const ChooserCancel&) {
  state_.chooser = {};
}

void Desk::on(const CancelJob& asked) {
  if (asked.job == 0) {
    state_.asks_to_quit = false;
    return;
  }
  imports_->cancel(asked.job);
}

void Desk::on(const Dismiss& asked) {
  std::erase_if(state_.messages,
                [&](const Message& m) { return asked.message == 0 || m.id == asked.message; });
}

void Desk::on(const SetShade& asked) {
  state_.settings.shade = asked.shade;
  keep_settings();
}

void Desk::on(const SetScale& asked) {
  state_.settings.scale = std::clamp(asked.scale, Settings::kMinScale, Settings::kMaxScale);
  keep_settings();
}

void Desk::on(const SetLengths& asked) {
  state_.settings.lengths = asked.lengths;
  keep_settings();
}

void Desk::on(const SetShares& asked) {
  state_.settings.left_share = asked.left;
  state_.settings.left_share_wide = asked.left_wide;
  state_.settings.list_share = asked.list;
  state_.settings.right_share = asked.right;
  keep_settings();
}

}  // namespace spile::gui
