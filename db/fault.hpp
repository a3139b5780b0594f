// How this folder fails inside: a Fault carries an Error up to the edge (store.cpp), where guarded() turns
// it, and whatever SQLite or the system threw, into a Result in the user's words.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cerrno>
#include <exception>
#include <filesystem>
#include <string>

#include "outcome/outcome.hpp"

namespace spile::db {

class Fault : public std::exception {
 public:
  explicit Fault(Error error) : error_(std::move(error)) {}
  [[nodiscard]] const char* what() const noexcept override { return error_.what.c_str(); }
  [[nodiscard]] const Error& error() const { return error_; }

 private:
  Error error_;
};

[[noreturn]] void raise(ErrorCode code, std::string what, std::string remedy = {}, std::string detail = {});

// What was being done, for the sentence: the folder, and what did not happen ("“Add P-03” was not saved.").
struct Attempt {
  std::filesystem::path folder;
  std::string not_done;
};

[[nodiscard]] std::string shown(const std::filesystem::path& path);  // as valid UTF-8, whatever the disk says

// `system_errno` may be 0: not known.
[[nodiscard]] Error error_from_errno(int system_errno, const Attempt& attempt);
[[nodiscard]] Error error_from_sqlite(const SQLite::Exception& fault, int system_errno,
                                      const Attempt& attempt);
// The system's own reason for the failure just met; SQLite does not keep it on every path. `handle` may be
// null.
[[nodiscard]] int system_errno_of(sqlite3* handle);
// The exception in flight, whatever it is. `handle` may be null.
[[nodiscard]] Error error_in_flight(sqlite3* handle, const Attempt& attempt);

template <class Work>
[[nodiscard]] auto guarded(sqlite3* handle, const Attempt& attempt, const Work& work)
    -> Result<decltype(work())> {
  errno = 0;
  try {
    if constexpr (std::is_void_v<decltype(work())>) {
      work();
      return {};
    } else {
      return work();
    }
  } catch (...) {
    return tl::unexpected<Error>(error_in_flight(handle, attempt));
  }
}

}  // namespace spile::db
