#include "edge/report/structure.hpp"

namespace strandbook {
namespace {

const char* name_of(PageRole role) {
  switch (role) {
    case PageRole::document:
      return "Document";
    case PageRole::section:
      return "Sect";
    case PageRole::title:
      return "H1";
    case PageRole::heading:
      return "H2";
    case PageRole::subheading:
      return "H3";
    case PageRole::paragraph:
      return "P";
    case PageRole::figure:
      return "Figure";
    case PageRole::table:
      return "Table";
    case PageRole::row:
      return "TR";
    case PageRole::head_cell:
      return "TH";
    case PageRole::cell:
      return "TD";
  }
  return "P";
}

/// How deep a role stands: it closes all that stand as deep or deeper.
int depth_of(PageRole role) {
  switch (role) {
    case PageRole::document:
      return 0;
    case PageRole::section:
      return 1;
    case PageRole::title:
    case PageRole::heading:
    case PageRole::subheading:
    case PageRole::paragraph:
    case PageRole::figure:
    case PageRole::table:
      return 2;
    case PageRole::row:
      return 3;
    case PageRole::head_cell:
    case PageRole::cell:
      return 4;
  }
  return 0;
}

bool is_group(PageRole role) {
  return role == PageRole::document || role == PageRole::section || role == PageRole::table ||
         role == PageRole::row;
}

}  // namespace

void Structure::open(PageRole role) {
  cairo_tag_begin(context_, name_of(role), nullptr);
  open_.push_back(role);
}

void Structure::close() {
  cairo_tag_end(context_, name_of(open_.back()));
  open_.pop_back();
}

void Structure::begin(PageRole role) {
  if (context_ == nullptr) return;
  while (!open_.empty() && depth_of(open_.back()) >= depth_of(role)) close();
  if (open_.empty() && role != PageRole::document) open(PageRole::document);
  if (role == PageRole::row && open_.back() != PageRole::table) open(PageRole::table);
  open(role);
}

void Structure::end() {
  if (holds_content()) close();
}

bool Structure::holds_content() const { return !open_.empty() && !is_group(open_.back()); }

void Structure::finish() {
  while (!open_.empty()) close();
}

}  // namespace strandbook
