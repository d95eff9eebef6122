#include "edge/exchange/workbook_part.hpp"

#include <charconv>

#include "edge/exchange/workbook_problem.hpp"

namespace strandbook {

Result<Done> tell_part(ZipPackage& package, const std::string& file, const std::string& part,
                       XmlListener& listener) {
  const Result<std::string> xml = package.read(part);
  if (!xml) return xml.problem();
  if (auto told = tell_xml(*xml, listener); !told)
    return damaged_workbook(file, "part " + part + ": " + told.problem().found);
  return Done{};
}

std::size_t parse_index(std::string_view digits) {
  std::size_t index = 0;
  const char* const end = digits.data() + digits.size();
  const auto parsed = std::from_chars(digits.data(), end, index);
  return parsed.ec == std::errc{} && parsed.ptr == end ? index : std::string_view::npos;
}

}  // namespace strandbook
