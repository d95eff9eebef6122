#include "edge/exchange/array_json.hpp"
#include "edge/exchange/check_json.hpp"

namespace strandbook {
namespace {

void append_count(std::string& out, const ZoneCount& count) {
  JsonMembers members(out);
  members.text("zone", text_of(count.zone));
  members.text("mark", text_of(count.mark));
  members.text("size", count.band);
  if (count.allowed)
    members.count("allowed", static_cast<std::size_t>(*count.allowed));
  else
    members.raw("allowed", "null");
  members.count("found", static_cast<std::size_t>(count.found));
  members.truth("holds", count.holds);
  members.name("source");
  append_source(out, count.source);
  members.end();
}

void append_face(std::string& out, const JudgedFace& each) {
  JsonMembers members(out);
  members.maybe_text("face", each.face.face);
  members.choice("kind", each.face.kind);
  members.text("outcome", text_of(each.judged.outcome));
  members.name("reasons");
  append_texts(out, each.judged.reasons);
  members.name("counts");
  append_json_list(out, each.judged.counts, [&](const ZoneCount& count) { append_count(out, count); });
  members.end();
}

void append_ends(std::string& out, const JudgedEnds& ends) {
  JsonMembers members(out);
  members.text("link", ends.link);
  members.text("outcome", text_of(ends.outcome));
  members.name("reasons");
  append_texts(out, ends.reasons);
  members.name("loss");
  if (ends.loss)
    append_loss(out, *ends.loss);
  else
    out += "null";
  members.name("faces");
  append_json_list(out, ends.faces, [&](const JudgedFace& each) { append_face(out, each); });
  members.end();
}

}  // namespace

std::string end_faces_json(const std::vector<JudgedEnds>& ends, const Leftovers& left) {
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.name("links");
  append_json_list(out, ends, [&](const JudgedEnds& each) { append_ends(out, each); });
  finish_check(out, members, left);
  return out;
}

}  // namespace strandbook
