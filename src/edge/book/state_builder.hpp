#pragma once
// Builds the current state, fact by fact.

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <tuple>
#include <unordered_map>

#include "edge/book/book_state.hpp"
#include "edge/book/corrections.hpp"
#include "edge/book/domain_facts.hpp"

namespace strandbook {

/// Takes all retirements first, then all corrections, then facts in order of time, in which an import stands
/// before its rows.
class StateBuilder {
 public:
  StateBuilder() : keeper_(state_.readings) {}
  StateBuilder(const StateBuilder&) = delete;
  StateBuilder& operator=(const StateBuilder&) = delete;
  Result<Done> take(const Fact& fact);
  BookState finish() && { return std::move(state_); }

 private:
  Result<Done> take_body(const Fact& fact, const FactFields& fields);
  Result<Done> take_job(const FactFields& fields);
  Result<Done> take_import(const Fact& fact, const FactFields& fields);
  Result<Done> take_strand(const Fact& fact, const FactFields& fields);
  Result<Done> take_reference(const Fact& fact, const FactFields& fields);
  Result<Done> take_reading(const Fact& fact, const FactFields& fields);
  Result<Done> take_unread(const Fact& fact, const FactFields& fields);
  Result<Done> take_rule_choice(const Fact& fact, const FactFields& fields);
  Result<Done> take_remark(const Fact& fact, const FactFields& fields);
  Result<Done> take_cord_check(const Fact& fact, const FactFields& fields);
  Result<Done> take_calibration(const FactFields& fields);
  Result<Done> take_light_path(const FactFields& fields);
  Result<Done> take_splice_attempt(const FactFields& fields);
  Result<Done> take_trace(const Fact& fact, const FactFields& fields);
  bool comes_again(const Fact& fact);
  Result<Done> take_retirement(const Fact& fact);
  const Retirement* retirement_over(const Fact& fact) const;
  bool comes_with_withdrawn(const RowOrigin& origin) const;
  bool comes_again(const RowOrigin& origin) const;
  Result<Done> set_file_name(Place& at, const FactFields& fields) const;
  Result<std::string_view> import_name(const FactFields& fields) const;
  Result<std::uint32_t> file_index(const FactFields& fields);
  void repeat_strand(std::size_t at, ScheduledStrand strand, const Fact& fact, const RowOrigin& origin);

  BookState state_;
  TextKeeper keeper_;
  Corrections corrections_;
  std::map<Uuid, std::string> import_names_;
  std::map<Uuid, Sha256> trace_imports_;
  std::set<Uuid> withdrawn_imports_;
  std::set<std::tuple<Sha256, ImportPurpose, std::string>> imports_seen_;
  std::set<Uuid> repeated_imports_;
  std::map<Uuid, Retirement> retired_;
  std::unordered_map<std::string, std::size_t> strand_rows_;
  std::vector<RowOrigin> strand_origins_;
  std::optional<std::pair<RowOrigin, SourceFile>> last_source_;
  std::map<std::pair<RowOrigin, std::pair<std::string, std::string>>, std::uint32_t> file_indices_;
  std::uint32_t last_file_ = 0;
};

}  // namespace strandbook
