// A change made to a logbook, as undo and redo name it.
#pragma once

#include <string>

namespace spile::model {

struct PastEdit {
  std::string name;     // "Record condition, P-03"
  std::string made_at;  // UTC, ISO 8601
  bool undone = false;  // redo would do it again
};

}  // namespace spile::model
