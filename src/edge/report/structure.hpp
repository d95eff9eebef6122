#pragma once
// The tags of a page (ISO 32000-1, 14.8): what is a heading, a paragraph, a cell, a figure, and in which
// order it is read.

#include <cairo.h>

#include <cstdint>
#include <vector>

namespace strandbook {

/// What a piece of a page is. A role closes what cannot hold it, so that nobody has to close a table.
enum class PageRole : std::uint8_t {
  document,
  section,
  title,       ///< H1: a section, a certificate, a sheet of labels
  heading,     ///< H2
  subheading,  ///< H3: a link, a strand, a finding
  paragraph,
  figure,
  table,
  row,
  head_cell,
  cell,
};

/// Keeps the tags of a drawing pass nested. A group is opened only where its first content follows on the
/// same page: cairo takes one without content for content itself.
class Structure {
 public:
  /// Not owned; null while measuring.
  explicit Structure(cairo_t* context) : context_(context) {}

  void begin(PageRole role);
  /// Ends what holds content, not the groups around it.
  void end();
  /// True while content belongs to a tag.
  bool holds_content() const;
  bool in_figure() const { return !open_.empty() && open_.back() == PageRole::figure; }
  /// Ends everything.
  void finish();

 private:
  void open(PageRole role);
  void close();
  cairo_t* context_;
  std::vector<PageRole> open_;
};

}  // namespace strandbook
