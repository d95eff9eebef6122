#include "edge/report/canvas.hpp"

#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>

#include "edge/report/outcome_mark.hpp"
#include "edge/report/strand_colour.hpp"

namespace strandbook {
namespace {

struct Colour {
  double red;
  double green;
  double blue;
};

Colour colour_of(Ink ink) {
  switch (ink) {
    case Ink::ink:
      return {0.11, 0.10, 0.09};
    case Ink::grey:
      return {0.40, 0.38, 0.35};
    case Ink::faint:
      return {0.66, 0.63, 0.58};
    case Ink::hairline:
      return {0.82, 0.79, 0.73};
    case Ink::tint:
      return {0.955, 0.945, 0.92};
    case Ink::paper:
      return {1, 1, 1};
    case Ink::accent:
      return {0.60, 0.16, 0.11};
  }
  return {0, 0, 0};
}

struct BytesLeft {
  const std::string& bytes;
  std::size_t at = 0;
};

cairo_status_t next_bytes(void* rest, unsigned char* into, unsigned length) {
  auto& left = *static_cast<BytesLeft*>(rest);
  if (left.bytes.size() - left.at < length) return CAIRO_STATUS_READ_ERROR;
  left.bytes.copy(reinterpret_cast<char*>(into), length, left.at);  // NOLINT: bytes as characters
  left.at += length;
  return CAIRO_STATUS_SUCCESS;
}

/// A JPEG goes into the PDF as it is; cairo only has to know its size.
cairo_surface_t* surface_of(const CoverPicture& picture) {
  if (picture.kind == CoverPicture::Kind::png) {
    BytesLeft left{picture.bytes};
    return cairo_image_surface_create_from_png_stream(next_bytes, &left);
  }
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture.width, picture.height);
  auto* copy = new std::string(picture.bytes);
  const auto* data = reinterpret_cast<const unsigned char*>(copy->data());  // NOLINT: bytes
  (void)cairo_surface_set_mime_data(
      surface, CAIRO_MIME_TYPE_JPEG, data, copy->size(),
      [](void* held) { delete static_cast<std::string*>(held); }, copy);
  return surface;
}

}  // namespace

Canvas::Canvas(Typesetter& typesetter, cairo_surface_t* surface)
    : typesetter_(typesetter),
      context_(surface == nullptr ? nullptr : cairo_create(surface)),
      structure_(context_) {}

Canvas::~Canvas() {
  if (context_ != nullptr) cairo_destroy(context_);
}

void Canvas::use(Ink ink) {
  const Colour colour = colour_of(ink);
  cairo_set_source_rgb(context_, colour.red, colour.green, colour.blue);
}

void Canvas::begin(PageRole role) {
  if (measuring()) return;
  end();
  structure_.begin(role);
}

// Shapes drawn before it are not the figure's.
void Canvas::begin_figure(std::string told) {
  end();
  draw_shapes();
  structure_.begin(PageRole::figure);
  figures_.push_back(std::move(told));
}

void Canvas::furniture() {
  if (measuring()) return;
  end();
  furniture_ = true;
}

void Canvas::end() {
  if (measuring()) return;
  set(run_);
  if (structure_.in_figure()) draw_shapes();
  structure_.end();
  furniture_ = false;
}

Canvas::Batch& Canvas::batch_of(const TextStyle& style, Ink ink) {
  if (!furniture_) {
    if (run_.ink == ink && run_.style == style) return run_;
    set(run_);
    run_.style = style;
    run_.ink = ink;
    return run_;
  }
  for (Batch& batch : batches_)
    if (batch.ink == ink && batch.style == style) return batch;
  return batches_.emplace_back(Batch{style, ink, {}, {}, {}});
}

void Canvas::text(const Spot& spot, const TextStyle& style, Ink ink, std::string_view text) {
  if (measuring() || text.empty()) return;
  if (!furniture_ && !structure_.holds_content()) begin(PageRole::paragraph);
  std::string shortened;
  double width = text.size() > 4096 ? spot.room + 1 : typesetter_.width(style, text);
  if (width > spot.room) {
    shortened = typesetter_.elided(style, text, spot.room);
    text = shortened;
    width = typesetter_.width(style, text);
  }
  Point at = spot.at;
  if (spot.align == Align::right) at.x -= width;
  if (spot.align == Align::centre) at.x -= width / 2;
  if (const auto* glyphs = typesetter_.plain(style, text)) {
    set_plain(at, style, ink, *glyphs, text);
  } else {
    set_shaped(at, style, ink, text);
  }
}

