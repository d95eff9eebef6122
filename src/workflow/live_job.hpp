#pragma once
// A book kept open for many: its state judged and held in memory, every change written to the book first.

#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <shared_mutex>
#include <string>
#include <vector>

#include "domain/readings/cord_check.hpp"
#include "domain/readings/reference_health.hpp"
#include "domain/verdict/live_judgement.hpp"
#include "edge/book/audit.hpp"
#include "edge/book/book_state.hpp"
#include "workflow/keep_book.hpp"
#include "workflow/share_book.hpp"

namespace strandbook {

using Findings = std::vector<Finding>;

/// What a look at a job sees; valid during the look only.
struct JobView {
  std::uint64_t revision = 0;  ///< rises with every change, from 1 on
  const std::string& name;
  const LiveJudgement* judgement = nullptr;  ///< null where the job cannot be judged yet, see `problem`
  const std::optional<Problem>& problem;     ///< such as: no rule was chosen
  const Schedule& schedule;                  ///< there also while nothing can be judged
  const std::vector<Reference>& references;
  const std::vector<Uuid>& strand_facts;  ///< beside schedule
  const std::vector<Uuid>& reference_facts;
  const std::vector<Uuid>& reading_facts;  ///< beside judgement->all().readings.rows
  const std::vector<Uuid>& trace_facts;    ///< beside judgement->all().traces
  const std::vector<Problem>& unread;
  const std::vector<Held<ImportRecord>>& imports;
  const std::vector<Held<RuleChoice>>& rule_choices;  ///< the last one counts
  const std::vector<Held<Remark>>& remarks;
  const std::vector<Held<CordCheck>>& cord_checks;
  const Rulebook* rulebook = nullptr;  ///< shipped rules and the job's own
};

/// A trace read from its kept file anew.
struct LookedAtTrace {
  std::shared_ptr<const ExaminedTrace> examined;
  std::string file;
  Sha256 hash;  ///< of the kept file
  Direction from = Direction::a_to_b;
  Metres length;  ///< of the link, by all the traces of its strand and window that count
};

/// What was changed, for those who watch.
struct JobChange {
  std::uint64_t revision = 0;
  JudgementChange tests;
};

/// A fact that a screen recorded. `already`: the same entry had been recorded before, nothing was written.
struct Recorded {
  Uuid fact;
  bool already = false;
  std::uint64_t revision = 0;
};

/// All functions may be called from any thread.
class LiveJob {
 public:
  ~LiveJob();
  static Result<std::unique_ptr<LiveJob>> open(const std::string& path);
  LiveJob(const LiveJob&) = delete;
  LiveJob& operator=(const LiveJob&) = delete;

  /// Told after each change, in order of revision. It must be short and must not call back into this job.
  /// Set it before others use the job.
  void on_change(std::function<void(const JobChange&)> watcher) { watcher_ = std::move(watcher); }

  /// Nothing changes while `look` runs; it must be short and must not call back into this job.
  void look(const std::function<void(const JobView&)>& look) const;
  /// Likewise, with the findings of the same revision.
  void look_at_findings(const std::function<void(const JobView&, const Findings&)>& look) const;

  /// Likewise, with the traces of every strand.
  void look_at_traces(
      const std::function<void(const JobView&, const std::vector<JudgedTraces>&)>& look) const;
  /// `fact`: the id of a trace's fact. Fails where there is none that counts.
  Result<LookedAtTrace> trace(const std::string& fact) const;

  /// The test that a typed reading would come to; nothing is kept. `show` runs inside the look.
  Result<Done> preview(const Reading& reading,
                       const std::function<void(const JobView&, const JudgedTest&)>& show);

  /// `entry`: a name (UUID) that the screen gave this entry. Sent again it is recorded once.
  /// `by`, here and below: person and device that the fact names beside its own author; may be empty.
  Result<Recorded> record(const std::string& entry, const Reading& reading, const std::string& by = {});
  Result<Recorded> record(const std::string& entry, const Reference& reference, const std::string& by = {});
  Result<Recorded> record(const std::string& entry, const CordCheck& check, const std::string& by = {});
  Result<Recorded> record(const std::string& entry, const SpliceAttempt& attempt, const std::string& by = {});
  Result<Done> correct(const std::string& fact, const std::map<std::string, std::string>& values,
                       const Ground& ground, const std::string& by = {});
  Result<Done> withdraw(const std::string& fact, const Ground& ground, const std::string& by = {});
  /// As `settle_rule` does; an own rule may come as text in own_rule_texts.
  Result<Done> settle_rule(const JobSettings& settings, const Ground& ground, const std::string& by = {});
  Result<Recorded> remark(const Remark& remark, const std::string& by = {});
  /// A file and its rows as `understand` gives them.
  Result<Imported> import(const ImportedFile& file, const RowsToAdd& rows, const std::string& by = {});
  /// The latest facts, the last first; with `before`, those that come before that fact.
  Result<std::vector<AuditLine>> audit(const std::optional<Uuid>& before, std::size_t most) const;
  Result<std::vector<HistoryEntry>> history(const std::string& link, const std::string& strand) const;

  /// Brings a carry-file or another book in, as `merge_into` does.
  Result<Merged> merge(const std::string& source);
  /// Takes in what other programs wrote into the book. True where there was something.
  Result<bool> refresh();
  /// A judged copy of its own, for long work such as a report: read from the book anew.
  Result<JudgedWork> judged_copy(const Progress& progress) const;
  /// The book opened once more, for long work that reads it.
  Result<OpenBook> opened_again() const;

 private:
  struct Inside;
  LiveJob();
  void tell(JudgementChange tests) const;
  Result<Done> reload();
  /// Takes in readings that others typed. False where the book is to be read anew.
  Result<bool> take_newer(std::int64_t version);
  Result<Recorded> recorded_elsewhere(const Uuid& fact);
  Result<Recorded> keep(const std::string& entry, const Uuid& fact,
                        const std::function<Result<JudgementChange>(LiveJudgement&)>& take);
  Result<Recorded> keep_beside(const Uuid& fact, const std::function<void(BookState&, std::int64_t)>& put);
  Result<Done> changed(const Uuid& fact, const Uuid& correction, const NewValues* values);
  std::unique_ptr<Inside> inside_;
  std::function<void(const JobChange&)> watcher_;
};

}  // namespace strandbook
