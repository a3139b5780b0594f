#include "gui/drafts.hpp"

namespace spile::gui {

Drafts::Draft& Drafts::field(const std::string& key, const std::string& stored, int frame) {
  Draft& draft = drafts_[key];
  // A refused text stays to be mended; anything else follows the record.
  const bool follows = !draft.active && draft.trouble.empty();
  const bool record_moved = !draft.active && draft.stored != stored;
  if (follows || record_moved) {
    draft.text = stored;
    draft.trouble.clear();
  }
  if (!draft.active) draft.stored = stored;
  draft.seen_in_frame = frame;
  return draft;
}

void Drafts::commit(Draft& draft) {
  if (draft.text != draft.stored && draft.commit) draft.commit(draft.text);
  draft.stored = draft.text;
}

void Drafts::sweep(int frame, Clock::time_point now) {
  for (auto it = drafts_.begin(); it != drafts_.end();) {
    Draft& draft = it->second;
    const bool left_behind = draft.seen_in_frame != frame;
    const bool rested = draft.commits_on_pause && draft.active && draft.text != draft.stored &&
                        now - draft.changed_at >= kPause;
    if (draft.active && (left_behind || rested)) commit(draft);
    it = left_behind ? drafts_.erase(it) : std::next(it);
  }
}

void Drafts::flush() {
  for (auto& [key, draft] : drafts_)
    if (draft.active) commit(draft);
}

bool Drafts::unsaved() const {
  for (const auto& [key, draft] : drafts_)
    if (draft.active && draft.commit && draft.text != draft.stored) return true;
  return false;
}

std::optional<Drafts::Clock::time_point> Drafts::next_alarm() const {
  std::optional<Clock::time_point> soonest;
  for (const auto& [key, draft] : drafts_) {
    if (!draft.active || !draft.commits_on_pause || draft.text == draft.stored) continue;
    const auto due = draft.changed_at + kPause;
    if (!soonest || due < *soonest) soonest = due;
  }
  return soonest;
}

}  // namespace spile::gui
