#include "workflow/statements.hpp"

namespace strandbook {
namespace {

constexpr std::string_view statement_mark = "stated ";
constexpr std::string_view form_mark = "form=";

Problem lacking(const char* what, const char* wanted) { return {{what, {}, 0, {}}, "nothing", wanted, ""}; }

}  // namespace

Result<Remark> statement(const std::string& field, const std::string& words, const std::string& person) {
  if (!parse_record_field(field))
    return Problem{{"field", {}, 0, {}},
                   "\"" + field + "\"",
                   "a field that owners ask for, such as closure shut",
                   "The pre-flight names the fields that are missing."};
  if (words.empty()) return lacking("text", "what is stated");
  if (person.empty()) return lacking("person", "who states it");
  return Remark{FactKind::note, std::string(statement_mark) + field + "\n" + words, person, {}, {}};
}

std::optional<Statement> stated_by(const Remark& remark) {
  const std::size_t end = remark.text.find('\n');
  // What is noted at a strand, which anybody of the crew may do, is no statement for the job.
  if (remark.kind != FactKind::note || !remark.about_strand.empty() ||
      !remark.text.starts_with(statement_mark) || end == std::string::npos)
    return std::nullopt;
  const auto field = parse_record_field(
      std::string_view(remark.text).substr(statement_mark.size(), end - statement_mark.size()));
  if (!field) return std::nullopt;
  return Statement{*field, remark.text.substr(end + 1)};
}

Result<Remark> note_on_strand(const Subject& strand, const std::string& words, const std::string& person) {
  if (strand.empty()) return lacking("strand", "the strand that the note is about");
  if (words.empty()) return lacking("text", "what was done or seen");
  if (person.empty()) return lacking("person", "who notes it");
  return Remark{FactKind::note, words, person, strand, {}};
}

Result<ImportedFile> enclosed_document(const std::string& form, const std::string& name,
                                       std::string_view bytes) {
  if (!parse_handover_form(form))
    return Problem{{"form", {}, 0, {}},
                   "\"" + form + "\"",
                   "a form that owners ask for, such as calibration certificate",
                   "`strandbook profiles show` names the forms of each owner."};
  if (bytes.empty()) return Problem{{name, {}, 0, {}}, "an empty file", "a document", "Save it again."};
  return ImportedFile{name, bytes, ImportPurpose::document, std::string(form_mark) + form, {}};
}

std::optional<HandoverForm> enclosed_as(const ImportRecord& import) {
  if (import.purpose != ImportPurpose::document || !import.understood.starts_with(form_mark))
    return std::nullopt;
  return parse_handover_form(std::string_view(import.understood).substr(form_mark.size()));
}

}  // namespace strandbook
