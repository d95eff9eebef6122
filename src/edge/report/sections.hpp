#pragma once
// The sections of the report, in its order. Each writes itself where the flow stands.

#include "edge/report/flow.hpp"
#include "edge/report/report.hpp"
#include "edge/report/reported_job.hpp"

namespace strandbook {

/// What every section writes from and onto.
struct ReportPass {
  const ReportedJob& view;
  const ReportOptions& options;
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
std::string report_title(const ReportOptions& options);
std::string head_of(const JudgedJob& job);
std::string date_of(const ReportOptions& options);

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
