#include "edge/book/book_state.hpp"

#include <array>

#include "edge/book/state_builder.hpp"

namespace strandbook {
namespace {

constexpr std::size_t facts_between_questions = 4096;

Result<BookState> state_from(const Store& store, std::span<const FactQuery> queries,
                             const Progress& progress) {
  StateBuilder builder;
  std::size_t facts = 0;
  const Result<Done> done = store.read(queries, [&](const Fact& fact) -> Result<Done> {
    if (progress && ++facts % facts_between_questions == 0 && !progress(0)) return cancelled(store.place());
    return builder.take(fact);
  });
  if (!done) return done.problem();
  return std::move(builder).finish();
}

}  // namespace

Result<BookState> current_state(const Store& store, const Progress& progress) {
  std::array<FactQuery, 3> queries;
  queries[0].kind = FactKind::device_retired;
  queries[1].kind = FactKind::correction;
  return state_from(store, queries, progress);
}

Result<BookState> current_schedule(const Store& store) {
  std::array<FactQuery, 4> queries;
  queries[0].kind = FactKind::device_retired;
  queries[1].kind = FactKind::correction;
  queries[2].kind = FactKind::import;
  queries[3].kind = FactKind::strand;
  return state_from(store, queries, {});
}

}  // namespace strandbook
