// Files sent to a job, as they are understood and accepted; reports as tasks.

#include "front/service/api.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_unread = 1000;

std::string_view text_of(LossSign sign) {
  return sign == LossSign::as_written ? "as-written" : "change-of-level";
}
std::string_view text_of(DateOrder order) {
  switch (order) {
    case DateOrder::by_proof:
      return "by-proof";
    case DateOrder::day_first:
      return "day-first";
    case DateOrder::month_first:
      return "month-first";
  }
  return {};
}

template <class T>
auto parser_of(std::initializer_list<T> values) {
  return [list = std::vector<T>(values)](std::string_view text) -> std::optional<T> {
    for (const T value : list)
      if (text_of(value) == text) return value;
    return std::nullopt;
  };
}

struct ChoicesIn {
  ImportChoices table;
  TraceChoices traces;
};

Result<ChoicesIn> choices_in(FieldsIn fields) {
  ChoicesIn all;
  ImportChoices& choices = all.table;
  all.traces.pattern = fields.text("pattern", 200).value_or("");
  for (const auto& [name, into] :
       {std::pair{"launch_m", &all.traces.given.launch}, std::pair{"receive_m", &all.traces.given.receive}}) {
    if (const auto metres = fields.number(name, 0, 100000)) *into = Metres{*metres};
  }
  choices.columns = fields.text("columns", 20000).value_or("");
  choices.loss_sign = fields
                          .choice("loss_sign", parser_of({LossSign::as_written, LossSign::change_of_level}),
                                  "as-written or change-of-level")
                          .value_or(LossSign::as_written);
  choices.date_order =
      fields
          .choice("date_order",
                  parser_of({DateOrder::by_proof, DateOrder::day_first, DateOrder::month_first}),
                  "by-proof, day-first or month-first")
          .value_or(DateOrder::by_proof);
  if (const Result<Done> done = fields.check(); !done) return done.problem();
  return all;
}

void append_column(std::string& out, const SeenColumn& column) {
  JsonMembers members(out);
  members.text("sheet", column.sheet);
  members.text("heading", column.heading);
  members.text("letter", column.letter);
  members.maybe_text("meaning", column.meaning);
  members.name("samples");
  append_json_list(out, column.samples, [&](const std::string& cell) { append_json_text(out, cell); });
  members.end();
}

void append_row(std::string& out, const SeenRow& row) {
  JsonMembers members(out);
  members.raw("row", row.row == 0 ? "null" : std::to_string(row.row));
  members.text("sheet", row.sheet);
  members.truth("used", row.used);
  members.text("words", row.words);
  members.end();
}

void append_understood(std::string& out, JsonMembers& members, const Understood& seen) {
  members.name("notes");
  append_json_list(out, seen.brought.notes,
                   [&](const ImportNote& note) { append_json_text(out, note.text); });
  members.name("columns");
  append_json_list(out, seen.columns, [&](const SeenColumn& each) { append_column(out, each); });
  members.name("fields");
  append_json_list(out, seen.fields, [&](const std::string& name) { append_json_text(out, name); });
  members.raw("counts", "{\"used\":" + std::to_string(seen.used) +
                            ",\"unread\":" + std::to_string(seen.brought.unread.size()) + "}");
  members.name("unread");
  append_json_list(out, first_of(seen.brought.unread, most_unread),
                   [&](const Problem& row) { out += left_row_json(row); });
  members.name("rows");
  append_json_list(out, seen.rows, [&](const SeenRow& row) { append_row(out, row); });
}

std::string staged_json(StagedImport& staged) {
  const std::lock_guard lock(staged.mutex);
  const Understood nothing_yet;
  const Understood& seen = staged.understood ? *staged.understood : nothing_yet;
  std::string out;
  JsonMembers members(out);
  members.text("import", staged.id);
  members.text("state", text_of(staged.state));
  members.number("progress", staged.progress);
  members.raw("error", seen.error ? problem_json(*seen.error) : "null");
  members.text("file", staged.file.name);
  members.text("purpose", text_of(staged.file.purpose));
  members.name("choices");
  JsonMembers choices(out);
  choices.text("columns", staged.file.choices.columns);
  choices.text("loss_sign", text_of(staged.file.choices.loss_sign));
  choices.text("date_order", text_of(staged.file.choices.date_order));
  choices.text("pattern", staged.file.traces.pattern);
  choices.quantity("launch_m", staged.file.traces.given.launch);
  choices.quantity("receive_m", staged.file.traces.given.receive);
  choices.end();
  append_understood(out, members, seen);
  members.end();
  return out;
}

Response no_such_import() {
  return problem_response(
      {{}, "an import nobody knows", "one that was sent and waits", "Send the file again."}, not_found);
}

/// What `work` answers for a staged import that is there.
Response with_import(Service& service, const Captures& captures,
                     const std::function<Response(const std::shared_ptr<ServedJob>&,
                                                  const std::shared_ptr<StagedImport>&)>& work) {
  return with_job(service, captures, [&](ServedJob& job) {
    const auto staged = service.imports.find(captures[0], captures[1]);
    return staged ? work(job.shared_from_this(), staged) : no_such_import();
  });
}

}  // namespace

Response post_import(Service& service, const Request& request, const Captures& captures) {
  const auto file = request.query.find("file");
  const auto purpose_text = request.query.find("purpose");
  const auto purpose =
      purpose_text == request.query.end() ? std::nullopt : parse_import_purpose(purpose_text->second);
  if (file == request.query.end() || file->second.empty() || file->second.size() > 255)
    return problem_response({{}, "no name of a file", "file=NAME", ""}, bad_request);
  if (!purpose || purpose == ImportPurpose::document)
    return problem_response(
        {{}, "no purpose", "purpose=schedule, references, readings, calibrations, continuity or traces", ""},
        bad_request);
  return with_job(service, captures, [&](ServedJob& job) {
    StagedFile staged{file->second, *purpose, std::make_shared<const std::string>(request.body), {}, {}};
    const Result<std::string> id = service.imports.stage(job.shared_from_this(), std::move(staged));
    if (!id) return problem_response(id.problem(), conflict);
    return json_response("{\"import\":" + text_json(*id) + "}", 202);
  });
}

Response get_import(Service& service, const Request&, const Captures& captures) {
  return with_import(service, captures,
                     [](const auto&, const auto& staged) { return json_response(staged_json(*staged)); });
}

Response delete_import(Service& service, const Request&, const Captures& captures) {
  return service.imports.forget(captures[0], captures[1]) ? no_content() : no_such_import();
}

Response post_import_choices(Service& service, const Request& request, const Captures& captures) {
  Result<FieldsIn> fields = FieldsIn::parse(request);
  if (!fields) return problem_response(fields.problem(), bad_request);
  const Result<ChoicesIn> choices = choices_in(std::move(*fields));
  if (!choices) return problem_response(choices.problem(), bad_request);
  return with_import(service, captures, [&](const auto& job, const auto& staged) {
    const Result<Done> done = service.imports.choose(job, staged, choices->table, choices->traces);
    if (!done) return problem_response(done.problem(), conflict);
    return json_response("{\"import\":" + text_json(staged->id) + "}", 202);
  });
}

Response post_import_accept(Service& service, const Request& request, const Captures& captures) {
  return with_import(service, captures, [&](const auto& job, const auto& staged) {
    const Result<std::string> words = service.imports.accept(*job, *staged, author_of(request.caller));
    if (!words) return problem_response(words.problem(), conflict);
    return json_response("{\"words\":" + text_json(*words) +
                         ",\"revision\":" + std::to_string(revision_of(*job)) + "}");
  });
}

}  // namespace strandbook
