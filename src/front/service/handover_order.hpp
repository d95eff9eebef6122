#pragma once
// What a person chose on the handover screen.

#include <string>

#include "front/service/fields_in.hpp"
#include "workflow/hand_over.hpp"

namespace strandbook {

struct HandoverOrder {
  std::string what;  ///< one of the kinds of `hand_over`
  Scope scope;
  ReportOptions report;
};

Result<HandoverOrder> handover_order(FieldsIn& fields);

}  // namespace strandbook
