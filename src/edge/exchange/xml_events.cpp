#include "edge/exchange/xml_events.hpp"

#include <expat.h>

#include <algorithm>
#include <exception>
#include <memory>

namespace strandbook {
namespace {

constexpr char kSeparator = '\n';
constexpr std::size_t kStep = std::size_t{1} << 20U;

struct Name {
  std::string_view space;
  std::string_view local;
};

Name split(const char* name) {
  const std::string_view whole(name);
  const std::size_t at = whole.rfind(kSeparator);
  if (at == std::string_view::npos) return {{}, whole};
  return {whole.substr(0, at), whole.substr(at + 1)};
}

struct Telling {
  XML_Parser parser;
  XmlListener& listener;
  std::exception_ptr thrown;  // carried past the C code, which must not be unwound
  bool has_doctype = false;

  template <class Call>
  void tell(Call call) {
    if (thrown) return;
    try {
      call();
      if (!listener.is_done()) return;
    } catch (...) {
      thrown = std::current_exception();
    }
    XML_StopParser(parser, XML_FALSE);
  }
};

Telling& telling(void* data) { return *static_cast<Telling*>(data); }

void on_open(void* data, const XML_Char* name, const XML_Char** attributes) {
  telling(data).tell([&] { telling(data).listener.opened(split(name).local, XmlAttributes(attributes)); });
}
void on_close(void* data, const XML_Char* name) {
  telling(data).tell([&] { telling(data).listener.closed(split(name).local); });
}
void on_text(void* data, const XML_Char* text, int length) {
  telling(data).tell([&] { telling(data).listener.text({text, static_cast<std::size_t>(length)}); });
}
void on_doctype(void* data, const XML_Char*, const XML_Char*, const XML_Char*, int) {
  telling(data).has_doctype = true;
  XML_StopParser(telling(data).parser, XML_FALSE);
}

XML_Status feed(XML_Parser parser, std::string_view xml) {
  for (;;) {
    const std::string_view step = xml.substr(0, kStep);
    xml.remove_prefix(step.size());
    const XML_Status status =
        XML_Parse(parser, step.data(), static_cast<int>(step.size()), xml.empty() ? 1 : 0);
    if (status != XML_STATUS_OK || xml.empty()) return status;
  }
}

}  // namespace

std::string_view XmlAttributes::find(std::string_view space, std::string_view name) const {
  for (const char** pair = pairs_; *pair != nullptr; pair += 2) {
    const Name found = split(*pair);
    if (found.local == name && found.space.empty() == space.empty() && found.space.ends_with(space))
      return pair[1];
  }
  return {};
}

Result<Done> tell_xml(std::string_view xml, XmlListener& listener) {
  const std::unique_ptr<XML_ParserStruct, decltype(&XML_ParserFree)> parser(
      XML_ParserCreateNS(nullptr, kSeparator), &XML_ParserFree);
  if (!parser) return Problem{{}, "no memory for XML", {}, {}};
  Telling state{parser.get(), listener, nullptr};
  XML_SetUserData(parser.get(), &state);
  XML_SetElementHandler(parser.get(), on_open, on_close);
  XML_SetCharacterDataHandler(parser.get(), on_text);
  XML_SetStartDoctypeDeclHandler(parser.get(), on_doctype);
  const XML_Status status = feed(parser.get(), xml);
  if (state.thrown) std::rethrow_exception(state.thrown);
  if (status == XML_STATUS_OK || (listener.is_done() && !state.has_doctype)) return Done{};
  if (state.has_doctype) return Problem{{}, "a document type declaration", {}, {}};
  return Problem{{},
                 std::string(XML_ErrorString(XML_GetErrorCode(parser.get()))) + " in line " +
                     std::to_string(XML_GetCurrentLineNumber(parser.get())),
                 {},
                 {}};
}

}  // namespace strandbook
