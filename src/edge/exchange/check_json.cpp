#include "edge/exchange/check_json.hpp"

namespace strandbook {
namespace {

void append_unread(std::string& out, const Problem& row) {
  JsonMembers members(out);
  append_place(members, row.at);
  members.text("found", row.found);
  members.text("expected", row.wanted);
  members.maybe_text("advice", row.advice);
  members.end();
}

void append_note(std::string& out, const ImportNote& note) {
  JsonMembers members(out);
  members.text("file", note.file);
  members.maybe_text("sheet", note.sheet);
  members.text("text", note.text);
  members.end();
}

void append_series(std::string& out, const SeriesLosses& each) {
  JsonMembers members(out);
  members.maybe_text("series", each.series);
  members.count("lanes", each.losses.count);
  members.number("worst_db", each.losses.worst.value);
  members.count("worst_position", static_cast<std::size_t>(each.losses.worst_position));
  members.number("best_db", each.losses.best.value);
  members.number("mean_db", each.losses.mean.value);
  members.number("spread_db", each.losses.spread.value);
  members.quantity("slope_db_per_position", each.losses.slope);
  members.name("over_limit");
  append_json_list(out, each.losses.over_limit, [&](int position) { out += std::to_string(position); });
  members.end();
}

}  // namespace

void append_texts(std::string& out, const std::vector<std::string>& texts) {
  append_json_list(out, texts, [&](const std::string& text) { append_json_text(out, text); });
}

void append_source(std::string& out, const RuleRef& source) {
  JsonMembers members(out);
  members.text("document", source.document);
  members.maybe_text("edition", source.edition);
  members.maybe_text("clause", source.clause);
  members.text("standing", text_of(source.standing));
  members.maybe_text("note", source.note);
  members.end();
}

void append_loss(std::string& out, const LossJudgement& loss) {
  JsonMembers members(out);
  members.text("outcome", text_of(loss.outcome));
  members.name("reasons");
  append_texts(out, loss.reasons);
  members.name("series");
  append_json_list(out, loss.series, [&](const SeriesLosses& each) { append_series(out, each); });
  members.end();
}

void finish_check(std::string& out, JsonMembers& members, const Leftovers& left) {
  members.name("unread_rows");
  append_json_list(out, left.unread, [&](const Problem& row) { append_unread(out, row); });
  members.name("import_notes");
  append_json_list(out, left.notes, [&](const ImportNote& note) { append_note(out, note); });
  members.end();
}

}  // namespace strandbook
