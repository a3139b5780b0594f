#include "report/pdf.hpp"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "report/typeface.hpp"

namespace spile::report {

namespace {

constexpr double kPointsPerMm = 72.0 / 25.4;

double pt(double mm) {
  return mm * kPointsPerMm;
}
double mm(double points) {
  return points / kPointsPerMm;
}
double from_pango(int units) {
  return mm(static_cast<double>(units) / PANGO_SCALE);
}

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
using Layout = std::unique_ptr<PangoLayout, Unref>;
using Context = std::unique_ptr<PangoContext, Unref>;

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
  auto& bytes = *static_cast<std::vector<std::uint8_t>*>(closure);
  bytes.insert(bytes.end(), data, data + length);
  return CAIRO_STATUS_SUCCESS;
}

PangoWeight pango_weight(Weight weight) {
  switch (weight) {
    case Weight::Medium:
      return PANGO_WEIGHT_MEDIUM;
    case Weight::Bold:
      return PANGO_WEIGHT_BOLD;
    case Weight::Regular:
      break;
  }
  return PANGO_WEIGHT_NORMAL;
}

PangoAlignment pango_alignment(Set set) {
  if (set == Set::Centre) return PANGO_ALIGN_CENTER;
  return set == Set::Right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT;
}

// Pango refuses invalid UTF-8 whole; a name from a damaged file must not empty the page.
std::string valid_utf8(const std::string& text) {
  char* mended = g_utf8_make_valid(text.data(), static_cast<gssize>(text.size()));
  std::string result = mended;
  g_free(mended);
  return result;
}

// Names in cairo's tag attributes stand between single quotes.
std::string quoted(const std::string& name) {
  std::string safe = "'";
  for (const char c : name) {
    if (c == '\'' || c == '\\') safe += '\\';
    safe += c;
  }
  return safe + "'";
}

}  // namespace

struct SetText::Impl {
  Layout layout;
  Ink ink;
  std::vector<double> tops;  // of the lines, mm, and the bottom of the last
};

SetText::SetText(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
SetText::SetText(SetText&&) noexcept = default;
SetText& SetText::operator=(SetText&&) noexcept = default;
SetText::~SetText() = default;

double SetText::height() const {
  return impl_->tops.back();
}
int SetText::lines() const {
  return static_cast<int>(impl_->tops.size()) - 1;
}
double SetText::line_height(int line) const {
  const auto i = static_cast<std::size_t>(line);
  return impl_->tops.at(i + 1) - impl_->tops.at(i);
}
double SetText::width() const {
  PangoRectangle logical;
  pango_layout_get_extents(impl_->layout.get(), nullptr, &logical);
  return from_pango(logical.width);
}

struct Pdf::Impl {
  std::vector<std::uint8_t> bytes;
  PaperSize size;
  cairo_surface_t* surface = nullptr;
  cairo_t* cr = nullptr;
  Context context;

  Impl(Paper paper, const Metadata& metadata);
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;
  ~Impl() {
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
  }
  void ink(Ink colour) const { cairo_set_source_rgb(cr, colour.r, colour.g, colour.b); }
  void dash(bool dashed) const {
    const double pattern[] = {pt(1.2), pt(0.9)};
    cairo_set_dash(cr, pattern, dashed ? 2 : 0, 0);
  }
  void stroke(double width_mm, Ink colour, bool dashed) const {
    ink(colour);
    cairo_set_line_width(cr, pt(width_mm));
    dash(dashed);
    cairo_stroke(cr);
  }
  void paint_path(const Ink* fill, const Ink* outline, double width_mm, bool dashed) const {
    if (fill) {
      ink(*fill);
      cairo_fill_preserve(cr);
    }
    if (outline) stroke(width_mm, *outline, dashed);
    cairo_new_path(cr);
  }
  [[nodiscard]] Layout layout(const std::string& utf8, const TextStyle& style) const;
};

Pdf::Impl::Impl(Paper paper, const Metadata& metadata) : size(size_of(paper)) {
  surface = cairo_pdf_surface_create_for_stream(append, &bytes, pt(size.width_mm), pt(size.height_mm));
  cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_5);
  const std::pair<cairo_pdf_metadata_t, const std::string*> entries[] = {
      {CAIRO_PDF_METADATA_TITLE, &metadata.title},         {CAIRO_PDF_METADATA_AUTHOR, &metadata.author},
      {CAIRO_PDF_METADATA_SUBJECT, &metadata.subject},     {CAIRO_PDF_METADATA_KEYWORDS, &metadata.keywords},
      {CAIRO_PDF_METADATA_CREATE_DATE, &metadata.created}, {CAIRO_PDF_METADATA_MOD_DATE, &metadata.created}};
  for (const auto& [kind, value] : entries)
    if (!value->empty()) cairo_pdf_surface_set_metadata(surface, kind, valid_utf8(*value).c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Spile " SPILE_VERSION);
  cr = cairo_create(surface);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  // Links alone leave cairo 1.16 with a reference to a structure tree it never writes; one element makes it
  // write.
  cairo_tag_begin(cr, "Document", nullptr);
  context.reset(pango_font_map_create_context(font_map()));
  // Positions stay exact: this is for paper, and rounding would make tables and kerning limp.
  pango_context_set_round_glyph_positions(context.get(), FALSE);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context.get(), options);
  cairo_font_options_destroy(options);
  pango_cairo_context_set_resolution(context.get(), 72.0);
}

