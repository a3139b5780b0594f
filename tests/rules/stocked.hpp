// The shipped stock of parts, loaded once, and short ways to write a run down.
#pragma once

#include <initializer_list>

#include "model/run.hpp"
#include "rules/run_parts.hpp"
#include "rules/stock.hpp"

inline const spile::rules::Stock& stocked() {
  static const auto loaded = spile::rules::Stock::load_shipped().value();
  return loaded;
}

inline spile::model::Run run_of(std::initializer_list<const char*> parts) {
  spile::model::Run run;
  for (const char* part : parts) {
    run.parts.emplace_back();
    run.parts.back().part = part;
  }
  return run;
}

inline spile::rules::RunEnd fitted(const char* size, const char* thread) {
  spile::rules::RunEnd end;
  end.fitting.emplace();
  end.fitting->nominal_size = size;
  end.fitting->thread = thread;
  return end;
}
