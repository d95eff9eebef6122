#include "workflow/share_book.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <unordered_map>
#include <utility>

#include "edge/book/any_store.hpp"
#include "edge/book/domain_facts.hpp"
#include "edge/book/time_stamp.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/output_file.hpp"

namespace strandbook {
namespace {

constexpr std::string_view gzip_mark = "\x1f\x8b";

/// A file beside `path` that is removed again.
class Scratch {
 public:
  explicit Scratch(const std::string& path) : path_(path + ".check" + std::to_string(::getpid())) { clear(); }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() { clear(); }
  const std::string& path() const { return path_; }

 private:
  void clear() const {
    std::error_code ignored;
    for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(path_ + end, ignored);
  }
  std::string path_;
};

Result<bool> is_carry_file(const std::string& path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), &std::fclose);
  if (!file)
    return Problem{{path, {}, 0, {}},
                   "no file that can be read",
                   "a book or a carry-file",
                   "See that the name is right and the stick is in."};
  char start[2] = {};
  return std::fread(start, 1, 2, file.get()) == 2 && std::string_view(start, 2) == gzip_mark;
}

Result<TakenIn> take_in(Store& into, const std::string& source) {
  const Result<bool> carried = is_postgres_address(source) ? Result<bool>{false} : is_carry_file(source);
  if (!carried) return carried.problem();
  if (*carried) return take_in_carry_file(into, source);
  const auto from = open_store(source, system_surroundings());
  if (!from) return from.problem();
  return merge(into, **from);
}

std::string words_for(const std::string& source, const TakenIn& taken) {
  std::string words = fmt::format("{}: {} facts new, {} there already", source, taken.facts, taken.already);
  for (const FactKind kind : {FactKind::strand, FactKind::reference, FactKind::reading, FactKind::correction})
    if (const std::size_t count = taken.by_kind[static_cast<std::size_t>(kind)]; count > 0)
      words += fmt::format(", {} {}", text_of(kind), count);
  return words + ".";
}

/// In the order of the strands' first readings.
Result<std::vector<std::string>> read_by_several(const Store& store) {
  struct Readers {
    Uuid first;
    bool several = false;
  };
  std::unordered_map<std::string, Readers> readers;
  std::vector<std::string> order;
  FactQuery query;
  query.kind = FactKind::reading;
  const Result<Done> done = store.read(std::span(&query, 1), [&](const Fact& fact) -> Result<Done> {
    std::string name = fact.subject.link + " " + fact.subject.strand;
    const auto [held, fresh] = readers.try_emplace(std::move(name), Readers{fact.device});
    if (held->second.first == fact.device || held->second.several) return Done{};
    held->second.several = true;
    order.push_back(held->first);
    return Done{};
  });
  if (!done) return done.problem();
  return order;
}

Result<std::vector<Head>> ends_in(const std::string& file) {
  if (file.empty()) return std::vector<Head>{};
  const Result<std::string> text = read_file_bytes(file);
  if (!text) return text.problem();
  return parse_heads(*text, file);
}

Problem not_the_same(const std::string& path) {
  return {{path, {}, 0, {}},
          "a backup that does not restore to the same book",
          "the same facts",
          "Nothing was kept under that name. See that the disk is in order, and try another."};
}

Result<std::unique_ptr<Store>> restored(const std::string& backup, const std::string& path) {
  Result<std::unique_ptr<Store>> store = create_store(path, system_surroundings());
  if (!store) return store;
  const Result<TakenIn> taken = take_in_carry_file(**store, backup);
  if (!taken) return taken.problem();
  if (!taken->refused.empty()) return taken->refused.front();
  return store;
}

Result<Done> check_by_restoring(const OpenBook& book, const std::string& backup) {
  const Scratch scratch(backup);
  const auto again = restored(backup, scratch.path());
  if (!again) return again.problem();
  const Result<std::vector<Head>> wanted = ends_of(*book.store), found = ends_of(**again);
  if (!wanted) return wanted.problem();
  if (!found) return found.problem();
  const Result<StoreCounts> before = book.store->counts(), after = (*again)->counts();
  if (!before) return before.problem();
  if (!after) return after.problem();
  if (*wanted != *found || before->facts != after->facts || before->files != after->files)
    return not_the_same(backup);
  return Done{};
}

}  // namespace

Result<Merged> merge_into(OpenBook& book, const std::string& source) {
  Result<TakenIn> taken = take_in(*book.store, source);
  if (!taken) return taken.problem();
  Merged merged{words_for(source, *taken), std::move(*taken), {}, {}};
  if (merged.taken.facts == 0) return merged;
  Result<std::vector<std::string>> several = read_by_several(*book.store);
  if (!several) return several.problem();
  merged.read_by_several = std::move(*several);
  Result<BookState> plan = current_schedule(*book.store);
  if (!plan) return plan.problem();
  merged.planned_differently = std::move(plan->repeated);
  return merged;
}

