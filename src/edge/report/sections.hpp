#pragma once
// The sections of the report, in its order. Each writes itself where the flow stands.

#include "edge/report/flow.hpp"
#include "edge/report/pdf_links.hpp"
#include "edge/report/report.hpp"
#include "edge/report/reported_job.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {

/// What every section writes from and onto.
struct ReportPass {
  const ReportedJob& view;
  const ReportOptions& options;
  const Wording& words;
  Flow& flow;
};

enum class Section : std::uint32_t {
  scope = 1,
  instruments,
  summary,
  exceptions,
  links,
  strands,
  kept_rows,
  cautions,
  memory,
  signatures,
};

std::string_view title_of(Section section);
constexpr std::uint32_t number_of(Section section) { return static_cast<std::uint32_t>(section); }

/// Title of the whole report, and the words that head each page.
std::string report_title(const ReportOptions& options, const Wording& words);
/// What a PDF about the job says of itself.
PdfIdentity identity_of(const JudgedJob& job, const std::string& title, const ReportOptions& options,
                        const Wording& words);
std::string head_of(const JudgedJob& job, const Wording& words);

void write_cover(const ReportPass& pass);
void write_contents(const ReportPass& pass);
void write_scope(const ReportPass& pass);
void write_instruments(const ReportPass& pass);
void write_summary(const ReportPass& pass);
void write_exceptions(const ReportPass& pass);
void write_links(const ReportPass& pass);
void write_strands(const ReportPass& pass);
/// Nothing where the job has no traces.
void write_traces(const ReportPass& pass);
void write_kept_rows(const ReportPass& pass);
void write_cautions(const ReportPass& pass);
void write_memory(const ReportPass& pass);
void write_signatures(const ReportPass& pass);

}  // namespace strandbook
