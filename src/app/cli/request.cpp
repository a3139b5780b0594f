#include "app/cli/request.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>
#include <utility>

#include "units/text.hpp"

namespace spile::app::cli {

namespace {

using vision::PixelPoint;

constexpr std::array kSubjects = {
    std::pair{"auto", vision::Subject::Auto}, std::pair{"hole", vision::Subject::Hole},
    std::pair{"edge", vision::Subject::Edge}, std::pair{"fitting", vision::Subject::Fitting},
    std::pair{"disc", vision::Subject::Disc}};

std::vector<std::string> split(std::string_view text, char at) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == at) {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

// Pixels are plain decimals; a photo side has at most a few tens of thousands.
std::optional<double> pixel(std::string_view text) {
  double value = 0;
  const auto* end = text.data() + text.size();
  const auto [stop, failed] = std::from_chars(text.data(), end, value, std::chars_format::fixed);
  if (failed != std::errc() || stop != end || !std::isfinite(value) || std::abs(value) > 1e6)
    return std::nullopt;
  return value;
}

std::optional<PixelPoint> point(const std::string& x, const std::string& y) {
  const auto left = pixel(x);
  const auto top = pixel(y);
  if (!left || !top) return std::nullopt;
  return PixelPoint{*left, *top};
}

std::optional<double> size(const std::string& text) {
  const auto length = units::parse_length(text);
  if (!length || length->length.value() <= 0) return std::nullopt;
  return length->length.value();
}

tl::unexpected<Error> wrong(const std::string& what, const std::string& text, const char* how) {
  return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a {}.", text, what), how);
}

// "SIZES", "SIZES@X,Y" or "SIZES@X1,Y1,X2,Y2,X3,Y3,X4,Y4".
struct Placed {
  std::vector<std::string> sizes;
  std::optional<PixelPoint> at;
  std::vector<PixelPoint> corners;
  bool understood = true;
};

Placed placed(const std::string& text) {
  Placed result;
  const auto parts = split(text, '@');
  result.sizes = split(parts[0], ',');
  if (parts.size() == 1) return result;
  const auto xy = split(parts[1], ',');
  if (parts.size() == 2 && xy.size() == 2) result.at = point(xy[0], xy[1]);
  if (parts.size() == 2 && xy.size() == 8) {
    for (std::size_t i = 0; i < 8; i += 2)
      if (const auto corner = point(xy[i], xy[i + 1])) result.corners.push_back(*corner);
  }
  result.understood = result.at.has_value() || result.corners.size() == 4;
  return result;
}

std::optional<vision::ReferenceRequest> card_of(const std::string& sizes) {
  const auto parts = split(sizes, ',');
  if (parts.size() != 3) return std::nullopt;
  const auto marker = size(parts[0]);
  const auto width = size(parts[1]);
  const auto height = size(parts[2]);
  if (!marker || !width || !height || *marker >= *width || *marker >= *height) return std::nullopt;
  return vision::CardReference{*marker, *width, *height};
}

std::optional<vision::ReferenceRequest> disc_of(const std::string& text, bool flange) {
  const auto parts = placed(text);
  const auto diameter = parts.sizes.size() == 1 ? size(parts.sizes[0]) : std::nullopt;
  if (!parts.understood || !diameter || !parts.corners.empty()) return std::nullopt;
  return vision::DiscReference{*diameter, parts.at, flange};
}

std::optional<vision::ReferenceRequest> square_of(const std::string& text) {
  const auto parts = placed(text);
  if (!parts.understood || parts.sizes.size() != 2) return std::nullopt;
  const auto width = size(parts.sizes[0]);
  const auto height = size(parts.sizes[1]);
  if (!width || !height) return std::nullopt;
  return vision::SquareReference{*width, *height, parts.at, parts.corners};
}

std::optional<vision::ReferenceRequest> points_of(const std::string& text) {
  const auto parts = split(text, ',');
  if (parts.size() != 5) return std::nullopt;
  const auto a = point(parts[0], parts[1]);
  const auto b = point(parts[2], parts[3]);
  const auto length = size(parts[4]);
  if (!a || !b || !length || *a == *b) return std::nullopt;
  return vision::PointsReference{*a, *b, *length};
}

std::optional<vision::ReferenceRequest> any_reference(const std::string& text) {
  if (text == "auto") return vision::AutoReference{};
  if (text == "card") return vision::CardReference{};
  if (text == "rule") return vision::RuleReference{};
  const auto colon = text.find(':');
  if (colon == std::string::npos) return std::nullopt;
  const auto kind = text.substr(0, colon);
  const auto rest = text.substr(colon + 1);
  if (kind == "card") return card_of(rest);
  if (kind == "disc" || kind == "flange") return disc_of(rest, kind == "flange");
  if (kind == "square") return square_of(rest);
  if (kind == "points") return points_of(rest);
  return std::nullopt;
}

Result<std::vector<PixelPoint>> points(const std::vector<std::string>& texts) {
  std::vector<PixelPoint> all;
  for (const auto& text : texts) {
    const auto one = point_of(text);
    if (!one) return tl::unexpected(one.error());
    all.push_back(*one);
  }
  return all;
}

Result<std::vector<PixelPoint>> lines(const std::vector<std::string>& texts) {
  std::vector<PixelPoint> ends;
  for (const auto& text : texts) {
    const auto parts = split(text, ',');
    const auto from = parts.size() == 4 ? point(parts[0], parts[1]) : std::nullopt;
    const auto to = parts.size() == 4 ? point(parts[2], parts[3]) : std::nullopt;
    if (!from || !to || *from == *to)
      return wrong("line", text, "Give its two ends in pixels as X1,Y1,X2,Y2.");
    ends.push_back(*from);
    ends.push_back(*to);
  }
  return ends;
}

Result<vision::Subject> subject_of(const std::string& text) {
  for (const auto& [name, subject] : kSubjects)
    if (text == name) return subject;
  return wrong("subject", text, "It is one of auto, hole, edge, fitting, disc.");
}

}  // namespace

void add_request_options(CLI::App& command, RequestText& into) {
  const auto repeatable = [&](const std::string& name, std::vector<std::string>& values,
                              const std::string& what, const std::string& shape) {
    command.add_option(name, values, what)->type_name(shape)->allow_extra_args(false)->group("Measuring");
  };
  command.add_option("--subject", into.subject, "What to measure: auto, hole, edge, fitting or disc")
      ->type_name("WHAT")
      ->capture_default_str()
      ->group("Measuring");
  command
      .add_option("--reference", into.references,
                  "The thing of known size (mm): auto, card[:MARKER,WIDTH,HEIGHT], disc:MM[@X,Y], "
                  "flange:MM[@X,Y], rule, "
                  "square:W,H[@X,Y or its four corners] or points:X1,Y1,X2,Y2,MM; given twice, the second "
                  "checks the first")
      ->type_name("KIND")
      ->allow_extra_args(false)
      ->capture_default_str()
      ->group("Measuring");
  repeatable("--at", into.at, "Measure the round thing here (upright pixels; may be given again)", "X,Y");
  repeatable("--rim", into.rim, "By hand: a point of the rim; give three or more", "X,Y");
  repeatable("--edge", into.edge, "By hand: a face of the laminate, outer first; give two", "X1,Y1,X2,Y2");
  command
      .add_option("--placed", into.placed_px,
                  "By hand: how well points are placed, in pixels (standard deviation); usually 4")
      ->type_name("PX")
      ->check(CLI::Range(0.1, 100.0))
      ->group("Measuring");
  command.add_flag("--as-placed", into.as_placed, "By hand: do not move points to the nearest edge")
      ->group("Measuring");
}

Result<PixelPoint> point_of(const std::string& text) {
  const auto parts = split(text, ',');
  const auto one = parts.size() == 2 ? point(parts[0], parts[1]) : std::nullopt;
  if (!one) return wrong("point", text, "Give pixels of the upright picture as X,Y, such as 812,1033.5.");
  return *one;
}

Result<vision::ReferenceRequest> reference_of(const std::string& text) {
  if (auto reference = any_reference(text)) return *reference;
  return wrong("reference", text,
               "It is one of auto, card, card:MARKER,WIDTH,HEIGHT, disc:MM, disc:MM@X,Y, flange:MM, "
               "flange:MM@X,Y, rule, square:W,H, "
               "square:W,H@X,Y, square:W,H@X1,Y1,X2,Y2,X3,Y3,X4,Y4, points:X1,Y1,X2,Y2,MM, with sizes above "
               "0 and a card's markers smaller than "
               "the distance between them.");
}

Result<vision::Request> request_of(const RequestText& text) {
  vision::Request request;
  auto subject = subject_of(text.subject);
  if (text.references.size() > 2)
    return fail(ErrorCode::BadInput, "More than two references were given.",
                "Give --reference once, or twice to have the second check the first.");
  auto reference = reference_of(text.references.front());
  auto at = points(text.at);
  auto rim = points(text.rim);
  auto edge = lines(text.edge);
  if (!subject) return tl::unexpected(subject.error());
  if (!reference) return tl::unexpected(reference.error());
  for (const auto* list : {&at, &rim, &edge})
    if (!*list) return tl::unexpected(list->error());
  if (!rim->empty() && rim->size() < 3)
    return fail(ErrorCode::BadInput, "A rim by hand needs three points or more.", "Give --rim X,Y again.");
  if (!edge->empty() && edge->size() != 4)
    return fail(ErrorCode::BadInput, "An edge by hand needs two lines.",
                "Give --edge X1,Y1,X2,Y2 twice: the outer face, then the inner face.");
  request.subject = *subject;
  request.reference = *reference;
  if (text.references.size() == 2) {
    auto check = reference_of(text.references[1]);
    if (!check) return tl::unexpected(check.error());
    request.check = *std::move(check);
  }
  request.placed_px = text.placed_px;
  request.at = std::move(*at);
  request.rim_by_hand = std::move(*rim);
  request.edge_by_hand = std::move(*edge);
  request.snap_to_edges = !text.as_placed;
  return request;
}

}  // namespace spile::app::cli
