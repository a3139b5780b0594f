// The originals in photos/, byte for byte, each under its SHA-256: photos/ab/<64 digits>.<ext>.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace spile::db {

// Throws a Fault BadInput for a media type that is not kept.
[[nodiscard]] std::filesystem::path vault_path(const std::filesystem::path& folder, std::string_view sha256,
                                               std::string_view media_type);

// Puts the bytes in place unless they are there, whole and unchanged, already. True when a file was written.
bool put_original(const std::filesystem::path& target, std::string_view sha256,
                  std::span<const std::uint8_t> bytes);

struct VaultFile {
  std::filesystem::path path;
  bool unfinished = false;  // a temporary file of a write that was cut off
  std::string sha256;       // what its name promises; empty: not a name of the vault
};
[[nodiscard]] std::vector<VaultFile> list_vault(const std::filesystem::path& folder);

// The SHA-256 of a file on disk, read piece by piece.
[[nodiscard]] std::string sha256_of_file(const std::filesystem::path& file);

}  // namespace spile::db