void Canvas::set_plain(Point at, const TextStyle& style, Ink ink, const std::vector<PlainGlyph>& glyphs,
                       std::string_view text) {
  Batch& batch = batch_of(style, ink);
  for (const PlainGlyph& glyph : glyphs) {
    batch.glyphs.push_back({glyph.glyph, at.x, at.y});
    batch.clusters.push_back({glyph.bytes, 1});
    at.x += static_cast<double>(glyph.advance);
  }
  batch.text += text;
}

void Canvas::set_shaped(Point at, const TextStyle& style, Ink ink, std::string_view text) {
  set(run_);
  PangoLayout* layout = typesetter_.layout(style, text);
  use(ink);
  cairo_move_to(context_, at.x, at.y);
  pango_cairo_show_layout_line(context_, pango_layout_get_line_readonly(layout, 0));
}

void Canvas::line(Point from, Point to, double weight, Ink ink) {
  if (!measuring()) strokes_.push_back({from, to, weight, ink});
}

void Canvas::polyline(const std::vector<Point>& points, double weight, Ink ink) {
  if (measuring() || points.size() < 2) return;
  draw_shapes();
  use(ink);
  cairo_set_line_width(context_, weight);
  cairo_set_line_join(context_, CAIRO_LINE_JOIN_ROUND);
  cairo_move_to(context_, points.front().x, points.front().y);
  for (const Point& point : points) cairo_line_to(context_, point.x, point.y);
  cairo_stroke(context_);
}

void Canvas::fill(const Box& box, Ink ink) {
  if (measuring()) return;
  use(ink);
  cairo_rectangle(context_, box.x, box.y, box.width, box.height);
  cairo_fill(context_);
}

void Canvas::frame(const Box& box, double weight, Ink ink) {
  if (measuring()) return;
  use(ink);
  cairo_set_line_width(context_, weight);
  cairo_rectangle(context_, box.x, box.y, box.width, box.height);
  cairo_stroke(context_);
}

void Canvas::hatch(const Box& box, Ink ink) {
  if (measuring()) return;
  constexpr double pitch = 3;
  for (double start = -box.height; start < box.width; start += pitch) {
    const double left = std::max(start, 0.0);
    const double right = std::min(start + box.height, box.width);
    if (right <= left) continue;
    line({box.x + left, box.y + box.height - (left - start)},
         {box.x + right, box.y + box.height - (right - start)}, 0.4, ink);
  }
}

void Canvas::picture(const CoverPicture& picture, const Box& box, Align align) {
  if (measuring()) return;
  cairo_surface_t* surface = surface_of(picture);
  const double scale = std::min(box.width / picture.width, box.height / picture.height);
  const double width = picture.width * scale;
  const double x = align == Align::right ? box.x + box.width - width : box.x;
  cairo_save(context_);
  cairo_translate(context_, x, box.y + (box.height - picture.height * scale) / 2);
  cairo_scale(context_, scale, scale);
  cairo_set_source_surface(context_, surface, 0, 0);
  // Any other filter has cairo ask the viewer to interpolate, which PDF/A forbids.
  cairo_pattern_set_filter(cairo_get_source(context_), CAIRO_FILTER_FAST);
  cairo_paint(context_);
  cairo_restore(context_);
  cairo_surface_destroy(surface);
}

// One path for all modules, runs of a row as one rectangle: a sheet of labels holds thousands.
void Canvas::code(const std::vector<std::string>& rows, const Box& box) {
  if (measuring() || rows.empty()) return;
  const double module = box.width / static_cast<double>(rows.size());
  for (std::size_t y = 0; y < rows.size(); ++y) {
    for (std::size_t x = 0; x < rows[y].size();) {
      const std::size_t start = rows[y].find('1', x);
      if (start == std::string::npos) break;
      x = std::min(rows[y].find('0', start), rows[y].size());
      cairo_rectangle(context_, box.x + module * static_cast<double>(start),
                      box.y + module * static_cast<double>(y), module * static_cast<double>(x - start),
                      module);
    }
  }
  use(Ink::ink);
  cairo_fill(context_);
}

void Canvas::mark(Outcome outcome, Point centre, double radius) {
  if (!measuring()) marks_.push_back({outcome, centre, radius});
}

void Canvas::chip(int position, const Box& box) {
  if (!measuring()) chips_.push_back({position, box});
}

