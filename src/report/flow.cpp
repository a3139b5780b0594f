#include "report/flow.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "figures/standing.hpp"
#include "report/paint_figure.hpp"

namespace spile::report {

namespace {

constexpr double kTop = 22;  // of text under the running head
constexpr double kCellPad = 1.1;
constexpr Ink kAccent{0.06, 0.26, 0.33};
constexpr Ink kShade{0.95, 0.96, 0.965};
const TextStyle kTable{8.5, Weight::Regular, kBlack};
const TextStyle kTableHead{8, Weight::Medium, kGrey};

}  // namespace

Flow::Flow(Pdf& pdf, std::string running_head, const Pagination& known)
    : pdf_(pdf), running_head_(std::move(running_head)), known_(known) {
  found_.pages = 1;
}

void Flow::need(double mm) {
  if (y_ > kTop && y_ + mm > bottom()) new_page();
}

void Flow::new_page() {
  end();
  ++found_.pages;
  y_ = kTop;
}

void Flow::end() {
  furniture();
  pdf_.end_page();
}

void Flow::furniture() {
  const double foot = pdf_.size().height_mm - 11;
  if (found_.pages > 1) {
    pdf_.label(running_head_, {left(), 13}, kSmall);
    pdf_.line({left(), 15.5}, {left() + width(), 15.5}, 0.15, kHairline);
  }
  const std::string total = known_.pages > 0 ? fmt::format(" of {}", known_.pages) : "";
  pdf_.label(fmt::format("Page {}{}", found_.pages, total), {left() + width(), foot},
             {8, Weight::Regular, kGrey, Set::Right});
  pdf_.label("Made with Spile " SPILE_VERSION, {left(), foot}, kSmall);
}

std::string Flow::page_of(const std::string& place) const {
  const auto it = known_.page_of.find(place);
  return it == known_.page_of.end() ? "" : std::to_string(it->second);
}

void Flow::heading(int level, const std::string& text, const std::string& place, bool part) {
  need(level == 1 ? 40 : 30);
  if (y_ > kTop) gap(level == 1 ? 5 : 3);
  const TextStyle style{level == 1 ? 15.0 : 11.0, Weight::Bold, kAccent};
  if (!place.empty()) {
    pdf_.place(place, {left(), y_ - 2});
    const int bookmark = pdf_.bookmark(part ? bookmark_ : 0, text, place);
    if (!part) bookmark_ = bookmark;
    found_.page_of[place] = found_.pages;
  }
  y_ += pdf_.text(text, {left(), y_}, width(), style);
  if (level == 1) {
    pdf_.line({left(), y_ + 0.8}, {left() + width(), y_ + 0.8}, 0.4, kAccent);
    gap(2);
  }
  gap(1.5);
}

void Flow::paragraph(const std::string& text, const TextStyle& style, double indent) {
  const SetText set = pdf_.set(text, width() - indent, style);
  int first = 0;
  while (first < set.lines()) {
    double height = 0;
    int count = 0;
    while (first + count < set.lines() && y_ + height + set.line_height(first + count) <= bottom()) {
      height += set.line_height(first + count);
      ++count;
    }
    if (count == 0 && y_ > kTop) {
      new_page();
      continue;
    }
    count = std::max(count, 1);
    pdf_.draw_lines(set, first, count, {left() + indent, y_});
    y_ += std::max(height, set.line_height(first));
    first += count;
  }
}

void Flow::item(const std::string& mark, const std::string& text, const TextStyle& style, double indent) {
  need(9);
  pdf_.text(mark, {left() + indent - 4, y_}, 8, style);
  paragraph(text, style, indent);
  gap(0.6);
}

void Flow::rows(const std::vector<Row>& rows, double label_width) {
  for (const auto& row : rows) {
    need(6);
    const SetText text = pdf_.set(row.text, width() - label_width, kBody);
    if (text.height() > 60) {  // a long note runs over pages under its label
      paragraph(row.label, {8.5, Weight::Regular, kGrey});
      paragraph(row.text, kBody, 4);
      gap(1);
      continue;
    }
    need(text.height());
    pdf_.text(row.label, {left(), y_ + 0.35}, label_width - 3, {8.5, Weight::Regular, kGrey});
    pdf_.draw(text, {left() + label_width, y_});
    y_ += text.height() + 0.8;
  }
}

void Flow::table_head(const std::vector<Column>& columns) {
  double x = left(), tallest = 0;
  for (const auto& column : columns) {
    TextStyle style = kTableHead;
    style.set = column.set;
    tallest =
        std::max(tallest, pdf_.text(column.title, {x + kCellPad, y_}, column.width - 2 * kCellPad, style));
    x += column.width;
  }
  y_ += tallest + 0.8;
  pdf_.line({left(), y_}, {left() + width(), y_}, 0.3, kGrey);
  y_ += 0.6;
}

void Flow::table(const std::vector<Column>& columns, const std::vector<std::vector<Cell>>& rows) {
  need(24);
  table_head(columns);
  bool shaded = false;
  for (const auto& row : rows) {
    std::vector<SetText> cells;
    double tallest = 4;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      TextStyle style = kTable;
      style.weight = row[i].weight;
      style.set = columns[i].set;
      const double mark = row[i].standing ? 4 : 0;
      cells.push_back(pdf_.set(row[i].text, columns[i].width - 2 * kCellPad - mark, style));
      tallest = std::max(tallest, std::min(cells.back().height(), 60.0));
    }
    if (y_ + tallest + 1.6 > bottom()) {
      new_page();
      table_head(columns);
    }
    if (shaded) pdf_.fill({left(), y_, width(), tallest + 1.4}, kShade);
    shaded = !shaded;
    double x = left();
    for (std::size_t i = 0; i < columns.size(); ++i) {
      double text_x = x + kCellPad;
      if (row[i].standing) {
        const auto look = figures::look_of(*row[i].standing);
        paint_mark(pdf_, look.shape, look.role, {text_x + 1.4, y_ + 2.4}, 2.8);
        text_x += 4;
      }
      if (!row[i].link.empty()) pdf_.begin_link(row[i].link);
      pdf_.clip({x, y_, columns[i].width, tallest + 1.4});
      pdf_.draw(cells[i], {text_x, y_ + 0.7});
      pdf_.unclip();
      if (!row[i].link.empty()) pdf_.end_link();
      x += columns[i].width;
    }
    y_ += tallest + 1.4;
  }
  pdf_.line({left(), y_}, {left() + width(), y_}, 0.15, kHairline);
  gap(2);
}

void Flow::figure(const figures::Figure& figure) {
  need(figure.height + 6);
  if (!figure.caption.empty()) y_ += pdf_.text(figure.caption, {left(), y_}, width(), kSmall) + 1;
  paint(pdf_, figure, {left() + (width() - figure.width) / 2, y_});
  y_ += figure.height + 3;
}

void Flow::boxed(const std::string& title, const std::string& text) {
  const SetText body = pdf_.set(text, width() - 8, {8.5, Weight::Regular, kBlack});
  need(body.height() + 10);
  const double height = body.height() + 8;
  pdf_.fill({left(), y_, width(), height}, kShade);
  pdf_.fill({left(), y_, 1.2, height}, kAccent);
  pdf_.text(title, {left() + 4, y_ + 1.6}, width() - 8, {8.5, Weight::Bold, kAccent});
  pdf_.draw(body, {left() + 4, y_ + 5.8});
  y_ += height + 3;
}

}  // namespace spile::report
