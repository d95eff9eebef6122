#include "workflow/check_array.hpp"

#include "domain/verdict/assessment.hpp"
#include "edge/exchange/array_rules_file.hpp"
#include "edge/exchange/array_tables.hpp"
#include "edge/exchange/practice_file.hpp"
#include "workflow/know_light.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

/// The rows of a table; what could not be used goes to the leftovers.
template <class Row>
std::vector<Row> kept(ReadRows<Row> read, Leftovers& left) {
  left.unread.insert(left.unread.end(), read.unread.begin(), read.unread.end());
  left.notes.insert(left.notes.end(), read.notes.begin(), read.notes.end());
  return std::move(read.rows);
}

template <class Row, class Read>
Result<Done> take(const std::string& path, Read read, std::vector<Row>& rows, Leftovers& left) {
  if (path.empty()) return Done{};
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  Result<ReadRows<Row>> table = read(*sheets);
  if (!table) return table.problem();
  rows = kept(std::move(*table), left);
  return Done{};
}

Result<ArrayRecords> records_in(const ArrayFiles& files, Leftovers& left) {
  ArrayRecords records;
  records.plan_given = !files.wanted.empty();
  records.losses_given = !files.loss.empty();
  if (const auto done = take(files.found, read_traced_arrays, records.traced, left); !done)
    return done.problem();
  if (const auto done = take(files.wanted, read_wanted_arrays, records.wanted, left); !done)
    return done.problem();
  if (const auto done = take(files.loss, read_measured_arrays, records.measured, left); !done)
    return done.problem();
  return records;
}

Result<std::optional<Sourced<double>>> index_for(const ArrayQuestion& question,
                                                 const GroupIndexTable& table) {
  if (!question.fibre || !question.wavelength) return std::optional<Sourced<double>>{};
  const GroupIndexRow* row = group_index_of(table, *question.fibre, *question.wavelength);
  if (row != nullptr) return std::optional(row->index);
  return Problem{{"--fibre, --wavelength", {}, 0, {}},
                 "a fibre and wavelength without a known group index",
                 "OM1 to OM5 at 850 or 1300, OS1, OS1a or OS2 at 1310 or 1550",
                 "Name one of these."};
}

}  // namespace

Result<ArrayWork> check_arrays(const ArrayFiles& files, const ArrayQuestion& question) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  const Result<ArrayRules> rules = read_array_rules(*folder + "/array-polarity/array-polarity.json");
  if (!rules) return rules.problem();
  const Result<Practice> practice = read_practice(*folder + "/practice");
  if (!practice) return practice.problem();
  const Result<KnownLight> light = know_light();
  if (!light) return light.problem();
  const auto index = index_for(question, rules->group_indices);
  if (!index) return index.problem();
  ArrayWork work;
  work.cautions = light->hazards.cautions;
  const Result<ArrayRecords> records = records_in(files, work.left);
  if (!records) return records.problem();
  const ArraySettings settings{question.type,          question.fibres, question.loss_limit,
                               question.skew_limit_ns, *index,          practice->gain_allowance};
  Result<ArrayCheck> check = judge_arrays(*records, settings, rules->maps);
  if (!check) return check.problem();
  work.check = std::move(*check);
  return work;
}

bool all_hold(const ArrayWork& work) {
  for (const JudgedArray& array : work.check.arrays)
    if (array.outcome != Outcome::pass && array.outcome != Outcome::conditional_pass) return false;
  return work.left.unread.empty() && !work.check.arrays.empty();
}

}  // namespace strandbook
