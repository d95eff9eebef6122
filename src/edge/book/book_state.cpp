#include "edge/book/book_state.hpp"

#include <array>

#include "edge/book/state_builder.hpp"

namespace strandbook {
namespace {

Result<BookState> state_from(const Store& store, std::span<const FactQuery> queries) {
  StateBuilder builder;
  const Result<Done> done = store.read(queries, [&builder](const Fact& fact) { return builder.take(fact); });
  if (!done) return done.problem();
  return std::move(builder).finish();
}

}  // namespace

Result<BookState> current_state(const Store& store) {
  std::array<FactQuery, 2> queries;
  queries[0].kind = FactKind::correction;
  return state_from(store, queries);
}

Result<BookState> current_schedule(const Store& store) {
  std::array<FactQuery, 3> queries;
  queries[0].kind = FactKind::correction;
  queries[1].kind = FactKind::import;
  queries[2].kind = FactKind::strand;
  return state_from(store, queries);
}

}  // namespace strandbook
