#include <iostream>

#include "app/cli/cli.hpp"
#include "app/log.hpp"

int main(int argc, char** argv) {
  spile::app::start_log("spile");
  return spile::app::cli::run(argc, argv, std::cout, std::cerr);
}