Result<Carried> carry_out(const OpenBook& book, const std::string& ends_file, const std::string& path) {
  const Result<std::vector<Head>> ends = ends_in(ends_file);
  if (!ends) return ends.problem();
  FactsToCarry wish;
  for (const Head& end : *ends) wish.after[end.device] = end.sequence;
  return write_carry_file(*book.store, wish, path);
}

Result<Carried> back_up(const OpenBook& book, const std::string& path) {
  Result<Carried> carried = write_carry_file(*book.store, {}, path);
  if (!carried) return carried;
  const Result<Done> checked = check_by_restoring(book, path);
  if (checked) return carried;
  std::error_code ignored;
  std::filesystem::remove(path, ignored);
  return checked.problem();
}

Result<Verification> restore(const std::string& backup, const std::string& path) {
  const auto store = restored(backup, path);
  if (!store) return store.problem();
  return verify(**store);
}

Result<Verification> verify_book(const OpenBook& book, const std::string& ends_file,
                                 const std::string& trusted_roots) {
  const Result<std::vector<Head>> known = ends_in(ends_file);
  if (!known) return known.problem();
  return verify(*book.store, *known, trusted_roots);
}

Result<Done> ask_for_time_stamp(const OpenBook& book, const std::string& request_file) {
  const Result<std::vector<Head>> ends = ends_of(*book.store);
  if (!ends) return ends.problem();
  const std::string text = heads_text(*ends);
  const Result<std::string> request = time_stamp_request(text);
  if (!request) return request.problem();
  if (Result<Done> written = write_file(request_file + ".ends", text); !written) return written;
  return write_file(request_file, *request);
}

Result<std::string> keep_time_stamp(OpenBook& book, const std::string& answer_file,
                                    const std::string& ends_file) {
  const Result<std::string> answer = read_file_bytes(answer_file);
  if (!answer) return answer.problem();
  const Result<std::string> ends = read_file_bytes(ends_file);
  if (!ends) return ends.problem();
  const Result<std::vector<Head>> heads = parse_heads(*ends, ends_file);
  if (!heads) return heads.problem();
  const Result<TimeStamp> stamp = read_time_stamp(*answer, *ends, answer_file);
  if (!stamp) return stamp.problem();
  // Ends of another book would make this one look cut back for ever.
  if (const Verification found = verify(*book.store, *heads); !found.holds()) return *found.bad;
  const Instant time{stamp->time_s, true, true, true};
  const StampRecord record{sha256(*ends), sha256(stamp->token), time, stamp->authority};
  std::optional<FactDraft> draft = to_fact(record);
  const Batch batch{
      {{record.ends, *ends}, {record.token, stamp->token}},
      [&draft](const Uuid&) -> Result<std::optional<FactDraft>> { return std::exchange(draft, {}); }};
  const Result<Appended> kept = book.store->append(book.device, batch);
  if (!kept) return kept.problem();
  return fmt::format("Stamped {} by {}: {} chains.", iso_text(time), stamp->authority, heads->size());
}

Result<Done> retire_device(OpenBook& book, const std::string& device, std::optional<std::int64_t> last,
                           const Ground& ground) {
  const auto id = parse_uuid(device);
  const Result<std::vector<Head>> ends = ends_of(*book.store);
  if (!ends) return ends.problem();
  const auto end =
      std::find_if(ends->begin(), ends->end(), [&](const Head& each) { return each.device == id; });
  if (end == ends->end() || (last && (*last < 0 || *last > end->sequence)))
    return Problem{{"device", {}, 0, {}},
                   "\"" + device + "\"" + (last ? fmt::format(" at number {}", *last) : ""),
                   "a device of this book, and a number that it reached",
                   "`strandbook book devices` lists them."};
  Retirement retirement{*id, last.value_or(end->sequence), {}, ground.person, ground.reason};
  Result<Done> placed = book.store->write([&](StoreWriter& writer) -> Result<Done> {
    const auto place = writer.at(retirement.device, retirement.last);
    if (!place) return place.problem();
    if (*place) retirement.hash = (*place)->hash;
    return Done{};
  });
  if (!placed) return placed;
  const FactDraft draft = to_fact(retirement);
  const Result<Appended> appended = append(*book.store, book.device, std::span(&draft, 1));
  if (!appended) return appended.problem();
  return Done{};
}

}  // namespace strandbook
