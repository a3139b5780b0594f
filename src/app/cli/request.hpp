// The options of the measuring contract, read from text into a vision::Request.
#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "outcome/outcome.hpp"
#include "vision/measure.hpp"

namespace spile::app::cli {

struct RequestText {
  std::string subject = "auto";
  std::vector<std::string> references = {"auto"};  // the second checks the first
  std::vector<std::string> at, rim, edge;
  std::optional<double> placed_px;
  bool as_placed = false;
};

void add_request_options(CLI::App& command, RequestText& into);

// Errors of all: BadInput, quoting the text and how it should look.
[[nodiscard]] Result<vision::Request> request_of(const RequestText& text);
// "auto", "card", "card:20,70,45", "disc:23.25", "disc:23.25@812,1033", "rule", "square:85.6,53.98",
// "square:85.6,53.98@10,20", "square:85.6,53.98@X1,Y1,X2,Y2,X3,Y3,X4,Y4" (its corners by hand),
// "points:X1,Y1,X2,Y2,MM". Sizes are mm, or carry a unit.
[[nodiscard]] Result<vision::ReferenceRequest> reference_of(const std::string& text);
[[nodiscard]] Result<vision::PixelPoint> point_of(const std::string& text);  // "X,Y", upright pixels

}  // namespace spile::app::cli
