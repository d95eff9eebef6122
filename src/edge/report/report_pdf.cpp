#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <memory>

#include "edge/report/draft_file.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/pdf_links.hpp"
#include "edge/report/report.hpp"
#include "edge/report/sections.hpp"

namespace strandbook {
namespace {

struct DropSurface {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using SurfacePtr = std::unique_ptr<cairo_surface_t, DropSurface>;

Sheet sheet_of(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return {595.28, 841.89};
    case Paper::letter:
      return {612, 792};
  }
  return {};
}

cairo_status_t put(void* file, const unsigned char* bytes, unsigned length) {
  const bool whole = std::fwrite(bytes, 1, length, static_cast<std::FILE*>(file)) == length;
  return whole ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

/// Runs through the report once. Without a surface it only measures. Without pages: it was cancelled.
Trail run(Typesetter& typesetter, const ReportedJob& view, const ReportOptions& options,
          const Progress& progress, cairo_surface_t* surface, const Trail* known) {
  Canvas canvas(typesetter, surface);
  const std::string foot =
      options.site.empty() ? report_title(options) : report_title(options) + ", " + options.site;
  Flow flow(canvas, sheet_of(options.paper), known, head_of(view.job), foot, progress);
  const ReportPass pass{view, options, flow};
  for (const auto section : {write_cover, write_contents, write_scope, write_instruments, write_summary,
                             write_exceptions, write_links, write_strands, write_traces, write_kept_rows,
                             write_cautions, write_memory, write_signatures})
    if (!flow.stopped()) section(pass);
  flow.finish();
  if (flow.stopped()) return {};
  return flow.trail();
}

void set_metadata(cairo_surface_t* surface, const ReportedJob& view, const ReportOptions& options) {
  const auto set = [surface](cairo_pdf_metadata_t key, const std::string& text) {
    if (!text.empty()) cairo_pdf_surface_set_metadata(surface, key, legible(text).c_str());
  };
  const std::string job = view.job.name;
  set(CAIRO_PDF_METADATA_TITLE, job.empty() ? report_title(options) : report_title(options) + ": " + job);
  set(CAIRO_PDF_METADATA_AUTHOR, options.contractor);
  set(CAIRO_PDF_METADATA_SUBJECT, "Insertion loss of optical-fibre links");
  set(CAIRO_PDF_METADATA_CREATOR, "strandbook");
  // Always set: left alone, cairo takes the clock of the machine.
  Instant moment = options.created;
  moment.dated = moment.timed = moment.zoned = true;
  set(CAIRO_PDF_METADATA_CREATE_DATE, iso_text(moment));
}

void add_outline(cairo_surface_t* surface, const Trail& trail, double height) {
  int parent = CAIRO_PDF_OUTLINE_ROOT;
  for (const OutlineEntry& entry : trail.outline) {
    const std::string place =
        fmt::format("page={} pos=[0 {:.1f}]", entry.at.page + 1,
                    std::max(0.0, std::min(height, static_cast<double>(entry.at.y) - 12)));
    const int under = entry.depth == 0 ? CAIRO_PDF_OUTLINE_ROOT : parent;
    const int made = cairo_pdf_surface_add_outline(surface, under, entry.title.c_str(), place.c_str(),
                                                   cairo_pdf_outline_flags_t{});
    if (entry.depth == 0) parent = made;
  }
}

/// Draws all pages into a file, without link areas.
Result<Trail> draw(const ReportedJob& view, const ReportOptions& options, const Progress& progress,
                   const std::string& path, const std::string& target) {
  Typesetter typesetter;
  const Trail measured = run(typesetter, view, options, progress, nullptr, nullptr);
  if (measured.pages == 0) return cancelled(target);
  FilePtr file(std::fopen(path.c_str(), "wb"));
  if (file == nullptr) return cannot_write(target, "the draft cannot be opened");
  const Sheet sheet = sheet_of(options.paper);
  SurfacePtr surface(cairo_pdf_surface_create_for_stream(put, file.get(), sheet.width, sheet.height));
  set_metadata(surface.get(), view, options);
  Trail trail = run(typesetter, view, options, progress, surface.get(), &measured);
  if (trail.pages == 0) return cancelled(target);
  add_outline(surface.get(), trail, sheet.height);
  cairo_surface_finish(surface.get());
  const cairo_status_t status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS) return cannot_write(target, cairo_status_to_string(status));
  const bool flushed = std::fflush(file.get()) == 0;
  if (std::fclose(file.release()) != 0 || !flushed) return cannot_write(target, "the disk may be full");
  return trail;
}

}  // namespace

Result<Done> write_report_pdf(const JudgedJob& job, const ReportOptions& options, const std::string& path,
                              const Progress& progress) {
  auto plain = DraftFile::beside(path);
  if (!plain) return plain.problem();
  auto linked = DraftFile::beside(path);
  if (!linked) return linked.problem();
  const ReportedJob view(job);
  const auto trail = draw(view, options, progress, plain->path(), path);
  if (!trail) return trail.problem();
  auto added = add_links(plain->path(), linked->path(), *trail, sheet_of(options.paper).height);
  if (!added) return cannot_write(path, added.problem().found);
  return linked->keep();
}

}  // namespace strandbook
