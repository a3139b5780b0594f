// Expected failures as values: an Error says what happened, to what, and what to do next.
// Exceptions are stopped at the edge of the folder that meets them and turned into one of these.
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace spile {

enum class ErrorCode {
  FileMissing,
  FileUnreadable,
  NotAnImage,
  ImageTooLarge,
  NotALogbook,
  LogbookTooNew,
  LogbookBusy,
  LogbookDamaged,
  StorageFull,
  StorageReadOnly,
  AlreadyExists,
  NotFound,
  BadInput,
  Refused,
  Cancelled,
  Internal,
};

// All three texts are for people: full sentences, no jargon, no trailing newline.
struct Error {
  ErrorCode code = ErrorCode::Internal;
  std::string what;    // what happened, naming the file, opening or value it happened to
  std::string remedy;  // what to do next; may be empty
  std::string detail;  // for the log only: library codes and the like

  [[nodiscard]] std::string sentence() const { return remedy.empty() ? what : what + " " + remedy; }
};

template <class T>
using Result = tl::expected<T, Error>;

[[nodiscard]] inline tl::unexpected<Error> fail(ErrorCode code, std::string what, std::string remedy = {},
                                                std::string detail = {}) {
  return tl::unexpected<Error>(Error{code, std::move(what), std::move(remedy), std::move(detail)});
}

}  // namespace spile
