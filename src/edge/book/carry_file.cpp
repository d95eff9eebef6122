#include "edge/book/carry_file.hpp"

#include <unistd.h>

#include <nlohmann/json.hpp>
#include <set>

#include "edge/book/canonical_json.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/gzip_lines.hpp"
#include "edge/book/placing.hpp"

namespace strandbook {
namespace {

constexpr std::string_view carry_mark = "strandbook carry 1";

void append_field(std::string& line, std::string_view field) { (line += '\t') += field; }

std::string line_of(const Fact& fact) {
  std::string line = "fact";
  for (const std::string& field :
       {text_of(fact.id), text_of(fact.device), std::to_string(fact.sequence), std::to_string(fact.time_ms),
        std::string(text_of(fact.kind)), text_of(fact.previous), text_of(fact.hash)})
    append_field(line, field);
  std::string subject = "[";
  append_canonical_text(subject, fact.subject.link);
  subject += ',';
  append_canonical_text(subject, fact.subject.strand);
  append_field(line, subject + "]");
  append_field(line, fact.body);
  return line;
}

std::string line_of(const Head& head) {
  std::string line = "head";
  for (const std::string& field :
       {text_of(head.device), std::to_string(head.sequence), text_of(head.hash), base64_of(head.signature)})
    append_field(line, field);
  return line;
}

class CarryWriter {
 public:
  CarryWriter(const Store& store, const FactsToCarry& wish, GzipLinesOut& out)
      : store_(store), wish_(wish), out_(out) {}

  Result<Carried> write() {
    if (const Result<Done> done = out_.line(carry_mark); !done) return done.problem();
    for (const auto part : {&CarryWriter::facts, &CarryWriter::heads, &CarryWriter::files})
      if (const Result<Done> done = (this->*part)(); !done) return done.problem();
    const Result<Done> ended =
        out_.line("end\t" + std::to_string(carried_.facts) + "\t" + std::to_string(carried_.signatures) +
                  "\t" + std::to_string(carried_.files));
    if (!ended) return ended.problem();
    return carried_;
  }

 private:
  bool wanted(const Uuid& device, std::int64_t sequence) const {
    const auto held = wish_.after.find(device);
    return held == wish_.after.end() || sequence > held->second;
  }
  Result<Done> facts() {
    FactQuery query;
    query.order = FactOrder::chain;
    return store_.read(std::span(&query, 1), [this](const Fact& fact) -> Result<Done> {
      if (!wanted(fact.device, fact.sequence)) return Done{};
      if (Result<Done> named = name_files(fact); !named) return named;
      ++carried_.facts;
      return out_.line(line_of(fact));
    });
  }
  Result<Done> name_files(const Fact& fact) {
    if (fact.kind != FactKind::import && fact.kind != FactKind::time_stamp) return Done{};
    const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
    if (!fields) return fields.problem();
    for (const Sha256& file : files_named_in(fact.kind, *fields)) files_.insert(file);
    return Done{};
  }
  Result<Done> heads() {
    return store_.read_heads(std::nullopt, [this](const Head& head) -> Result<Done> {
      if (!wanted(head.device, head.sequence)) return Done{};
      ++carried_.signatures;
      return out_.line(line_of(head));
    });
  }
  Result<Done> files() {
    for (const Sha256& name : files_) {
      const Result<std::optional<std::string>> bytes = store_.file(name);
      if (!bytes) return bytes.problem();
      if (!*bytes) continue;
      ++carried_.files;
      Result<Done> written = out_.line("file\t" + text_of(name) + "\t" + base64_of(**bytes));
      if (!written) return written;
    }
    return Done{};
  }

  const Store& store_;
  const FactsToCarry& wish_;
  GzipLinesOut& out_;
  std::set<Sha256> files_;
  Carried carried_;
};

std::vector<std::string_view> fields_of(std::string_view line, std::size_t most) {
  std::vector<std::string_view> fields;
  while (fields.size() + 1 < most) {
    const std::size_t tab = line.find('\t');
    if (tab == std::string_view::npos) break;
    fields.push_back(line.substr(0, tab));
    line.remove_prefix(tab + 1);
  }
  fields.push_back(line);
  return fields;
}

std::optional<std::int64_t> whole_number_in(std::string_view text) {
  std::int64_t number = 0;
  if (text.empty() || text.size() > 18) return std::nullopt;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    number = number * 10 + (c - '0');
  }
  return number;
}

std::optional<Subject> subject_in(std::string_view text) {
  const nlohmann::json pair = nlohmann::json::parse(text, nullptr, false);
  if (!pair.is_array() || pair.size() != 2 || !pair[0].is_string() || !pair[1].is_string())
    return std::nullopt;
  return Subject{pair[0].get<std::string>(), pair[1].get<std::string>()};
}

std::optional<Fact> fact_in(const std::vector<std::string_view>& fields) {
  if (fields.size() != 10) return std::nullopt;
  const auto id = parse_uuid(fields[1]), device = parse_uuid(fields[2]);
  const auto sequence = whole_number_in(fields[3]), time = whole_number_in(fields[4]);
  const auto kind = parse_fact_kind(fields[5]);
  const auto previous = parse_sha256(fields[6]), hash = parse_sha256(fields[7]);
  const auto subject = subject_in(fields[8]);
  if (!id || !device || !sequence || !time || !kind || !previous || !hash || !subject) return std::nullopt;
  return Fact{*id, *device, *sequence, *time, *kind, std::string(fields[9]), *previous, *hash, *subject, {}};
}

std::optional<Head> head_in(const std::vector<std::string_view>& fields) {
  if (fields.size() != 5) return std::nullopt;
  const auto device = parse_uuid(fields[1]);
  const auto sequence = whole_number_in(fields[2]);
  const auto hash = parse_sha256(fields[3]);
  std::string signature = bytes_of_base64(fields[4]);
  if (!device || !sequence || !hash || signature.empty()) return std::nullopt;
  return Head{*device, *sequence, *hash, std::move(signature)};
}

class CarryReader {
 public:
  CarryReader(GzipLinesIn& in, TakerIn& taker, std::string path)
      : in_(in), taker_(taker), path_(std::move(path)) {}

