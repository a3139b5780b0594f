// A PDF document being drawn: pages, text set by Pango in the program's own faces, shapes, JPEG pictures,
// bookmarks and links. Lengths in mm from the sheet's top-left corner, y down; type sizes in points. The same
// calls give the same bytes.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "outcome/outcome.hpp"
#include "report/paper.hpp"

namespace spile::report {

struct Ink {
  double r = 0, g = 0, b = 0;  // 0..1
};
inline constexpr Ink kBlack{0.07, 0.08, 0.09};
inline constexpr Ink kGrey{0.38, 0.41, 0.44};
inline constexpr Ink kHairline{0.72, 0.75, 0.78};
inline constexpr Ink kWhite{1, 1, 1};

struct Point {
  double x = 0, y = 0;
};
struct Box {
  double x = 0, y = 0, width = 0, height = 0;
};

enum class Weight { Regular, Medium, Bold };
enum class Set { Left, Centre, Right };

struct TextStyle {
  double size_pt = 9.5;
  Weight weight = Weight::Regular;
  Ink ink = kBlack;
  Set set = Set::Left;
  double line_spacing = 1.12;
};

// A paragraph set to a width; can be drawn line by line, so that a long one may run over pages.
class SetText {
 public:
  SetText(SetText&&) noexcept;
  SetText& operator=(SetText&&) noexcept;
  ~SetText();
  [[nodiscard]] double height() const;
  [[nodiscard]] double width() const;  // of the longest line
  [[nodiscard]] int lines() const;
  [[nodiscard]] double line_height(int line) const;

 private:
  friend class Pdf;
  struct Impl;
  explicit SetText(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

struct Metadata {
  std::string title, author, subject, keywords;
  std::string created;  // ISO 8601; the document's own date, never the clock's
};

class Pdf {
 public:
  Pdf(Paper paper, const Metadata& metadata);
  Pdf(Pdf&&) noexcept;
  Pdf& operator=(Pdf&&) noexcept;
  ~Pdf();

  [[nodiscard]] PaperSize size() const;
  void end_page();  // the next call draws on a new sheet

  [[nodiscard]] SetText set(const std::string& utf8, double width_mm, const TextStyle& style) const;
  void draw(const SetText& text, Point top_left);
  void draw_lines(const SetText& text, int first, int count, Point top_left);
  double text(const std::string& utf8, Point top_left, double width_mm,
              const TextStyle& style);  // its height
  // One line, unwrapped, its baseline at `baseline`, set from, around or up to it.
  void label(const std::string& utf8, Point baseline, const TextStyle& style, double turn_deg = 0);

  void line(Point from, Point to, double width_mm, Ink ink = kBlack, bool dashed = false);
  void fill(const Box& box, Ink ink);
  void frame(const Box& box, double width_mm, Ink ink = kBlack, bool dashed = false);
  void polygon(const std::vector<Point>& points, bool closed, const Ink* fill, const Ink* stroke,
               double width_mm, bool dashed = false);
  void disc(Point centre, double radius_mm, const Ink* fill, const Ink* stroke, double width_mm);
  // A baseline JPEG, upright, put in as it is.
  void picture(const std::vector<std::uint8_t>& jpeg, int width_px, int height_px, const Box& box);
  void clip(const Box& box);  // until unclip
  void unclip();

  // Contents: a named place on this page, a bookmark to it under `parent` (0: top), and links to it.
  void place(const std::string& name, Point at);
  int bookmark(int parent, const std::string& title, const std::string& place);
  void begin_link(const std::string& place);
  void end_link();

  // Ends the document. Errors: Internal.
  [[nodiscard]] Result<std::vector<std::uint8_t>> finish();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::report