Layout Pdf::Impl::layout(const std::string& utf8, const TextStyle& style) const {
  Layout layout(pango_layout_new(context.get()));
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family(font, (std::string(kFamily) + "," + kSymbolFamily).c_str());
  pango_font_description_set_weight(font, pango_weight(style.weight));
  pango_font_description_set_size(font, static_cast<int>(std::lround(style.size_pt * PANGO_SCALE)));
  pango_layout_set_font_description(layout.get(), font);
  pango_font_description_free(font);
  pango_layout_set_alignment(layout.get(), pango_alignment(style.set));
  // A broken file name or hash must not gain a hyphen.
  PangoAttrList* attributes = pango_attr_list_new();
  pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
  pango_layout_set_attributes(layout.get(), attributes);
  pango_attr_list_unref(attributes);
  const std::string text = valid_utf8(utf8);
  pango_layout_set_text(layout.get(), text.data(), static_cast<int>(text.size()));
  return layout;
}

Pdf::Pdf(Paper paper, const Metadata& metadata) : impl_(std::make_unique<Impl>(paper, metadata)) {}
Pdf::Pdf(Pdf&&) noexcept = default;
Pdf& Pdf::operator=(Pdf&&) noexcept = default;
Pdf::~Pdf() = default;

PaperSize Pdf::size() const {
  return impl_->size;
}

void Pdf::end_page() {
  cairo_show_page(impl_->cr);
}

SetText Pdf::set(const std::string& utf8, double width_mm, const TextStyle& style) const {
  auto set = std::make_unique<SetText::Impl>();
  set->ink = style.ink;
  set->layout = impl_->layout(utf8, style);
  PangoLayout* layout = set->layout.get();
  pango_layout_set_width(layout, static_cast<int>(std::lround(pt(width_mm) * PANGO_SCALE)));
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_line_spacing(layout, static_cast<float>(style.line_spacing));
  PangoLayoutIter* iter = pango_layout_get_iter(layout);
  double bottom = 0;
  do {
    int from = 0, to = 0;
    pango_layout_iter_get_line_yrange(iter, &from, &to);
    set->tops.push_back(from_pango(from));
    bottom = from_pango(to);
  } while (pango_layout_iter_next_line(iter));
  pango_layout_iter_free(iter);
  set->tops.push_back(bottom);
  return SetText(std::move(set));
}

void Pdf::draw(const SetText& text, Point top_left) {
  draw_lines(text, 0, text.lines(), top_left);
}

void Pdf::draw_lines(const SetText& text, int first, int count, Point top_left) {
  impl_->ink(text.impl_->ink);
  PangoLayoutIter* iter = pango_layout_get_iter(text.impl_->layout.get());
  const double skipped = text.impl_->tops.at(static_cast<std::size_t>(first));
  int line = 0;
  do {
    if (line >= first && line < first + count) {
      PangoRectangle logical;
      pango_layout_iter_get_line_extents(iter, nullptr, &logical);
      const double baseline = from_pango(pango_layout_iter_get_baseline(iter));
      cairo_move_to(impl_->cr, pt(top_left.x + from_pango(logical.x)), pt(top_left.y + baseline - skipped));
      pango_cairo_show_layout_line(impl_->cr, pango_layout_iter_get_line_readonly(iter));
    }
    ++line;
  } while (pango_layout_iter_next_line(iter));
  pango_layout_iter_free(iter);
  cairo_new_path(impl_->cr);
}

double Pdf::text(const std::string& utf8, Point top_left, double width_mm, const TextStyle& style) {
  const SetText paragraph = set(utf8, width_mm, style);
  draw(paragraph, top_left);
  return paragraph.height();
}

void Pdf::label(const std::string& utf8, Point baseline, const TextStyle& style, double turn_deg) {
  const Layout layout = impl_->layout(utf8, style);
  PangoLayoutLine* line = pango_layout_get_line_readonly(layout.get(), 0);
  PangoRectangle logical;
  pango_layout_line_get_extents(line, nullptr, &logical);
  const double width = from_pango(logical.width);
  const double shift = style.set == Set::Left ? 0 : style.set == Set::Centre ? -width / 2 : -width;
  cairo_save(impl_->cr);
  cairo_translate(impl_->cr, pt(baseline.x), pt(baseline.y));
  cairo_rotate(impl_->cr, turn_deg * std::numbers::pi / 180.0);
  impl_->ink(style.ink);
  cairo_move_to(impl_->cr, pt(shift), 0);
  pango_cairo_show_layout_line(impl_->cr, line);
  cairo_restore(impl_->cr);
  cairo_new_path(impl_->cr);
}

