#pragma once
// Answers about applications as JSON, in the form of docs/openapi.json.

#include <string>

#include "domain/applications/carry_working.hpp"
#include "domain/applications/job_carries.hpp"
#include "edge/exchange/json_members.hpp"

namespace strandbook {

/// A row of a table with each number's unit, source and standing.
std::string application_json(const Application& row);

/// What one answer needs besides: what the channel is made of, and how its strands are called.
struct AnswerContext {
  const Application& row;
  const MeasuredChannel& channel;
  ChannelParts parts;
};
/// Members of an answer: carries, reasons, working, room, remedies. The object stays open.
void append_answer_members(JsonMembers& members, const AnswerContext& context, const CarryOutcome& outcome);

/// An answer about a link of a job, with how many groups of its strands each answer has.
void append_link_answer(std::string& out, const CarryGround& ground, const LinkAnswer& answer);

}  // namespace strandbook
