#include "db/fault.hpp"

#include <fmt/format.h>
#include <sqlite3.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <string_view>
#include <system_error>

#include "db/text.hpp"

namespace spile::db {
namespace {

constexpr std::string_view kRescue =
    "Copy the whole folder to a safe place before anything else, then go back to your newest copy of the "
    "logbook; "
    "the original photos in its folder photos are separate files and can still be read.";

bool means_full(int e) {
  return e == ENOSPC || e == EDQUOT || e == EFBIG;
}

bool means_read_only(int e) {
  return e == EROFS || e == EACCES || e == EPERM;
}

std::string system_text(int e) {
  return fmt::format("errno {} {}", e, std::generic_category().message(e));
}

Error full(const Attempt& attempt, std::string detail) {
  return {ErrorCode::StorageFull,
          fmt::format("There is no room left on the disk that holds {}. {}", shown(attempt.folder),
                      attempt.not_done),
          "Make some room and try again; what was saved before is unharmed.", std::move(detail)};
}

Error read_only(const Attempt& attempt, std::string detail) {
  return {ErrorCode::StorageReadOnly,
          fmt::format(
              "{} cannot be written to: the disk is read-only, or you have no permission to change it. {}",
              shown(attempt.folder), attempt.not_done),
          "Open it to read only, or copy it to a place where you may write.", std::move(detail)};
}

Error busy(const Attempt& attempt, std::string detail) {
  return {
      ErrorCode::LogbookBusy,
      fmt::format("Another program is writing to {} right now. {}", shown(attempt.folder), attempt.not_done),
      "Wait until it is done, or close it, and try again.", std::move(detail)};
}

Error damaged(const Attempt& attempt, std::string detail) {
  return {ErrorCode::LogbookDamaged,
          fmt::format("The file log.sqlite in {} is damaged. {}", shown(attempt.folder), attempt.not_done),
          std::string(kRescue), std::move(detail)};
}

struct Uniqueness {
  std::string_view columns;
  std::string_view sentence;
};

// SQLite names the columns of a broken UNIQUE, not the constraint.
constexpr std::array kUniqueness{
    Uniqueness{"opening.tag", "Another opening in this logbook has the same tag."},
    Uniqueness{"fitting.opening_id", "There is a fitting in this opening already."},
    Uniqueness{"observation.opening_id, observation.survey_id",
               "This survey holds an observation of this opening already."},
    Uniqueness{"photo_use.photo_id, photo_use.survey_id, photo_use.opening_id",
               "This photo is filed with this opening in this survey already."},
    Uniqueness{"photo_use.photo_id, photo_use.survey_id", "This photo is in this survey already."},
    Uniqueness{"measurement.supersedes", "This measurement has been corrected already."},
};

std::string sentence_of_constraint(int extended, std::string_view message) {
  constexpr std::string_view kCheck = "CHECK constraint failed: ";
  constexpr std::string_view kUnique = "UNIQUE constraint failed: ";
  if (extended == SQLITE_CONSTRAINT_FOREIGNKEY) {
    return "It refers to a record that is not in the logbook, or that others still refer to.";
  }
  if (message.starts_with(kCheck)) return as_sentence(message.substr(kCheck.size()));
  if (message.starts_with(kUnique)) {
    for (const auto& u : kUniqueness) {
      if (message.substr(kUnique.size()) == u.columns) return std::string(u.sentence);
    }
  }
  if (extended == SQLITE_CONSTRAINT_NOTNULL) return "A value that is needed is missing or is not a number.";
  return as_sentence(message);
}

Error constraint(const SQLite::Exception& fault, const Attempt& attempt, std::string detail) {
  const int extended = fault.getExtendedErrorCode();
  const auto code = extended == SQLITE_CONSTRAINT_FOREIGNKEY ? ErrorCode::NotFound
                    : extended == SQLITE_CONSTRAINT_UNIQUE   ? ErrorCode::AlreadyExists
                                                             : ErrorCode::BadInput;
  return {code, fmt::format("{} {}", attempt.not_done, sentence_of_constraint(extended, fault.what())),
          "Change the entry and save it again; nothing else was touched.", std::move(detail)};
}

}  // namespace

void raise(ErrorCode code, std::string what, std::string remedy, std::string detail) {
  throw Fault(Error{code, std::move(what), std::move(remedy), std::move(detail)});
}

std::string shown(const std::filesystem::path& path) {
  return valid_utf8(path.string());
}

Error error_from_errno(int system_errno, const Attempt& attempt) {
  auto detail = system_text(system_errno);
  if (means_full(system_errno)) return full(attempt, std::move(detail));
  if (means_read_only(system_errno)) return read_only(attempt, std::move(detail));
  if (system_errno == ENOENT) {
    return {ErrorCode::FileMissing,
            fmt::format("{} is not there. {}", shown(attempt.folder), attempt.not_done),
            "Check the path, and that the disk it is on is connected.", std::move(detail)};
  }
  return {ErrorCode::FileUnreadable,
          fmt::format("{} could not be used ({}). {}", shown(attempt.folder),
                      std::generic_category().message(system_errno), attempt.not_done),
          "Check the disk and its connection, then try again.", std::move(detail)};
}

Error error_from_sqlite(const SQLite::Exception& fault, int system_errno, const Attempt& attempt) {
  auto detail = fmt::format("SQLite {}/{}: {}; {}", fault.getErrorCode(), fault.getExtendedErrorCode(),
                            fault.what(), system_text(system_errno));
  switch (fault.getErrorCode()) {
    case SQLITE_FULL:
      return full(attempt, std::move(detail));
    case SQLITE_READONLY:
      return read_only(attempt, std::move(detail));
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return busy(attempt, std::move(detail));
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
    case SQLITE_FORMAT:
      return damaged(attempt, std::move(detail));
    case SQLITE_CONSTRAINT:
      return constraint(fault, attempt, std::move(detail));
    case SQLITE_IOERR:
    case SQLITE_CANTOPEN:
    case SQLITE_PERM: {
      auto error = error_from_errno(system_errno == 0 ? EIO : system_errno, attempt);
      error.detail = std::move(detail);
      return error;
    }
    default:
      return {ErrorCode::Internal,
              fmt::format("The logbook {} gave an unexpected answer. {}", shown(attempt.folder),
                          attempt.not_done),
              "Close the logbook, open it again and repeat the step.", std::move(detail)};
  }
}

int system_errno_of(sqlite3* handle) {
  const int of_system = errno;
  const int of_sqlite = handle == nullptr ? 0 : sqlite3_system_errno(handle);
  return of_sqlite != 0 ? of_sqlite : of_system;
}

Error error_in_flight(sqlite3* handle, const Attempt& attempt) {
  try {
    throw;
  } catch (const Fault& fault) {
    return fault.error();
  } catch (const SQLite::Exception& fault) {
    return error_from_sqlite(fault, system_errno_of(handle), attempt);
  } catch (const std::system_error& fault) {
    return error_from_errno(fault.code().value(), attempt);
  } catch (const std::bad_alloc&) {
    return {ErrorCode::Internal, fmt::format("There is not enough memory. {}", attempt.not_done),
            "Close other programs and try again.", "bad_alloc"};
  } catch (const std::exception& fault) {
    return {ErrorCode::Internal, fmt::format("{} The reason: {}.", attempt.not_done, fault.what()),
            "Nothing was changed.", "exception"};
  } catch (...) {
    return {ErrorCode::Internal, attempt.not_done, "Nothing was changed.", "not a std::exception"};
  }
}

}  // namespace spile::db
