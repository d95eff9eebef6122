#include "edge/report/legible.hpp"
#include "edge/report/pdf_file.hpp"
#include "edge/report/report.hpp"
#include "edge/report/sections.hpp"
#include "edge/report/wording.hpp"

namespace strandbook {
namespace {

/// Runs through the report once. Without a surface it only measures. Without pages: it was cancelled.
Trail run(Typesetter& typesetter, const ReportedJob& view, const ReportOptions& options, const Wording& words,
          const Progress& progress, cairo_surface_t* surface, const Trail* known) {
  Canvas canvas(typesetter, surface);
  const std::string title = report_title(options, words);
  const std::string foot = options.site.empty() ? title : title + ", " + options.site;
  Flow flow(canvas, sheet_of(options.paper), known, words, head_of(view.job, words), foot, progress);
  const ReportPass pass{view, options, words, flow};
  for (const auto section : {write_cover, write_contents, write_scope, write_instruments, write_summary,
                             write_exceptions, write_links, write_strands, write_traces, write_kept_rows,
                             write_cautions, write_memory, write_signatures})
    if (!flow.stopped()) section(pass);
  flow.finish();
  if (flow.stopped()) return {};
  return flow.trail();
}

}  // namespace

PdfIdentity identity_of(const JudgedJob& job, const std::string& title, const ReportOptions& options,
                        const Wording& words) {
  return {legible(job.name.empty() ? title : title + ": " + job.name), legible(options.contractor),
          words.say("Insertion loss of optical-fibre links, strand by strand"), options.language.tag,
          options.created};
}

Result<Done> write_report_pdf(const JudgedJob& job, const ReportOptions& options, const std::string& path,
                              const Progress& progress) {
  const ReportedJob view(job);
  const Wording words(options.language);
  const PdfSetup setup{sheet_of(options.paper),
                       identity_of(job, report_title(options, words), options, words)};
  return write_pdf(path, setup, [&](Typesetter& typesetter, cairo_surface_t* surface) {
    Trail measured = run(typesetter, view, options, words, progress, nullptr, nullptr);
    if (measured.pages == 0) return measured;
    return run(typesetter, view, options, words, progress, surface, &measured);
  });
}

}  // namespace strandbook
