#include "edge/report/typesetter.hpp"

#include <hb.h>
#include <pango/pangocairo.h>

#include <cmath>

#include "edge/report/legible.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_layouts = 4000;

const char* families_of(Face face) {
  switch (face) {
    case Face::serif:
    case Face::serif_italic:
    case Face::serif_bold:
      return "Linux Libertine O,Linux Libertine,Noto Serif,DejaVu Serif,serif";
    case Face::sans:
    case Face::sans_italic:
    case Face::sans_bold:
      return "Linux Biolinum O,Linux Biolinum,Noto Sans,DejaVu Sans,sans";
  }
  return "sans";
}

bool is_italic(Face face) { return face == Face::serif_italic || face == Face::sans_italic; }
bool is_bold(Face face) { return face == Face::serif_bold || face == Face::sans_bold; }
bool is_shaped(Face face) {
  return face == Face::serif || face == Face::serif_italic || face == Face::serif_bold;
}

PangoFontDescription* description_of(const TextStyle& style) {
  PangoFontDescription* description = pango_font_description_new();
  pango_font_description_set_family_static(description, families_of(style.face));
  pango_font_description_set_style(description,
                                   is_italic(style.face) ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
  pango_font_description_set_weight(description,
                                    is_bold(style.face) ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(description, style.size * PANGO_SCALE);
  return description;
}

std::uint32_t decoded(std::string_view text, std::size_t at, std::size_t length) {
  const auto byte = [&](std::size_t i) {
    return static_cast<std::uint32_t>(static_cast<unsigned char>(text[at + i]));
  };
  if (length == 1) return byte(0);
  if (length == 2) return (byte(0) & 0x1Fu) << 6 | (byte(1) & 0x3Fu);
  if (length == 3) return (byte(0) & 0x0Fu) << 12 | (byte(1) & 0x3Fu) << 6 | (byte(2) & 0x3Fu);
  return 0xFFFFFFFF;  // beyond what is set without shaping
}

/// Characters that stand side by side without joining, reordering or combining.
bool stands_alone(std::uint32_t character) {
  if (character < 0x20 || (character >= 0x7F && character < 0xA0)) return false;
  if (character < 0x300) return character != 0xAD;
  if (character < 0x370) return false;
  if (character < 0x483) return true;
  if (character >= 0x48A && character < 0x530) return true;
  return (character >= 0x2010 && character <= 0x2027) || (character >= 0x2030 && character <= 0x205E) ||
         character == 0x2009 || (character >= 0x2190 && character <= 0x22FF);
}

/// First letters of a text that fit, at a boundary between characters.
std::size_t next_boundary(std::string_view text, std::size_t at) {
  const std::size_t length = character_length(text, at);
  return at + (length == 0 ? 1 : length);
}

}  // namespace

void Unref::operator()(void* object) const { g_object_unref(object); }

SetFont::SetFont(PangoContext* context, const TextStyle& style)
    : description_(description_of(style)),
      font_(pango_font_map_load_font(pango_context_get_font_map(context), context, description_)),
      scaled_(pango_cairo_font_get_scaled_font(PANGO_CAIRO_FONT(font_.get()))),
      ascii_(0x80) {}

SetFont::~SetFont() { pango_font_description_free(description_); }

const PlainGlyph* SetFont::glyph_of(std::uint32_t character) {
  const bool ascii = character < 0x80;
  if (ascii && ascii_[character].bytes != 0) return &ascii_[character];
  if (const auto found = glyphs_.find(character); !ascii && found != glyphs_.end()) return &found->second;
  if (!stands_alone(character)) return nullptr;
  hb_font_t* shaper = pango_font_get_hb_font(font_.get());
  hb_codepoint_t glyph = 0;
  if (hb_font_get_nominal_glyph(shaper, character, &glyph) == 0) return nullptr;
  const double advance = hb_font_get_glyph_h_advance(shaper, glyph) / static_cast<double>(PANGO_SCALE);
  const std::uint8_t bytes = ascii ? 1 : character < 0x800 ? 2 : 3;
  PlainGlyph& slot = ascii ? ascii_[character] : glyphs_[character];
  slot = {glyph, static_cast<float>(advance), bytes};
  return &slot;
}

const std::vector<PlainGlyph>* SetFont::plain(std::string_view text) {
  buffer_.clear();
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = character_length(text, at);
    if (length == 0) return nullptr;
    const PlainGlyph* glyph = glyph_of(decoded(text, at, length));
    if (glyph == nullptr) return nullptr;
    buffer_.push_back(*glyph);
    at += length;
  }
  return &buffer_;
}