  Result<Done> read() {
    for (;;) {
      const Result<bool> more = in_.next(line_);
      if (!more) return more.problem();
      if (!*more) return wrong("the end of the file", "a last line that counts what was sent");
      ++row_;
      if (row_ == 1) {
        if (line_ != carry_mark) return wrong("a file that is no carry-file", "a carry-file of this form");
        continue;
      }
      if (line_.starts_with("end\t")) return check_counts();
      if (Result<Done> taken = take(); !taken) return taken;
    }
  }

 private:
  Problem wrong(const std::string& found, const std::string& wanted) const {
    return {{path_, {}, row_, {}},
            found,
            wanted,
            "The file was damaged or cut off on the way: carry it again. Nothing was taken in."};
  }
  Result<Done> take() {
    if (line_.starts_with("fact\t")) {
      ++facts_;
      auto fact = fact_in(fields_of(line_, 10));
      return fact ? taker_.take(std::move(*fact)) : wrong("a line that is no fact", "ten parts of a fact");
    }
    if (line_.starts_with("head\t")) {
      ++heads_;
      const auto head = head_in(fields_of(line_, 5));
      return head ? taker_.take(*head) : wrong("a line that is no signature", "five parts of a signature");
    }
    const std::vector<std::string_view> fields = fields_of(line_, 3);
    const auto name = fields.size() == 3 ? parse_sha256(fields[1]) : std::nullopt;
    if (fields[0] != "file" || !name) return wrong("an unknown line", "a fact, a signature or a file");
    ++files_;
    return taker_.take(*name, bytes_of_base64(fields[2]));
  }
  Result<Done> check_counts() const {
    if (line_ ==
        "end\t" + std::to_string(facts_) + "\t" + std::to_string(heads_) + "\t" + std::to_string(files_))
      return Done{};
    return wrong("fewer or more lines than were sent", "as many as the last line counts");
  }

  GzipLinesIn& in_;
  TakerIn& taker_;
  std::string path_;
  std::string line_;
  std::size_t row_ = 0, facts_ = 0, heads_ = 0, files_ = 0;
};

}  // namespace

Result<Carried> write_carry_file(const Store& store, const FactsToCarry& wish, const std::string& path) {
  const std::string temporary = path + ".part" + std::to_string(::getpid());
  Result<GzipLinesOut> out = GzipLinesOut::create(temporary);
  if (!out) return out.problem();
  Result<Carried> carried = CarryWriter(store, wish, *out).write();
  const Result<Done> closed = std::move(*out).close();
  if (!carried || !closed) {
    (void)::unlink(temporary.c_str());
    return carried ? closed.problem() : carried.problem();
  }
  const Result<Placed> placed = place_file(temporary, path);
  if (!placed) return placed.problem();
  if (*placed == Placed::name_taken)
    return Problem{{path, {}, 0, {}}, "a file of that name", "a name that is free", "Choose another name."};
  return carried;
}

Result<TakenIn> take_in_carry_file(Store& into, const std::string& path) {
  Result<GzipLinesIn> in = GzipLinesIn::open(path);
  if (!in) return in.problem();
  TakenIn taken;
  const Result<Done> done = into.write([&](StoreWriter& writer) -> Result<Done> {
    TakerIn taker(writer, path);
    Result<Done> read = CarryReader(*in, taker, path).read();
    if (!read) return read;
    taken = std::move(taker).finish();
    return Done{};
  });
  if (!done) return done.problem();
  return taken;
}

Result<std::vector<Head>> ends_of(const Store& store) {
  std::map<Uuid, Head> ends;
  FactQuery query;
  query.order = FactOrder::chain;
  const Result<Done> facts = store.read(std::span(&query, 1), [&](const Fact& fact) -> Result<Done> {
    ends[fact.device] = {fact.device, fact.sequence, fact.hash, {}};
    return Done{};
  });
  if (!facts) return facts.problem();
  const Result<Done> heads = store.read_heads(std::nullopt, [&](const Head& head) -> Result<Done> {
    Head& end = ends[head.device];
    if (end.sequence == head.sequence && end.hash == head.hash) end.signature = head.signature;
    return Done{};
  });
  if (!heads) return heads.problem();
  std::vector<Head> list;
  list.reserve(ends.size());
  for (auto& [device, end] : ends) list.push_back(std::move(end));
  return list;
}

std::string heads_text(const std::vector<Head>& heads) {
  std::string text;
  for (const Head& head : heads) text += line_of(head) + "\n";
  return text;
}

Result<std::vector<Head>> parse_heads(std::string_view text, const std::string& name) {
  std::vector<Head> heads;
  std::size_t row = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    ++row;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (line.empty()) continue;
    std::vector<std::string_view> fields = fields_of(line, 5);
    // A chain that is not signed has its end without a signature.
    const bool bare = fields.size() == 5 && fields[4].empty();
    if (bare) fields[4] = "AA==";
    auto head = fields[0] == "head" ? head_in(fields) : std::nullopt;
    if (!head)
      return Problem{{name, {}, row, {}},
                     "a line that is no end of a chain",
                     "lines as `strandbook book ends` writes them",
                     "See that this is the file you mean."};
    if (bare) head->signature.clear();
    heads.push_back(std::move(*head));
  }
  return heads;
}

}  // namespace strandbook