void Pdf::line(Point from, Point to, double width_mm, Ink ink, bool dashed) {
  cairo_move_to(impl_->cr, pt(from.x), pt(from.y));
  cairo_line_to(impl_->cr, pt(to.x), pt(to.y));
  impl_->stroke(width_mm, ink, dashed);
}

void Pdf::fill(const Box& box, Ink ink) {
  cairo_rectangle(impl_->cr, pt(box.x), pt(box.y), pt(box.width), pt(box.height));
  impl_->ink(ink);
  cairo_fill(impl_->cr);
}

void Pdf::frame(const Box& box, double width_mm, Ink ink, bool dashed) {
  cairo_rectangle(impl_->cr, pt(box.x), pt(box.y), pt(box.width), pt(box.height));
  impl_->stroke(width_mm, ink, dashed);
}

void Pdf::polygon(const std::vector<Point>& points, bool closed, const Ink* fill, const Ink* stroke,
                  double width_mm, bool dashed) {
  for (const auto& p : points) cairo_line_to(impl_->cr, pt(p.x), pt(p.y));
  if (closed) cairo_close_path(impl_->cr);
  impl_->paint_path(fill, stroke, width_mm, dashed);
}

void Pdf::disc(Point centre, double radius_mm, const Ink* fill, const Ink* stroke, double width_mm) {
  cairo_new_sub_path(impl_->cr);
  cairo_arc(impl_->cr, pt(centre.x), pt(centre.y), pt(radius_mm), 0, 2 * std::numbers::pi);
  cairo_close_path(impl_->cr);
  impl_->paint_path(fill, stroke, width_mm, false);
}

void Pdf::picture(const std::vector<std::uint8_t>& jpeg, int width_px, int height_px, const Box& box) {
  assert(width_px > 0 && height_px > 0 && "a picture has a size");
  // The surface only lends its size: cairo puts the JPEG bytes in untouched and never looks at the pixels.
  cairo_surface_t* image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, height_px);
  auto* copy = new std::vector<std::uint8_t>(jpeg);
  const auto release = [](void* data) { delete static_cast<std::vector<std::uint8_t>*>(data); };
  if (cairo_surface_set_mime_data(image, CAIRO_MIME_TYPE_JPEG, copy->data(), copy->size(), release, copy) !=
      CAIRO_STATUS_SUCCESS)
    release(copy);
  cairo_save(impl_->cr);
  cairo_translate(impl_->cr, pt(box.x), pt(box.y));
  cairo_scale(impl_->cr, pt(box.width) / width_px, pt(box.height) / height_px);
  cairo_set_source_surface(impl_->cr, image, 0, 0);
  cairo_paint(impl_->cr);
  cairo_restore(impl_->cr);
  cairo_surface_destroy(image);
}

void Pdf::clip(const Box& box) {
  cairo_save(impl_->cr);
  cairo_rectangle(impl_->cr, pt(box.x), pt(box.y), pt(box.width), pt(box.height));
  cairo_clip(impl_->cr);
}

void Pdf::unclip() {
  cairo_restore(impl_->cr);
}

void Pdf::place(const std::string& name, Point at) {
  const std::string attributes =
      "name=" + quoted(name) + " x=" + std::to_string(pt(at.x)) + " y=" + std::to_string(pt(at.y));
  cairo_tag_begin(impl_->cr, CAIRO_TAG_DEST, attributes.c_str());
  cairo_tag_end(impl_->cr, CAIRO_TAG_DEST);
}

int Pdf::bookmark(int parent, const std::string& title, const std::string& place) {
  return cairo_pdf_surface_add_outline(
      impl_->surface, parent, valid_utf8(title).c_str(), ("dest=" + quoted(place)).c_str(),
      parent == 0 ? CAIRO_PDF_OUTLINE_FLAG_OPEN : cairo_pdf_outline_flags_t{});
}

void Pdf::begin_link(const std::string& place) {
  cairo_tag_begin(impl_->cr, CAIRO_TAG_LINK, ("dest=" + quoted(place)).c_str());
}

void Pdf::end_link() {
  cairo_tag_end(impl_->cr, CAIRO_TAG_LINK);
}

Result<std::vector<std::uint8_t>> Pdf::finish() {
  cairo_tag_end(impl_->cr, "Document");
  const cairo_status_t drawn = cairo_status(impl_->cr);
  cairo_surface_finish(impl_->surface);
  const cairo_status_t written = cairo_surface_status(impl_->surface);
  const cairo_status_t bad = drawn != CAIRO_STATUS_SUCCESS ? drawn : written;
  if (bad != CAIRO_STATUS_SUCCESS)
    return fail(ErrorCode::Internal, "The PDF could not be drawn.", "Please report this with the logbook.",
                cairo_status_to_string(bad));
  return std::move(impl_->bytes);
}

}  // namespace spile::report
