#pragma once
// The elements of an XML part, told one after the other.

#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"

namespace strandbook {

/// Attributes of the element being opened; valid only during that call.
class XmlAttributes {
 public:
  explicit XmlAttributes(const char** pairs) : pairs_(pairs) {}
  /// Value of the attribute without a namespace; empty if there is none.
  std::string_view plain(std::string_view name) const { return find({}, name); }
  /// Value of the attribute whose namespace ends in `space`; empty if there is none.
  std::string_view in(std::string_view space, std::string_view name) const { return find(space, name); }

 private:
  std::string_view find(std::string_view space, std::string_view name) const;
  const char** pairs_;
};

/// Elements come by their local name: the formats read here never use one name for two things.
class XmlListener {
 public:
  XmlListener() = default;
  XmlListener(const XmlListener&) = delete;
  XmlListener& operator=(const XmlListener&) = delete;
  virtual ~XmlListener() = default;
  virtual void opened(std::string_view element, const XmlAttributes& attributes) = 0;
  virtual void closed(std::string_view element) = 0;
  virtual void text(std::string_view part) = 0;
  /// True when the rest need not be read.
  virtual bool is_done() const { return false; }
};

/// The problem's `found` says what is wrong with the XML and on which of its lines; its place is left empty.
/// A document type declaration is refused: workbooks have none, and entities can be made to fill the memory.
Result<Done> tell_xml(std::string_view xml, XmlListener& listener);

}  // namespace strandbook
