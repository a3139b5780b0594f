// SHA-256 (FIPS 180-4) as 64 lower-case hex digits, by libcrypto.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>

namespace spile::db {

class Sha256 {
 public:
  Sha256();
  ~Sha256();
  Sha256(const Sha256&) = delete;
  Sha256& operator=(const Sha256&) = delete;
  void add(std::span<const std::uint8_t> bytes);
  [[nodiscard]] std::string hex();  // ends it; call once

 private:
  struct State;
  std::unique_ptr<State> state_;
};

[[nodiscard]] std::string sha256_hex(std::span<const std::uint8_t> bytes);

}  // namespace spile::db
