// Text and figures flowing down the pages of one document: breaks pages, repeats the running head, numbers
// pages, and remembers on which page a place came to lie. Lengths in mm.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "figures/figure.hpp"
#include "report/pdf.hpp"
#include "rules/verdict.hpp"

namespace spile::report {

// What a first pass over the same document found, for page totals and the contents.
struct Pagination {
  int pages = 0;  // 0: not known yet
  std::map<std::string, int> page_of;
};

struct Row {
  std::string label, text;
};

struct Cell {
  std::string text;
  const rules::Standing* standing = nullptr;  // a mark before the text
  Weight weight = Weight::Regular;
  std::string link;  // to a place, or empty
};
struct Column {
  std::string title;
  double width = 20;
  Set set = Set::Left;
};

class Flow {
 public:
  Flow(Pdf& pdf, std::string running_head, const Pagination& known);

  [[nodiscard]] Pdf& pdf() { return pdf_; }
  [[nodiscard]] double left() const { return kMargin; }
  [[nodiscard]] double width() const { return pdf_.size().width_mm - 2 * kMargin; }
  [[nodiscard]] double y() const { return y_; }
  [[nodiscard]] double room() const { return bottom() - y_; }
  void go_to(double y) { y_ = y; }
  void gap(double mm) { y_ += mm; }
  // Starts a new page unless `mm` are left on this one.
  void need(double mm);
  void new_page();
  void end();  // closes the last page

  // The title of a section, with a bookmark and a place to link to unless `place` is empty; level 1 or 2. The
  // bookmark of a `part` hangs under that of the last section that is none.
  void heading(int level, const std::string& text, const std::string& place, bool part = false);
  void paragraph(const std::string& text, const TextStyle& style, double indent = 0);
  // A paragraph with something in front of its first line: a number, a dash.
  void item(const std::string& mark, const std::string& text, const TextStyle& style, double indent = 4);
  void rows(const std::vector<Row>& rows, double label_width);
  void table(const std::vector<Column>& columns, const std::vector<std::vector<Cell>>& rows);
  void figure(const figures::Figure& figure);
  void boxed(const std::string& title, const std::string& text);

  [[nodiscard]] const Pagination& found() const { return found_; }
  [[nodiscard]] std::string page_of(const std::string& place) const;

  static constexpr double kMargin = 18;

 private:
  void table_head(const std::vector<Column>& columns);
  [[nodiscard]] double bottom() const { return pdf_.size().height_mm - 20; }
  void furniture();

  Pdf& pdf_;
  std::string running_head_;
  const Pagination& known_;
  Pagination found_;
  double y_ = kMargin;
  int bookmark_ = 0;  // of the last section
};

inline const TextStyle kBody{9.5, Weight::Regular, kBlack};
inline const TextStyle kSmall{8, Weight::Regular, kGrey};
inline const TextStyle kStrong{9.5, Weight::Medium, kBlack};

}  // namespace spile::report