// One path per weight and ink: cairo works per operation, and a dense page has thousands of strokes.
void Canvas::draw_strokes() {
  std::stable_sort(strokes_.begin(), strokes_.end(), [](const Stroke& a, const Stroke& b) {
    return std::pair(a.ink, a.weight) < std::pair(b.ink, b.weight);
  });
  for (std::size_t i = 0; i < strokes_.size(); ++i) {
    const Stroke& stroke = strokes_[i];
    cairo_move_to(context_, stroke.from.x, stroke.from.y);
    cairo_line_to(context_, stroke.to.x, stroke.to.y);
    const bool last = i + 1 == strokes_.size() || strokes_[i + 1].ink != stroke.ink ||
                      strokes_[i + 1].weight != stroke.weight;
    if (!last) continue;
    use(stroke.ink);
    cairo_set_line_width(context_, stroke.weight);
    cairo_stroke(context_);
  }
  strokes_.clear();
}

// A dot of a round-capped pen is a disc in four numbers; as curves it takes twenty-six, for every passing
// test.
void Canvas::draw_discs() {
  std::stable_sort(marks_.begin(), marks_.end(),
                   [](const Mark& a, const Mark& b) { return a.radius < b.radius; });
  cairo_save(context_);
  cairo_set_line_cap(context_, CAIRO_LINE_CAP_ROUND);
  use(Ink::ink);
  for (std::size_t i = 0; i < marks_.size(); ++i) {
    const Mark& mark = marks_[i];
    if (mark.outcome == Outcome::pass) {
      cairo_move_to(context_, mark.centre.x, mark.centre.y);
      cairo_line_to(context_, mark.centre.x + 0.001, mark.centre.y);
    }
    if (i + 1 < marks_.size() && marks_[i + 1].radius == mark.radius) continue;
    cairo_set_line_width(context_, 2 * mark.radius);
    cairo_stroke(context_);
  }
  cairo_restore(context_);
}

void Canvas::draw_marks() {
  draw_discs();
  for (const Outcome outcome : all_outcomes) {
    for (const Mark& each : marks_)
      if (each.outcome == outcome) mark_fill(context_, outcome, each.centre, each.radius);
    use(is_beyond_limit(outcome) ? Ink::accent : Ink::ink);
    cairo_fill(context_);
    for (const Mark& each : marks_)
      if (each.outcome == outcome) mark_outline(context_, outcome, each.centre, each.radius);
    cairo_set_line_width(context_, 0.6);
    cairo_stroke(context_);
  }
  marks_.clear();
}

void Canvas::draw_chips() {
  for (int position = 1; position <= strand_colours; ++position) {
    bool any = false;
    for (const Chip& chip : chips_) {
      if (chip.position != position) continue;
      cairo_rectangle(context_, chip.box.x, chip.box.y, chip.box.width, chip.box.height);
      any = true;
    }
    if (!any) continue;
    const ChipColour colour = chip_colour(position);
    cairo_set_source_rgb(context_, colour.red, colour.green, colour.blue);
    cairo_fill_preserve(context_);
    use(Ink::grey);
    cairo_set_line_width(context_, 0.35);
    cairo_stroke(context_);
    if (!has_tracer(position)) continue;
    for (const Chip& chip : chips_)
      if (chip.position == position)
        cairo_rectangle(context_, chip.box.x, chip.box.y + chip.box.height * 0.36, chip.box.width,
                        chip.box.height * 0.28);
    use(is_dark(position) ? Ink::paper : Ink::ink);
    cairo_fill(context_);
  }
  chips_.clear();
}

void Canvas::set(Batch& batch) {
  if (batch.glyphs.empty()) return;
  use(batch.ink);
  cairo_set_scaled_font(context_, typesetter_.font(batch.style).scaled());
  cairo_show_text_glyphs(context_, batch.text.data(), static_cast<int>(batch.text.size()),
                         batch.glyphs.data(), static_cast<int>(batch.glyphs.size()), batch.clusters.data(),
                         static_cast<int>(batch.clusters.size()), cairo_text_cluster_flags_t{});
  batch.glyphs.clear();
  batch.clusters.clear();
  batch.text.clear();
}

void Canvas::draw_shapes() {
  draw_strokes();
  draw_chips();
  draw_marks();
}

void Canvas::show_page() {
  if (measuring()) return;
  end();
  draw_shapes();
  for (Batch& batch : batches_) set(batch);
  cairo_show_page(context_);
}

}  // namespace strandbook