// Hinting would make widths depend on the device; the page has none.
Typesetter::Typesetter(const std::string& language)
    : map_(pango_cairo_font_map_new()), context_(pango_font_map_create_context(map_.get())) {
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context_.get(), options);
  cairo_font_options_destroy(options);
  pango_context_set_round_glyph_positions(context_.get(), 0);
  pango_context_set_language(context_.get(), pango_language_from_string(language.c_str()));
}

SetFont& Typesetter::font(const TextStyle& style) {
  for (auto& [known, font] : fonts_)
    if (known == style) return *font;
  fonts_.emplace_back(style, std::make_unique<SetFont>(context_.get(), style));
  return *fonts_.back().second;
}

const std::vector<PlainGlyph>* Typesetter::plain(const TextStyle& style, std::string_view text) {
  return is_shaped(style.face) ? nullptr : font(style).plain(text);
}

PangoLayout* Typesetter::layout(const TextStyle& style, std::string_view text) {
  std::string key = std::to_string(static_cast<int>(style.face)) + '/' + std::to_string(style.size) + '/';
  key += text;
  if (const auto found = layouts_.find(key); found != layouts_.end()) return found->second.get();
  if (layouts_.size() >= most_layouts) layouts_.clear();
  LayoutPtr made(pango_layout_new(context_.get()));
  pango_layout_set_font_description(made.get(), font(style).description());
  pango_layout_set_single_paragraph_mode(made.get(), 1);
  const std::string clean = legible(text);
  pango_layout_set_text(made.get(), clean.data(), static_cast<int>(clean.size()));
  return layouts_.emplace(std::move(key), std::move(made)).first->second.get();
}

double Typesetter::width(const TextStyle& style, std::string_view text) {
  if (const auto* glyphs = plain(style, text)) {
    double sum = 0;
    for (const PlainGlyph& glyph : *glyphs) sum += static_cast<double>(glyph.advance);
    return sum;
  }
  int width = 0;
  pango_layout_get_size(layout(style, text), &width, nullptr);
  return width / static_cast<double>(PANGO_SCALE);
}

// Halving, not adding letter by letter: a name of a million letters costs twenty widths.
std::size_t Typesetter::fitting(const TextStyle& style, std::string_view text, double room) {
  std::size_t fits = 0;
  std::size_t over = text.size() + 1;
  // No glyph we set is narrower than a hundredth of its size but for marks, which add nothing to see.
  over = std::min(over, static_cast<std::size_t>(std::max(room, 0.0) / style.size * 100) + 2);
  while (over - fits > 1) {
    std::size_t middle = fits + (over - fits) / 2;
    while (middle > fits && middle < text.size() &&
           (static_cast<unsigned char>(text[middle]) & 0xC0u) == 0x80u)
      --middle;
    if (middle == fits) {
      middle = next_boundary(text, fits);
      if (middle >= over) break;
    }
    (width(style, text.substr(0, middle)) <= room ? fits : over) = middle;
  }
  return fits;
}

std::string Typesetter::elided(const TextStyle& style, std::string_view text, double room) {
  const std::string_view likely = text.substr(0, 4096);
  if (likely.size() == text.size() && width(style, text) <= room) return std::string(text);
  const std::size_t fits = fitting(style, likely, room - width(style, "\u2026"));
  return std::string(text.substr(0, fits)) + "\u2026";
}

std::vector<std::string> Typesetter::wrapped(const TextStyle& style, std::string_view text, double room) {
  std::vector<std::string> lines;
  const double blank = width(style, " ");
  std::string line;
  double used = 0;
  const auto finish = [&] {
    lines.push_back(std::move(line));
    line.clear();
    used = 0;
  };
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    std::string_view word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    while (!word.empty()) {
      const double wide = word.size() > 4096 ? room + 1 : width(style, word);
      const double joined = line.empty() ? wide : used + blank + wide;
      if (joined <= room) {
        if (!line.empty()) line += ' ';
        line += word;
        used = joined;
        break;
      }
      if (!line.empty()) {
        finish();
        continue;
      }
      const std::size_t piece = std::max(fitting(style, word, room), next_boundary(word, 0));
      line = word.substr(0, piece);
      word.remove_prefix(piece);
      used = room;
      if (!word.empty()) finish();
    }
  }
  if (!line.empty() || lines.empty()) finish();
  return lines;
}

}  // namespace strandbook
