// Sheets of labels: the names of the schedule beside their QR codes.

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "edge/report/certificates.hpp"
#include "edge/report/legible.hpp"
#include "edge/report/pdf_file.hpp"
#include "edge/report/qr_code.hpp"
#include "edge/report/sections.hpp"

namespace strandbook {
namespace {

constexpr double points_per_mm = 72 / 25.4;
constexpr double least_width_mm = 18;
constexpr double least_height_mm = 8;

/// What stands on one label.
struct LabelText {
  std::string name;  ///< in the code and in large letters
  std::vector<std::string> below;
};

using TakeLabel = std::function<void(const LabelText&)>;

std::string to_end(const std::string& end) { return end.empty() ? end : "\u2192 " + end; }

/// "A-P01:01 … 24": of the last port what the first does not say already.
std::string span_of_ends(const std::string& first, const std::string& last) {
  if (first == last) return first;
  const auto parts = std::mismatch(first.begin(), first.end(), last.begin(), last.end()).first;
  const std::size_t common =
      first.substr(0, static_cast<std::size_t>(parts - first.begin())).find_last_of(":-./ ");
  return first + " \u2026 " + (common == std::string::npos ? last : last.substr(common + 1));
}

/// Hands out the labels of one link.
void labels_of(const ReportedJob& view, const LinkView& link, LabelFor each, const TakeLabel& take) {
  const auto strands = view.strands_of(link);
  const ScheduledStrand& first = view.all.schedule[strands.front()];
  const ScheduledStrand& last = view.all.schedule[strands.back()];
  const std::string cable = link.cable == link.name ? std::string{} : link.cable;
  switch (each) {
    case LabelFor::link:
      return take(
          {link.name, {cable, span_of_ends(first.end_a, last.end_a), span_of_ends(first.end_b, last.end_b)}});
    case LabelFor::end:
      take({link.name, {cable, "A " + span_of_ends(first.end_a, last.end_a), to_end(first.end_b)}});
      return take({link.name, {cable, "B " + span_of_ends(first.end_b, last.end_b), to_end(first.end_a)}});
    case LabelFor::strand:
      for (const std::uint32_t index : strands) {
        const ScheduledStrand& strand = view.all.schedule[index];
        take({strand_title(strand), {strand.end_a, to_end(strand.end_b), cable}});
      }
  }
}

/// The largest size of these in which the name fits its room, else the smallest, elided.
double fitting_size(Typesetter& typesetter, std::string_view text, double room, double height) {
  double size = std::min(14.0, height * 0.32);
  while (size > 5 && typesetter.width({Face::sans_bold, size}, text) > room) size -= 0.5;
  return size;
}

void draw_label(Canvas& canvas, const Box& box, const LabelText& label, const std::string& base_address) {
  const double pad = std::min(6.0, box.height * 0.08);
  const auto rows = qr_rows(code_text(base_address, label.name));
  // Four modules of quiet zone belong to a code (ISO/IEC 18004, 5.3.8); the padding counts towards them.
  const double side = std::min(box.height - 2 * pad, box.width * 0.42);
  const double quiet = rows.empty() ? 0 : side * 4 / static_cast<double>(rows.size() + 8);
  canvas.code(rows, {box.x + pad + quiet, box.y + (box.height - side) / 2 + quiet, side - 2 * quiet,
                     side - 2 * quiet});
  const double x = box.x + pad + side + 2;
  const double room = box.x + box.width - pad - x;
  const double size = fitting_size(canvas.typesetter(), label.name, room, box.height);
  double y = box.y + pad + size;
  canvas.begin(PageRole::paragraph);
  canvas.text({{x, y}, room, Align::left}, {Face::sans_bold, size}, Ink::ink, label.name);
  const double small = std::clamp(box.height * 0.11, 4.5, 8.0);
  for (const std::string& line : label.below) {
    if (line.empty()) continue;
    y += small * 1.3;
    if (y > box.y + box.height - pad * 0.5) return;
    canvas.text({{x, y}, room, Align::left}, {Face::sans, small}, Ink::ink, line);
  }
}

/// Where the labels of a sheet stand, points.
struct LabelGrid {
  LabelSheet sheet;
  double width = 0;
  double height = 0;
  Box box(std::size_t place) const {
    const auto columns = static_cast<std::size_t>(sheet.columns);
    const auto column = static_cast<double>(place % columns);
    const std::size_t full_rows = place / columns;
    const auto row = static_cast<double>(full_rows);
    return {sheet.side * points_per_mm + column * (width + sheet.gap_x * points_per_mm),
            sheet.top * points_per_mm + row * (height + sheet.gap_y * points_per_mm), width, height};
  }
  std::size_t places() const {
    return static_cast<std::size_t>(sheet.columns) * static_cast<std::size_t>(sheet.rows);
  }
};

Result<LabelGrid> grid_of(const LabelSheet& sheet, const Sheet& paper) {
  const double across = paper.width / points_per_mm - 2 * sheet.side - sheet.gap_x * (sheet.columns - 1);
  const double down = paper.height / points_per_mm - 2 * sheet.top - sheet.gap_y * (sheet.rows - 1);
  const double width = across / std::max(1, sheet.columns);
  const double height = down / std::max(1, sheet.rows);
  if (sheet.columns < 1 || sheet.rows < 1 || width < least_width_mm || height < least_height_mm)
    return Problem{{},
                   fmt::format("labels of {:.0f} by {:.0f} mm", std::max(0.0, width), std::max(0.0, height)),
                   fmt::format("labels of at least {:.0f} by {:.0f} mm", least_width_mm, least_height_mm),
                   "Take fewer columns or rows, or smaller margins."};
  return LabelGrid{sheet, width * points_per_mm, height * points_per_mm};
}

}  // namespace

// Common practice: label sheets of three columns; eight rows fill A4, ten of one inch fill Letter.
LabelSheet usual_labels(Paper paper) {
  LabelSheet sheet;
  if (paper == Paper::letter) sheet = {3, 10, 12.7, 4.8, 3.2, 0, LabelFor::link, false};
  return sheet;
}

Result<Done> write_labels_pdf(const JudgedJob& job, const ReportOptions& options, const LabelSheet& sheet,
                              const std::string& base_address, const std::string& path,
                              const Progress& progress) {
  const ReportedJob view(job);
  const Wording words(options.language);
  const PdfSetup setup{sheet_of(options.paper), identity_of(job, words.say("Labels"), options, words)};
  const auto grid = grid_of(sheet, setup.sheet);
  if (!grid) return grid.problem();
  if (view.links.empty())
    return Problem{{path, {}, 0, {}}, "a job without a link", "a schedule with one link at least", ""};
  return write_pdf(path, setup, [&](Typesetter& typesetter, cairo_surface_t* surface) -> Trail {
    Canvas canvas(typesetter, surface);
    Flow flow(canvas, setup.sheet, nullptr, words, {}, {});
    std::size_t place = 0;
    const auto take = [&](const LabelText& label) {
      if (place % grid->places() == 0) flow.plain_page();
      const Box box = grid->box(place++ % grid->places());
      draw_label(canvas, box, label, base_address);
      if (sheet.cut_lines) canvas.frame(box, 0.3, Ink::faint);
    };
    for (std::size_t i = 0; i < view.links.size(); ++i) {
      labels_of(view, view.links[i], sheet.each, take);
      if (progress && !progress(static_cast<double>(i) / static_cast<double>(view.links.size()))) return {};
    }
    flow.finish();
    return flow.trail();
  });
}

}  // namespace strandbook
