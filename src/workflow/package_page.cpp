#include "workflow/package_page.hpp"

#include <unordered_map>

#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/json_members.hpp"
#include "edge/exchange/judged_traces_json.hpp"
#include "edge/exchange/output_file.hpp"
#include "edge/exchange/test_json.hpp"
#include "edge/texts/catalogue.hpp"
#include "workflow/see_finding.hpp"
#include "workflow/spoken_json.hpp"
#include "workflow/user_folders.hpp"
#include "workflow/version.hpp"

namespace strandbook {
namespace {

constexpr std::string_view data_mark = "__STRANDBOOK_DATA__";

/// Texts that many rows share, each once.
class TextTable {
 public:
  std::size_t index_of(std::string_view text) {
    const auto [at, fresh] = known_.try_emplace(std::string(text), texts_.size());
    if (fresh) texts_.emplace_back(text);
    return at->second;
  }
  const std::vector<std::string>& texts() const { return texts_; }

 private:
  std::unordered_map<std::string, std::size_t> known_;
  std::vector<std::string> texts_;
};

void append_number(std::string& out, double value) { append_decimal(out, value, 4); }
void append_index(std::string& out, std::uint32_t index) {
  out += index == nothing ? "-1" : std::to_string(index);
}

/// The page's data, written as it comes: a large job is never held twice.
class PageData {
 public:
  PageData(const HandoverGround& ground, OutputFile& file)
      : ground_(ground), all_(ground.work.job.assessment), file_(file) {}

  void write(const std::vector<PreflightItem>& items, const PageWords& words) {
    head(words);
    name("summary");
    out_ += summary_json(all_.summary);
    list("strands", all_.schedule, [this](const ScheduledStrand& strand) { append_strand(strand); });
    list("tests", all_.tests, [this](const JudgedTest& test) { append_test(test); });
    texts("people", people_);
    originals(words);
    flush(0);
    block_ = std::string::npos;  // nothing of it is written before it is translated
    // What follows holds sentences; it is small beside the tests.
    rules();
    list("limits", all_.limits, [this](const Limit& limit) { append_limit(limit); });
    texts("why", reasons_);
    list("traces", ground_.work.job.traces,
         [&](const JudgedTraces& judged) { append_traces(judged, words); });
    list("findings", ground_.work.job.findings, [this](const Finding& finding) { append_finding(finding); });
    name("preflight");
    out_ += preflight_json(ground_, items);
    speak(words);
    out_ += '}';
    flush(0);
  }

 private:
  void name(const char* key) {
    out_ += ",\"";
    out_ += key;
    out_ += "\":";
  }
  /// In a script element "</" would end it.
  void flush(std::size_t at_least) {
    if (out_.size() < at_least) return;
    std::string safe;
    safe.reserve(out_.size());
    for (const char c : out_) {
      if (c == '<')
        safe += "\\u003c";
      else
        safe += c;
    }
    file_.write(safe);
    out_.clear();
  }
  template <class List, class Append>
  void list(const char* key, const List& rows, Append append) {
    name(key);
    out_ += '[';
    bool first = true;
    for (const auto& row : rows) {
      if (!first) out_ += ',';
      first = false;
      append(row);
      flush(block_);
    }
    out_ += ']';
  }
  void texts(const char* key, const TextTable& table) {
    list(key, table.texts(), [this](const std::string& text) { append_json_text(out_, text); });
  }

  void head(const PageWords& words) {
    JsonMembers members(out_);
    members.count("format", 1);
    members.text("language", words.language);
    members.truth("feet", words.feet);
    members.text("job", ground_.work.job.name);
    members.text("title", words.title);
    members.text("site", words.site);
    members.text("client", words.client);
    members.text("contractor", words.contractor);
    members.text("made", iso_text(words.made));
    members.text("program", std::string("strandbook ") + program_version);
    members.truth("guarded", all_.guard != GuardBand::none);
    members.maybe_text("profile", ground_.profile ? ground_.profile->title : std::string{});
  }

  void rules() {
    list("rules", all_.rules, [this](const RuleSet* rule) {
      JsonMembers each(out_);
      each.text("id", rule->id);
      each.text("title", rule->title);
      each.end();
    });
  }

  void append_limit(const Limit& limit) {
    JsonMembers each(out_);
    each.number("db", limit.value.value);
    out_ += limit_members(limit);
    each.end();
  }

  /// The members that wait in `out_`, each behind its comma, in the language of the package.
  void speak(const PageWords& words) {
    if (words.language != "de") return;
    const std::string spoken = spoken_json("{" + out_.substr(1) + "}", german_catalogue());
    out_ = "," + spoken.substr(1, spoken.size() - 2);
  }

