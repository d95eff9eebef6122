#include "workflow/package_lists.hpp"

#include "domain/plan/strand_index.hpp"
#include "edge/book/audit.hpp"
#include "edge/exchange/output_file.hpp"
#include "edge/exchange/text_out.hpp"
#include "workflow/see_finding.hpp"
#include "workflow/statements.hpp"

namespace strandbook {
namespace {

std::string time_of(std::int64_t time_ms) { return iso_text({time_ms / 1000, true, true, true}); }

void append_row(std::string& out, std::initializer_list<std::string_view> cells) {
  bool first = true;
  for (const std::string_view cell : cells) {
    if (!first) out += ',';
    first = false;
    append_csv_cell(out, cell);
  }
  out += '\n';
}

std::string names_of(const Schedule& schedule, const std::vector<std::uint32_t>& strands) {
  std::string names;
  for (const std::uint32_t strand : strands) names += (names.empty() ? "" : "; ") + name_of(schedule[strand]);
  return names;
}

std::string tests_of(const Assessment& all, const std::vector<std::uint32_t>& tests) {
  std::string names;
  for (const std::uint32_t index : tests) {
    const JudgedTest& test = all.tests[index];
    names += (names.empty() ? "" : "; ") + name_of(all.schedule[test.strand]) + " ";
    append_decimal(names, test.wavelength.value, 1);
    if (test.direction) (names += ' ') += text_of(*test.direction);
  }
  return names;
}

}  // namespace

Result<Done> write_facts_csv(const Store& store, const std::string& path) {
  Result<OutputFile> file = OutputFile::create(path);
  if (!file) return file.problem();
  file->write("time,fact,device,number,by,kind,link,strand,what\n");
  constexpr std::size_t page = 20'000;
  std::optional<Uuid> before;
  for (;;) {
    const Result<std::vector<AuditLine>> lines = audit(store, before, page);
    if (!lines) return lines.problem();
    std::string out;
    for (const AuditLine& line : *lines)
      append_row(out, {time_of(line.fact.time_ms), text_of(line.fact.id), text_of(line.fact.device),
                       std::to_string(line.fact.sequence), line.by, text_of(line.fact.kind),
                       line.fact.subject.link, line.fact.subject.strand, line.summary});
    file->write(out);
    if (lines->size() < page) return file->commit();
    before = lines->back().fact.id;
  }
}

Result<Done> write_findings_csv(const HandoverGround& ground, const std::string& path) {
  std::string out = "finding,kind,weight,what,advice,tests,acknowledged by,reason\n";
  for (const Finding& finding : ground.work.job.findings) {
    const Acknowledgement seen =
        acknowledgement_of(ground.state.remarks, key_of(finding)).value_or(Acknowledgement{});
    append_row(out, {finding.id, finding.kind, text_of(finding.weight), finding.summary, finding.advice,
                     tests_of(ground.work.job.assessment, finding.tests), seen.person, seen.reason});
  }
  return write_file(path, out);
}

Result<Done> write_preflight_csv(const HandoverGround& ground, const std::vector<PreflightItem>& items,
                                 const std::string& path) {
  std::string out = "objection,kind,what,step,demanded by,strands\n";
  for (const PreflightItem& item : items)
    append_row(out, {text_of(item.objection), item.kind, item.what, item.step, item.demand,
                     names_of(ground.work.job.assessment.schedule, item.strands)});
  return write_file(path, out);
}

Result<Done> write_statements_csv(const HandoverGround& ground, const std::string& path) {
  std::string out = "time,about,what,person\n";
  for (const auto& held : ground.state.remarks) {
    const auto said = stated_by(held.value);
    if (!said && (held.value.kind != FactKind::note || held.value.about_strand.empty())) continue;
    const std::string about = said ? std::string(text_of(said->field))
                                   : held.value.about_strand.link + " " + held.value.about_strand.strand;
    append_row(out, {time_of(held.time_ms), about, said ? said->words : held.value.text, held.value.person});
  }
  return write_file(path, out);
}

Result<Done> write_originals_csv(const std::vector<PackedFile>& files, const std::string& path) {
  std::string out = "path,sha256,purpose,brought in,name,understood\n";
  for (const PackedFile& file : files)
    append_row(out, {file.path, text_of(file.hash), text_of(file.import.purpose), time_of(file.time_ms),
                     file.import.file, file.import.understood});
  return write_file(path, out);
}

}  // namespace strandbook
