#include "edge/exchange/array_json.hpp"
#include "edge/exchange/check_json.hpp"

namespace strandbook {
namespace {

void append_indices(std::string& out, const std::vector<std::size_t>& indices) {
  append_json_list(out, indices, [&](std::size_t index) { out += std::to_string(index); });
}

void append_mating(std::string& out, const Mating& mating) {
  JsonMembers members(out);
  members.maybe_text("cord", mating.cord);
  members.maybe_text("end", mating.end);
  members.number("loss_db", mating.loss.value);
  members.quantity("return_loss_db", mating.return_loss);
  members.end();
}

template <class T>
void append_limit(std::string& out, const Sourced<T>& number, double value) {
  JsonMembers members(out);
  members.number("value", value);
  members.name("source");
  append_source(out, number.source);
  members.end();
}

void append_mean(std::string& out, const MeanJudgement& judged, const AttenuationGrade& grade) {
  JsonMembers members(out);
  members.text("outcome", text_of(judged.outcome));
  members.number("mean_db", judged.mean.value);
  members.quantity("standard_error_db", judged.standard_error);
  members.name("limit_db");
  append_limit(out, grade.mean, grade.mean.value.value);
  members.end();
}

void append_share(std::string& out, const CordsJudgement& judged, const AttenuationGrade& grade) {
  JsonMembers members(out);
  members.text("outcome", text_of(judged.share.outcome));
  members.count("within", judged.share.within);
  members.number("share", judged.share.share);
  members.number("proven_share", judged.share.proven_share);
  members.count("may_exceed", judged.share.may_exceed);
  members.name("exceeding");
  append_indices(out, judged.exceeding);
  members.name("limit_db");
  append_limit(out, grade.most, grade.most.value.value);
  members.name("share_wanted");
  append_limit(out, grade.share, grade.share.value);
  members.end();
}

void append_return_loss(std::string& out, const ReturnLossJudgement& judged, const ReturnLossGrade& grade) {
  JsonMembers members(out);
  members.text("outcome", text_of(judged.outcome));
  members.count("measured", judged.measured);
  members.quantity("least_db", judged.least);
  members.name("below");
  append_indices(out, judged.below);
  members.name("limit_db");
  append_limit(out, grade.least, grade.least.value.value);
  members.end();
}

}  // namespace

std::string cords_json(const std::vector<Mating>& matings, const CordsJudgement& judged,
                       const AttenuationGrade& grade, const ReturnLossGrade* return_loss,
                       const Leftovers& left) {
  std::string out;
  JsonMembers members(out);
  members.number("format", 1);
  members.text("grade", grade.name);
  members.text("outcome", text_of(judged.outcome));
  members.name("reasons");
  append_texts(out, judged.reasons);
  members.name("mean");
  append_mean(out, judged.mean, grade);
  members.name("share");
  append_share(out, judged, grade);
  members.name("return_loss");
  if (judged.return_loss && return_loss != nullptr)
    append_return_loss(out, *judged.return_loss, *return_loss);
  else
    out += "null";
  members.name("matings");
  append_json_list(out, matings, [&](const Mating& mating) { append_mating(out, mating); });
  finish_check(out, members, left);
  return out;
}

}  // namespace strandbook