  void append_strand(const ScheduledStrand& strand) {
    out_ += '[';
    for (const std::string* text : {&link_name(strand), &strand.strand, &strand.cable, &strand.end_a,
                                    &strand.end_b, &strand.building}) {
      append_json_text(out_, *text);
      out_ += ',';
    }
    append_json_text(out_, strand.fibre ? text_of(*strand.fibre) : std::string_view{});
    out_ += ',';
    if (strand.length)
      append_number(out_, strand.length->value);
    else
      out_ += "null";
    out_ += ']';
  }

  void append_test(const JudgedTest& test) {
    out_ += '[' + std::to_string(test.strand) + ',';
    append_number(out_, test.wavelength.value);
    out_ += test.direction ? (*test.direction == Direction::a_to_b ? ",0," : ",1,") : ",-1,";
    if (test.has_loss) {
      append_number(out_, test.loss.value);
      out_ += ',';
      append_number(out_, 2 * test.standard_uncertainty.value);
    } else {
      out_ += "null,null";
    }
    out_ += ',';
    append_index(out_, test.limit);
    out_ += ',';
    append_number(out_, test.judged() ? test.conformance : 0);
    out_ += ',' + std::to_string(static_cast<int>(test.outcome)) + ',' +
            std::to_string(reasons_.index_of(sentence_of(test.reason)));
    append_origin(test);
    out_ += ',' + std::to_string(test.other_readings) + ']';
  }

  /// File, row, time and person of the reading that counts.
  void append_origin(const JudgedTest& test) {
    if (test.reading == nothing) {
      out_ += ",-1,0,\"\",-1";
      return;
    }
    const Reading& reading = all_.readings.rows[test.reading];
    out_ += ',' + std::to_string(reading.file) + ',' + std::to_string(reading.row) + ',';
    append_json_text(out_, reading.has_time ? iso_text(reading.time) : std::string{});
    out_ += ',';
    out_ += reading.operator_name.empty() ? "-1" : std::to_string(people_.index_of(reading.operator_name));
  }

  /// Where the original of this name lies in the package; empty where none does, or two.
  static std::string path_of(const std::string& name, const PageWords& words) {
    const auto path = words.originals.find(name);
    return path == words.originals.end() ? std::string{} : path->second;
  }

  void originals(const PageWords& words) {
    list("files", all_.readings.files, [&](const SourceFile& file) {
      JsonMembers each(out_);
      each.text("name", file.file);
      each.maybe_text("sheet", file.sheet);
      each.maybe_text("path", path_of(file.file, words));
      each.end();
    });
  }

  void append_traces(const JudgedTraces& judged, const PageWords& words) {
    JsonMembers each(out_);
    each.count("row", judged.strand);
    add_judged_traces(each, out_, all_, judged);
    each.name("files");
    append_json_list(out_, judged.traces, [&](std::uint32_t index) {
      const HeldTrace& trace = all_.traces[index];
      JsonMembers file(out_);
      file.text("name", trace.at.file);
      file.text("direction", text_of(trace.from()));
      file.maybe_text("path", path_of(trace.at.file, words));
      file.end();
    });
    each.end();
  }

  void append_finding(const Finding& finding) {
    JsonMembers each(out_);
    append_finding_members(each, out_, finding);
    each.name("tests");
    append_json_list(out_, finding.tests, [this](std::uint32_t test) { out_ += std::to_string(test); });
    const auto seen = acknowledgement_of(ground_.state.remarks, key_of(finding));
    each.maybe_text("acknowledged", seen ? seen->person + ": " + seen->reason : std::string{});
    each.end();
  }

  const HandoverGround& ground_;
  const Assessment& all_;
  OutputFile& file_;
  std::size_t block_ = std::size_t{1} << 20U;
  TextTable reasons_;
  TextTable people_;
  std::string out_;
};

Problem not_built() {
  return {{"package.html", {}, 0, {}},
          "no page beside the screens",
          "the screens as they are built (tools/web)",
          "Build them, or set STRANDBOOK_WEB to the folder they are in."};
}

}  // namespace

Result<Done> write_package_page(const HandoverGround& ground, const std::vector<PreflightItem>& items,
                                const PageWords& words, const std::string& path) {
  const Result<std::string> page = read_file_bytes(web_folder() + "/package.html");
  if (!page) return not_built();
  const std::size_t at = page->find(data_mark);
  if (at == std::string::npos) return not_built();
  Result<OutputFile> file = OutputFile::create(path);
  if (!file) return file.problem();
  file->write(std::string_view(*page).substr(0, at));
  PageData(ground, *file).write(items, words);
  file->write(std::string_view(*page).substr(at + data_mark.size()));
  return file->commit();
}

}  // namespace strandbook
