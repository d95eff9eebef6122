#include <fmt/format.h>

#include <algorithm>

#include "front/cli/check_words.hpp"
#include "front/cli/commands.hpp"
#include "front/cli/options.hpp"
#include "front/cli/terminal.hpp"
#include "workflow/inspect_end_faces.hpp"

namespace strandbook {
namespace {

struct EndfacesOptions {
  std::string inspections;
  std::string kind;
  std::vector<std::string> own;
  std::string losses;
  std::string limit;
  bool sources = false;
  bool json = false;
};

/// "B=10": nothing larger than 10 µm in zone B.
Result<OwnZoneLimit> own_limit(const std::string& text) {
  constexpr const char* wanted = "zone and µm, such as B=10";
  for (const EndFaceZone zone :
       {EndFaceZone::core, EndFaceZone::cladding, EndFaceZone::adhesive, EndFaceZone::contact}) {
    if (text.size() < 3 || text[0] != text_of(zone)[0] || text[1] != '=') continue;
    const Result<double> size = number_option("--own-limit", text.substr(2), wanted);
    if (!size) return size.problem();
    if (*size < 0 || *size > 1000) return bad_option("--own-limit", text, wanted);
    return OwnZoneLimit{zone, {*size}};
  }
  return bad_option("--own-limit", text, wanted);
}

Result<InspectionQuestion> question_of(const EndfacesOptions& options) {
  InspectionQuestion question;
  question.kind = parse_end_face_kind(options.kind);
  if (!question.kind && !options.kind.empty())
    return bad_option("--kind", options.kind, "multimode, single-mode or single-mode-apc");
  for (const std::string& text : options.own) {
    const Result<OwnZoneLimit> own = own_limit(text);
    if (!own) return own.problem();
    question.own.push_back(*own);
  }
  if (options.limit.empty()) return question;
  const Result<double> limit = number_option("--limit", options.limit, "a limit in dB, such as 1.00");
  if (!limit) return limit.problem();
  if (*limit < 0 || *limit > 100) return bad_option("--limit", options.limit, "a limit of 0 to 100 dB");
  question.loss_limit = Decibels{*limit};
  return question;
}

void print_counts(const FaceJudgement& judged) {
  for (const ZoneCount& each : judged.counts)
    print_source(
        fmt::format("zone {} {} {}: found {}, allowed {}", text_of(each.zone), text_of(each.mark), each.band,
                    each.found, each.allowed ? std::to_string(*each.allowed) : "any number"),
        each.source);
}

void print_ends(const JudgedEnds& ends, bool sources) {
  fmt::print("  {}  {}\n", styled(ends.outcome), ends.link);
  print_reasons(ends.reasons);
  if (ends.loss) {
    fmt::print("      loss {}\n", styled(ends.loss->outcome));
    print_reasons(words_on_losses(*ends.loss));
    print_reasons(ends.loss->reasons);
  }
  for (const JudgedFace& each : ends.faces) {
    fmt::print("      end face {} {}{}{}\n", each.face.face, styled(each.judged.outcome),
               each.face.kind ? "  " : "", each.face.kind ? text_of(*each.face.kind) : "");
    print_reasons(each.judged.reasons);
    if (sources) print_counts(each.judged);
  }
}

void print_rings(const std::vector<ZoneRing>& rings) {
  fmt::print("\n{}\n", heading("Zones"));
  for (const ZoneRing& ring : rings)
    print_source(fmt::format("{} zone {} ({}): {:g} to {:g} µm across", text_of(ring.mode),
                             text_of(ring.zone), name_of(ring.zone), ring.inner.value, ring.outer.value),
                 ring.source);
}

int run_endfaces(const EndfacesOptions& options) {
  const Result<InspectionQuestion> question = question_of(options);
  if (!question) return refuse(question.problem());
  const Result<InspectionWork> work = inspect_end_faces(options.inspections, options.losses, *question);
  if (!work) return refuse(work.problem());
  if (options.json) {
    fmt::print("{}\n", end_faces_json(work->links, work->left));
    return all_hold(*work) ? 0 : 1;
  }
  fmt::print("{}\n", heading("End faces"));
  for (const JudgedEnds& each : work->links) print_ends(each, options.sources);
  if (options.sources) print_rings(work->rings);
  print_leftovers(work->left);
  print_cautions(work->cautions);
  return all_hold(*work) ? 0 : 1;
}

}  // namespace

void add_endfaces_command(CLI::App& app, ExitStatus& status) {
  auto options = std::make_shared<EndfacesOptions>();
  CLI::App* command = app.add_subcommand("endfaces", "Inspections of end faces, beside the losses of links");
  command
      ->add_option("--inspections", options->inspections,
                   "What was seen: link, face, mark, zone, size in µm, count, limit")
      ->required();
  command->add_option("--kind", options->kind,
                      "Of faces whose row does not say: multimode, single-mode or single-mode-apc");
  command->add_option("--own-limit", options->own,
                      "The site's own limit: B=10 lets nothing larger than 10 µm be in zone B");
  command->add_option("--loss", options->losses, "Losses of the links: link, loss, limit");
  command->add_option("--limit", options->limit, "Loss limit, dB, where --loss does not say");
  command->add_flag("--sources", options->sources, "Print each number's source");
  command->add_flag("--json", options->json, "Print JSON");
  command->callback([options, &status] { status.value = run_endfaces(*options); });
}

}  // namespace strandbook
