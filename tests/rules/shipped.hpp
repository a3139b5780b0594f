// The tables as shipped, read once per test binary.
#pragma once

#include <gtest/gtest.h>

#include "rules/tables.hpp"

namespace spile::rules {

inline const Tables& shipped() {
  static const Result<Tables> tables = Tables::load_shipped();
  EXPECT_TRUE(tables) << tables.error().sentence();
  return *tables;
}

}  // namespace spile::rules
