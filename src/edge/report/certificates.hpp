#pragma once
// A page per link to hang beside the panel, and labels for links, ends and strands.

#include <string>

#include "domain/units/units.hpp"
#include "edge/report/report.hpp"

namespace strandbook {

/// What a QR code on a certificate or label says: the name, or where a base address is given that address
/// with the name percent-encoded behind it (RFC 3986).
std::string code_text(const std::string& base_address, const std::string& name);

/// One page for each link of the job: what it is, what it was judged by and measured with, every test with
/// its outcome, lines to sign. Where a link has more tests than a page holds, those that did not pass and the
/// tightest stand on it, and how many are left out. Narrow the job first to have some links only.
Result<Done> write_certificates_pdf(const JudgedJob& job, const ReportOptions& options,
                                    const std::string& base_address, const std::string& path,
                                    const Progress& progress = {});

/// What gets a label of its own.
enum class LabelFor { link, end, strand };

/// Geometry of a sheet of labels, millimetres.
struct LabelSheet {
  int columns = 3;
  int rows = 8;
  double top = 12;
  double side = 8;   ///< left and right
  double gap_x = 2;  ///< between columns
  double gap_y = 2;  ///< between rows
  LabelFor each = LabelFor::link;
  bool cut_lines = false;
};

/// The usual sheet of a paper.
LabelSheet usual_labels(Paper paper);

/// Labels with the names of the schedule as they stand there, each with its QR code. A sheet whose labels
/// would be smaller than 18 by 8 mm is a Problem.
Result<Done> write_labels_pdf(const JudgedJob& job, const ReportOptions& options, const LabelSheet& sheet,
                              const std::string& base_address, const std::string& path,
                              const Progress& progress = {});

}  // namespace strandbook
