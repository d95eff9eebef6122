#pragma once
// The sheets of the report. A measuring canvas draws nothing: the first pass over the report counts pages and
// notes where things stand, the second draws.

#include <cairo.h>

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "domain/verdict/outcome.hpp"
#include "edge/report/report.hpp"
#include "edge/report/structure.hpp"
#include "edge/report/typesetter.hpp"

namespace strandbook {

/// Paper, ink, one accent.
enum class Ink : std::uint8_t { ink, grey, faint, hairline, tint, paper, accent };

enum class Align : std::uint8_t { left, right, centre };

struct Point {
  double x = 0;
  double y = 0;  ///< points from the top of the sheet
};

struct Box {
  double x = 0;
  double y = 0;
  double width = 0;
  double height = 0;
};

/// Where a text stands: its baseline's start, end or middle, and the room it has.
struct Spot {
  Point at;
  double room = 1e9;  ///< longer texts are elided
  Align align = Align::left;
};

class Canvas {
 public:
  /// `surface` may be null: a measuring canvas. It is not owned.
  Canvas(Typesetter& typesetter, cairo_surface_t* surface);
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;
  ~Canvas();

  bool measuring() const { return context_ == nullptr; }
  Typesetter& typesetter() { return typesetter_; }

  /// What comes next is of this role until the next one begins, `end` or the end of the page.
  void begin(PageRole role);
  /// A figure, told in words to whoever cannot see it. What is drawn until the next role belongs to it.
  /// `tell` gives the words; it is not asked while measuring.
  template <class Tell>
  void figure(Tell tell) {
    if (!measuring()) begin_figure(tell());
  }
  /// Running heads and repeated heads: no part of what is read out. Until `end`.
  void furniture();
  void end();
  /// What the figures are told as, in their order.
  std::vector<std::string> take_figures() { return std::move(figures_); }

  /// A text that stands in no role becomes a paragraph.
  void text(const Spot& spot, const TextStyle& style, Ink ink, std::string_view text);
  void line(Point from, Point to, double weight, Ink ink);
  /// One line through all points, at once on the sheet.
  void polyline(const std::vector<Point>& points, double weight, Ink ink);
  void fill(const Box& box, Ink ink);
  void frame(const Box& box, double weight, Ink ink);
  /// Slanting strokes across a box: a part that counts the other way.
  void hatch(const Box& box, Ink ink);
  /// The shape of an outcome around a centre.
  void mark(Outcome outcome, Point centre, double radius);
  /// A strand's colour: position 1 to 24 of the TIA-598 sequence.
  void chip(int position, const Box& box);
  /// A picture within a box, at its own proportions, at the box's left or right edge.
  void picture(const CoverPicture& picture, const Box& box, Align align);
  /// The dark modules of a QR code, filling the box.
  void code(const std::vector<std::string>& rows, const Box& box);
  /// Puts what was gathered on the sheet and ends it.
  void show_page();
  /// Ends all roles; to be called before the last page is shown.
  void finish() { structure_.finish(); }

 private:
  void begin_figure(std::string told);
  struct Batch {
    TextStyle style;
    Ink ink;
    std::vector<cairo_glyph_t> glyphs;
    std::vector<cairo_text_cluster_t> clusters;
    std::string text;
  };
  struct Stroke {
    Point from;
    Point to;
    double weight;
    Ink ink;
  };
  struct Mark {
    Outcome outcome;
    Point centre;
    double radius;
  };
  struct Chip {
    int position;
    Box box;
  };
  /// Within a role texts keep their order; furniture is gathered by style over the whole page.
  Batch& batch_of(const TextStyle& style, Ink ink);
  void set(Batch& batch);
  void draw_shapes();
  void set_plain(Point at, const TextStyle& style, Ink ink, const std::vector<PlainGlyph>& glyphs,
                 std::string_view text);
  void set_shaped(Point at, const TextStyle& style, Ink ink, std::string_view text);
  void use(Ink ink);
  void draw_strokes();
  void draw_discs();
  void draw_marks();
  void draw_chips();

  Typesetter& typesetter_;
  cairo_t* context_ = nullptr;
  Structure structure_;
  bool furniture_ = false;
  std::vector<std::string> figures_;
  Batch run_{};  ///< texts of one style that follow one another
  std::vector<Batch> batches_;
  std::vector<Stroke> strokes_;
  std::vector<Mark> marks_;
  std::vector<Chip> chips_;
};

}  // namespace strandbook
