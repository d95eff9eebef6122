#include "edge/book/import_drafts.hpp"

namespace strandbook {

std::optional<FactDraft> RowDrafts::next(const RowOrigin& origin) {
  if (strand_ < rows_.strands.size()) return to_fact(rows_.strands[strand_++], origin);
  if (reference_ < rows_.references.size())
    return to_fact(rows_.references[reference_++], origin, rows_.entry);
  if (rows_.readings != nullptr && reading_ < rows_.readings->rows.size()) {
    const Reading& reading = rows_.readings->rows[reading_++];
    const std::vector<SourceFile>& files = rows_.readings->files;
    return to_fact(reading, reading.file < files.size() ? files[reading.file] : SourceFile{}, origin,
                   rows_.entry);
  }
  if (calibration_ < rows_.calibrations.size()) return to_fact(rows_.calibrations[calibration_++], origin);
  if (light_path_ < rows_.light_paths.size()) return to_fact(rows_.light_paths[light_path_++], origin);
  if (trace_ < rows_.traces.size()) return to_fact(rows_.traces[trace_++], origin);
  if (unread_ < rows_.unread.size()) return to_unread_fact(rows_.unread[unread_++], origin);
  return std::nullopt;
}

}  // namespace strandbook
