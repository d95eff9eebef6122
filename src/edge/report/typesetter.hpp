#pragma once
// Fonts, widths and glyphs. Prose is shaped by Pango; cells of dense tables take one glyph per letter from a
// table of advances, and fall back to Pango where a script needs more than that.

#include <cairo.h>
#include <pango/pango.h>

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace strandbook {

/// Serif faces are for prose and headings, sans faces for cells.
enum class Face : std::uint8_t { serif, serif_italic, serif_bold, sans, sans_italic, sans_bold };

struct TextStyle {
  Face face = Face::serif;
  double size = 10;  ///< points
  bool operator==(const TextStyle&) const = default;
};

/// Releases a GObject.
struct Unref {
  void operator()(void* object) const;
};
using LayoutPtr = std::unique_ptr<PangoLayout, Unref>;

/// One glyph of a cell: its number in the font and how far it moves the pen, points.
struct PlainGlyph {
  std::uint32_t glyph = 0;
  float advance = 0;
  std::uint8_t bytes = 0;  ///< of UTF-8 it stands for
};

/// A style made ready: the font for Pango and for cairo, and the glyphs met so far.
class SetFont {
 public:
  SetFont(PangoContext* context, const TextStyle& style);
  SetFont(const SetFont&) = delete;
  SetFont& operator=(const SetFont&) = delete;
  ~SetFont();

  /// The glyphs of a text that needs no shaping, into the font's own buffer; null where it needs Pango.
  const std::vector<PlainGlyph>* plain(std::string_view text);
  cairo_scaled_font_t* scaled() const { return scaled_; }
  const PangoFontDescription* description() const { return description_; }

 private:
  const PlainGlyph* glyph_of(std::uint32_t character);
  PangoFontDescription* description_;
  std::unique_ptr<PangoFont, Unref> font_;
  cairo_scaled_font_t* scaled_;
  std::unordered_map<std::uint32_t, PlainGlyph> glyphs_;
  std::vector<PlainGlyph> ascii_;
  std::vector<PlainGlyph> buffer_;
};

class Typesetter {
 public:
  /// `language`: BCP 47, for the shapes of letters.
  explicit Typesetter(const std::string& language = "en");
  Typesetter(const Typesetter&) = delete;
  Typesetter& operator=(const Typesetter&) = delete;

  /// Advance width of a text set on one line, points.
  double width(const TextStyle& style, std::string_view text);
  /// The text, or its beginning with "…" where it is wider than `room`.
  std::string elided(const TextStyle& style, std::string_view text, double room);
  /// Lines no wider than `room`: broken at blanks, and within a word only where the word alone is wider.
  std::vector<std::string> wrapped(const TextStyle& style, std::string_view text, double room);

  SetFont& font(const TextStyle& style);
  /// Null where Pango must set the text.
  const std::vector<PlainGlyph>* plain(const TextStyle& style, std::string_view text);
  /// The text as shaped by Pango; valid until the next call.
  PangoLayout* layout(const TextStyle& style, std::string_view text);

 private:
  std::size_t fitting(const TextStyle& style, std::string_view text, double room);
  std::unique_ptr<PangoFontMap, Unref> map_;
  std::unique_ptr<PangoContext, Unref> context_;
  std::vector<std::pair<TextStyle, std::unique_ptr<SetFont>>> fonts_;
  std::unordered_map<std::string, LayoutPtr> layouts_;
};

}  // namespace strandbook
