#pragma once
// What a person adds for the owner's sake: statements for the whole job, notes on a strand, enclosed
// documents.

#include <optional>
#include <string>
#include <string_view>

#include "domain/rulebook/owner_profile.hpp"
#include "edge/book/recording.hpp"

namespace strandbook {

/// "closure shut: all of them, seen on 24 November", said for the whole job.
struct Statement {
  RecordField field = RecordField::project;
  std::string words;
};

/// The remark that states it. Field by its text; a Problem where no owner's list has it or words are missing.
Result<Remark> statement(const std::string& field, const std::string& words, const std::string& person);
/// What a remark states; nothing where it is about something else.
std::optional<Statement> stated_by(const Remark& remark);

/// What was done at a strand, or seen there. The link may be empty where the schedule names strands only.
Result<Remark> note_on_strand(const Subject& strand, const std::string& words, const std::string& person);

/// A file to enclose as a form that owners ask for ("calibration certificate"). Views the bytes.
Result<ImportedFile> enclosed_document(const std::string& form, const std::string& name,
                                       std::string_view bytes);
/// The form that an import was enclosed as; nothing for every other import.
std::optional<HandoverForm> enclosed_as(const ImportRecord& import);

}  // namespace strandbook
