#pragma once
// Pages as they fill: margins, running heads, the place where the next thing goes, and the trail of anchors,
// links and outline entries that a pass over the report leaves.

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "domain/problem/progress.hpp"
#include "edge/report/canvas.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {

enum class AnchorKind : std::uint8_t {
  section,
  summary_row,
  link_page,
  finding,
  strand_exception,
  strand_rows
};

/// Something in the report that can be jumped to.
struct Anchor {
  AnchorKind kind;
  std::uint32_t index = 0;
  std::uint64_t key() const { return static_cast<std::uint64_t>(kind) << 32 | index; }
};

struct PagePoint {
  std::uint32_t page = 0;  ///< 0-based
  float y = 0;             ///< points from the top
};

/// An area that leads to another place.
struct PageLink {
  std::uint32_t page = 0;
  Box area;
  PagePoint target;
};

struct OutlineEntry {
  std::string title;
  PagePoint at;
  int depth = 0;
};

/// What a pass over the report leaves behind.
struct Trail {
  std::unordered_map<std::uint64_t, PagePoint> anchors;
  std::vector<PageLink> links;
  std::vector<OutlineEntry> outline;
  std::vector<std::string> figures;  ///< what each figure is told as
  std::size_t cells = 0;             ///< of all tables
  std::uint32_t pages = 0;
};

/// In a report with more cells the rows of a page are one paragraph, on certificates of more tests those of a
/// column: each tag would cost about a kilobyte while the file is put together.
inline constexpr std::size_t most_tagged_cells = 50'000;

struct Sheet {
  double width = 0;
  double height = 0;
};

inline constexpr TextStyle body_style{Face::serif, 10.5};
inline constexpr TextStyle note_style{Face::serif_italic, 9.5};

class Flow {
 public:
  /// `known` is the trail of the measuring pass; null while measuring.
  Flow(Canvas& canvas, Sheet sheet, const Trail* known, const Wording& words, std::string running_head,
       std::string foot, Progress progress = {});

  const Wording& words() const { return words_; }

  Canvas& canvas() { return canvas_; }
  double left() const { return 54; }
  double width() const { return sheet_.width - 108; }
  double right() const { return left() + width(); }
  double top() const { return 66; }
  double bottom() const { return sheet_.height - 62; }
  double y() const { return y_; }
  double room() const { return bottom() - y_; }

  void advance(double height) { y_ += height; }
  /// Starts a page unless `height` is left on this one. True where a page began.
  bool need(double height);
  void new_page();
  /// The report is no longer wanted: sections may end where they are.
  bool stopped() const { return stopped_; }
  /// A sheet without running heads: the cover.
  void plain_page();
  void finish();

  // Titles and paragraphs are sentences of ours: they are said in the language of the report.

  /// A numbered section on a page of its own.
  void section(std::uint32_t index, std::string_view title);
  /// A numbered section below what is there, if `height` is left.
  void section_here(std::uint32_t index, std::string_view title, double height = 110);
  void heading(std::string_view text);
  void paragraph(std::string_view text, const TextStyle& style = body_style, Ink ink = Ink::ink);
  /// One paragraph in a narrower column; leaves y below it.
  void paragraph_in(const Box& column, std::string_view text, const TextStyle& style, Ink ink);

  /// For tables: how many cells stand in them, and whether each is tagged.
  void count_cells(std::size_t cells) { trail_.cells += cells; }
  bool tags_cells() const { return known_ != nullptr && known_->cells <= most_tagged_cells; }

  void anchor(Anchor anchor);
  void outline(std::string title, int depth);
  /// An area of this page that leads to an anchor.
  void link(const Box& area, Anchor target);
  /// Page number of an anchor as printed; empty while measuring or where there is none.
  std::string page_of(Anchor anchor) const;
  const Trail& trail() const { return trail_; }

 private:
  void end_page();
  void begin(std::string_view title);
  void heads();

  Canvas& canvas_;
  Sheet sheet_;
  const Trail* known_;
  const Wording& words_;
  std::string running_head_;
  std::string foot_;
  std::string section_;
  Trail trail_;
  double y_ = 0;
  bool open_ = false;
  bool plain_ = false;
  Progress progress_;
  bool stopped_ = false;
};

}  // namespace strandbook
