// Texts being typed, between the keystroke and the record. A draft is committed when the person leaves the
// field, presses Enter, or pauses; and also when the field vanishes under them, so that nothing typed is
// lost.
#pragma once

#include <chrono>
#include <functional>
#include <map>
#include <optional>
#include <string>

namespace spile::gui {

class Drafts {
 public:
  using Clock = std::chrono::steady_clock;
  static constexpr auto kPause = std::chrono::seconds(2);

  struct Draft {
    std::string text;
    std::string stored;   // what the record said when typing began
    std::string trouble;  // why it could not be taken up
    bool active = false;  // the keyboard is in it
    bool commits_on_pause = false;
    int seen_in_frame = -1;
    Clock::time_point changed_at;
    std::function<void(const std::string&)> commit;
  };

  // The draft of the field `key` (unique over all records), following `stored` while nobody types.
  Draft& field(const std::string& key, const std::string& stored, int frame);
  // After the fields of a frame were drawn: commits what was left behind or has rested long enough.
  void sweep(int frame, Clock::time_point now);
  // Everything that is being typed, at once: before undo, before another logbook, before quitting.
  void flush();
  // Something is being typed that no record holds yet.
  [[nodiscard]] bool unsaved() const;
  // When sweep() will have something to do though nothing happens.
  [[nodiscard]] std::optional<Clock::time_point> next_alarm() const;

 private:
  static void commit(Draft& draft);
  std::map<std::string, Draft> drafts_;
};

}  // namespace spile::gui
