#include "edge/report/pdf_links.hpp"

#include <qpdf/qpdf-c.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <span>
#include <string_view>

#include "edge/report/draft_file.hpp"
#include "edge/report/pdf_description.hpp"

namespace strandbook {
namespace {

/// qpdf through its C interface: its C++ headers do not compile in C++20 with clang 14.
class Document {
 public:
  Document() : data_(qpdf_init()) {
    qpdf_silence_errors(data_);
    qpdf_set_suppress_warnings(data_, QPDF_TRUE);
  }
  Document(const Document&) = delete;
  Document& operator=(const Document&) = delete;
  ~Document() { qpdf_cleanup(&data_); }

  bool read(const std::string& path);
  void annotate(std::span<const PageLink> links, double height);
  void identify(const PdfIdentity& identity);
  /// Says that the document is tagged, and puts words to its figures, in their order.
  void describe_structure(const std::vector<std::string>& figures);
  bool write(const std::string& path);
  std::string error() {
    qpdf_error found = qpdf_get_error(data_);
    return found == nullptr ? "the links cannot be added" : qpdf_get_error_full_text(data_, found);
  }

 private:
  /// Who wrote the pages, as the information dictionary has it.
  std::string producer() {
    const qpdf_oh info = qpdf_oh_get_key(data_, qpdf_get_trailer(data_), "/Info");
    return qpdf_oh_get_utf8_value(data_, qpdf_oh_get_key(data_, info, "/Producer"));
  }
  struct Told {
    const std::vector<std::string>& figures;
    std::size_t next = 0;
  };
  void describe_element(qpdf_oh element, Told& told);
  bool is(qpdf_oh element, std::string_view role) {
    const qpdf_oh key = qpdf_oh_get_key(data_, element, "/S");
    const bool same = qpdf_oh_is_name(data_, key) != 0 && role == qpdf_oh_get_name(data_, key);
    qpdf_oh_release(data_, key);
    return same;
  }
  qpdf_oh number(double value) { return qpdf_oh_new_real_from_double(data_, value, 2); }
  qpdf_oh name(const char* text) { return qpdf_oh_new_name(data_, text); }
  qpdf_oh list(std::initializer_list<qpdf_oh> items) {
    const qpdf_oh made = qpdf_oh_new_array(data_);
    for (const qpdf_oh item : items) qpdf_oh_append_item(data_, made, item);
    return made;
  }
  qpdf_oh annotation(const PageLink& link, double height);
  /// A stream of its own; `type` and `subtype` may be null.
  qpdf_oh stream(std::string_view bytes, const char* type, const char* subtype);
  qpdf_data data_;
  std::string bytes_;  ///< of a document that was read at once
};

// From a file qpdf fetches every object by itself, which takes far longer; from memory a very large report
// would need its size once more.
bool Document::read(const std::string& path) {
  constexpr std::uintmax_t most_at_once = 24'000'000;
  std::error_code error;
  const std::uintmax_t size = std::filesystem::file_size(path, error);
  if (error || size > most_at_once) return (qpdf_read(data_, path.c_str(), nullptr) & QPDF_ERRORS) == 0;
  bytes_.resize(size);
  const FilePtr file(std::fopen(path.c_str(), "rb"));
  if (file == nullptr || std::fread(bytes_.data(), 1, size, file.get()) != size) return false;
  return (qpdf_read_memory(data_, "report", bytes_.data(), size, nullptr) & QPDF_ERRORS) == 0;
}

qpdf_oh Document::annotation(const PageLink& link, double height) {
  const qpdf_oh made = qpdf_oh_new_dictionary(data_);
  const Box& area = link.area;
  const qpdf_oh zero = qpdf_oh_new_integer(data_, 0);
  const qpdf_oh nowhere = qpdf_oh_new_null(data_);
  qpdf_oh_replace_key(data_, made, "/Type", name("/Annot"));
  qpdf_oh_replace_key(data_, made, "/Subtype", name("/Link"));
  qpdf_oh_replace_key(data_, made, "/Rect",
                      list({number(area.x), number(height - area.y - area.height),
                            number(area.x + area.width), number(height - area.y)}));
  qpdf_oh_replace_key(data_, made, "/Border", list({zero, zero, zero}));
  // Printed and not hidden (ISO 19005-2, 6.3.2; from memory).
  qpdf_oh_replace_key(data_, made, "/F", qpdf_oh_new_integer(data_, 4));
  qpdf_oh_replace_key(data_, made, "/Dest",
                      list({qpdf_get_page_n(data_, link.target.page), name("/XYZ"), nowhere,
                            number(height - static_cast<double>(link.target.y) + 12), nowhere}));
  return qpdf_make_indirect_object(data_, made);
}

// Links come page by page, as the report was drawn. Handles are let go of after each page: they would add up.
void Document::annotate(std::span<const PageLink> links, double height) {
  while (!links.empty()) {
    const std::uint32_t page = links.front().page;
    const qpdf_oh annotations = qpdf_oh_new_array(data_);
    for (; !links.empty() && links.front().page == page; links = links.subspan(1))
      qpdf_oh_append_item(data_, annotations, annotation(links.front(), height));
    qpdf_oh_replace_key(data_, qpdf_get_page_n(data_, page), "/Annots", annotations);
    qpdf_oh_replace_key(data_, qpdf_get_page_n(data_, page), "/Tabs", name("/S"));
    qpdf_oh_release_all(data_);
  }
}

// Only groups are looked into. Handles of what was done are let go of: they would add up.
void Document::describe_element(qpdf_oh element, Told& told) {
  if (is(element, "/Figure")) {
    if (told.next < told.figures.size())
      qpdf_oh_replace_key(data_, element, "/Alt",
                          qpdf_oh_new_unicode_string(data_, told.figures[told.next++].c_str()));
    return;
  }
  if (is(element, "/TH")) {
    const qpdf_oh scope = qpdf_oh_new_dictionary(data_);
    qpdf_oh_replace_key(data_, scope, "/O", name("/Table"));
    qpdf_oh_replace_key(data_, scope, "/Scope", name("/Column"));
    return qpdf_oh_replace_key(data_, element, "/A", scope);
  }
  if (is(element, "/P") || is(element, "/TD")) return;
  const qpdf_oh held = qpdf_oh_get_key(data_, element, "/K");
  if (!qpdf_oh_is_array(data_, held)) {
    if (qpdf_oh_is_dictionary(data_, held)) describe_element(held, told);
    return;
  }
  const int count = qpdf_oh_get_array_n_items(data_, held);
  for (int i = 0; i < count; ++i) {
    const qpdf_oh child = qpdf_oh_get_array_item(data_, held, i);
    if (qpdf_oh_is_dictionary(data_, child)) describe_element(child, told);
    qpdf_oh_release(data_, child);
  }
}

void Document::describe_structure(const std::vector<std::string>& figures) {
  const qpdf_oh root = qpdf_get_root(data_);
  const qpdf_oh marked = qpdf_oh_new_dictionary(data_);
  qpdf_oh_replace_key(data_, marked, "/Marked", qpdf_oh_new_bool(data_, QPDF_TRUE));
  qpdf_oh_replace_key(data_, root, "/MarkInfo", marked);
  Told told{figures};
  describe_element(qpdf_oh_get_key(data_, root, "/StructTreeRoot"), told);
  qpdf_oh_release_all(data_);
}

qpdf_oh Document::stream(std::string_view bytes, const char* type, const char* subtype) {
  const qpdf_oh made = qpdf_oh_new_stream(data_);
  qpdf_oh_replace_stream_data(data_, made,
                              reinterpret_cast<const unsigned char*>(bytes.data()),  // NOLINT: bytes
                              bytes.size(), qpdf_oh_new_null(data_), qpdf_oh_new_null(data_));
  const qpdf_oh entries = qpdf_oh_get_dict(data_, made);
  if (type != nullptr) qpdf_oh_replace_key(data_, entries, "/Type", name(type));
  if (subtype != nullptr) qpdf_oh_replace_key(data_, entries, "/Subtype", name(subtype));
  return made;
}

void Document::identify(const PdfIdentity& identity) {
  const qpdf_oh root = qpdf_get_root(data_);
  qpdf_oh_replace_key(data_, root, "/Lang", qpdf_oh_new_unicode_string(data_, identity.language.c_str()));
  const qpdf_oh viewer = qpdf_oh_new_dictionary(data_);
  qpdf_oh_replace_key(data_, viewer, "/DisplayDocTitle", qpdf_oh_new_bool(data_, QPDF_TRUE));
  qpdf_oh_replace_key(data_, root, "/ViewerPreferences", viewer);
  qpdf_oh_replace_key(data_, root, "/Metadata", stream(xmp_of(identity, producer()), "/Metadata", "/XML"));
  const qpdf_oh profile = stream(srgb_profile(), nullptr, nullptr);
  qpdf_oh_replace_key(data_, qpdf_oh_get_dict(data_, profile), "/N", qpdf_oh_new_integer(data_, 3));
  const qpdf_oh intent = qpdf_oh_new_dictionary(data_);
  const qpdf_oh condition = qpdf_oh_new_unicode_string(data_, "sRGB IEC61966-2.1");
  qpdf_oh_replace_key(data_, intent, "/Type", name("/OutputIntent"));
  // The subtype of every part of ISO 19005.
  qpdf_oh_replace_key(data_, intent, "/S", name("/GTS_PDFA1"));
  qpdf_oh_replace_key(data_, intent, "/OutputConditionIdentifier", condition);
  qpdf_oh_replace_key(data_, intent, "/Info", condition);
  qpdf_oh_replace_key(data_, intent, "/DestOutputProfile", profile);
  qpdf_oh_replace_key(data_, root, "/OutputIntents", list({qpdf_make_indirect_object(data_, intent)}));
  qpdf_oh_release_all(data_);
}

bool Document::write(const std::string& path) {
  if ((qpdf_init_write(data_, path.c_str()) & QPDF_ERRORS) != 0) return false;
  qpdf_set_stream_data_mode(data_, qpdf_s_preserve);
  qpdf_set_object_stream_mode(data_, qpdf_o_generate);
  // The end of each stream stands on a line of its own (ISO 19005-2, 6.1.7.1; from memory).
  qpdf_set_newline_before_endstream(data_, QPDF_TRUE);
  qpdf_set_deterministic_ID(data_, QPDF_TRUE);
  return (qpdf_write(data_) & QPDF_ERRORS) == 0;
}

/// qpdf does not notice where its last bytes find no room.
bool is_whole(const std::string& path) {
  constexpr std::string_view end = "%%EOF\n";
  std::array<char, end.size()> last{};
  const FilePtr file(std::fopen(path.c_str(), "rb"));
  return file != nullptr && std::fseek(file.get(), -static_cast<long>(end.size()), SEEK_END) == 0 &&
         std::fread(last.data(), 1, last.size(), file.get()) == last.size() &&
         std::string_view(last.data(), last.size()) == end;
}

}  // namespace

Result<Done> add_links(const std::string& plain, const std::string& linked, const Trail& trail,
                       double page_height, const PdfIdentity& identity) {
  Document document;
  if (!document.read(plain)) return cannot_write(linked, document.error());
  document.annotate(trail.links, page_height);
  document.identify(identity);
  document.describe_structure(trail.figures);
  if (!document.write(linked)) return cannot_write(linked, document.error());
  if (!is_whole(linked)) return cannot_write(linked, "the disk may be full");
  return Done{};
}

}  // namespace strandbook
