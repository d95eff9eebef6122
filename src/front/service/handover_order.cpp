#include "front/service/handover_order.hpp"

#include <algorithm>
#include <array>

#include "edge/book/device_key.hpp"

namespace strandbook {
namespace {

constexpr std::array<std::string_view, 7> handover_kinds{"pdf",          "xlsx",   "csv",    "json",
                                                         "certificates", "labels", "package"};
constexpr std::size_t longest_picture = 6'000'000;  ///< in base64: a picture of 4 MB takes 5.4

std::optional<Paper> paper_of(std::string_view text) {
  if (text == "a4") return Paper::a4;
  if (text == "letter") return Paper::letter;
  return std::nullopt;
}

std::optional<LengthUnit> length_unit_of(std::string_view text) {
  if (text == "m") return LengthUnit::metres;
  if (text == "ft") return LengthUnit::feet;
  return std::nullopt;
}

Result<Done> take_picture(FieldsIn& fields, const char* key, std::optional<CoverPicture>& into) {
  const auto text = fields.text(key, longest_picture);
  if (!text || text->empty()) return Done{};
  Result<CoverPicture> picture = cover_picture(bytes_of_base64(*text), key);
  if (!picture) return picture.problem();
  into = std::move(*picture);
  return Done{};
}

Scope scope_of(FieldsIn& fields) {
  return {fields.texts("buildings"), fields.texts("panels"), fields.texts("cables"),
          fields.texts("operators"), fields.texts("links")};
}

}  // namespace

Result<HandoverOrder> handover_order(FieldsIn& fields) {
  HandoverOrder order;
  order.what = fields.needed_text("what");
  if (std::find(handover_kinds.begin(), handover_kinds.end(), order.what) == handover_kinds.end())
    fields.note("what", "\"" + order.what + "\"", "pdf, xlsx, csv, json, certificates, labels or package");
  ReportOptions& report = order.report;
  report.title = fields.text("title", 300).value_or("");
  report.site = fields.text("site", 300).value_or("");
  report.client = fields.text("owner", 300).value_or("");
  report.contractor = fields.text("contractor", 300).value_or("");
  report.paper = fields.choice("paper", paper_of, "a4 or letter").value_or(Paper::a4);
  report.length = fields.choice("length_unit", length_unit_of, "m or ft").value_or(LengthUnit::metres);
  report.language =
      report_language(fields.choice("language", parse_language, "en or de").value_or(Language::english));
  order.scope = scope_of(fields);
  if (order.what == "package" && !order.scope.whole())
    fields.note("what", "a part of the job", "the whole job: a package carries the whole book");
  if (const auto done = take_picture(fields, "owner_picture", report.client_picture); !done)
    return done.problem();
  if (const auto done = take_picture(fields, "contractor_picture", report.contractor_picture); !done)
    return done.problem();
  if (const Result<Done> done = fields.check(); !done) return done.problem();
  return order;
}

}  // namespace strandbook
