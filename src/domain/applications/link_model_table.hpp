#pragma once
// The applications that the link model is known for: their inputs, each with its source, and why others have
// none.

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/applications/link_model.hpp"
#include "domain/link/link.hpp"
#include "domain/problem/problem.hpp"
#include "domain/rulebook/rule_ref.hpp"

namespace strandbook {

/// Who needs an input.
enum class InputUse {
  loss,       ///< the loss of the fibre, and so every row
  penalties,  ///< every row whose penalties are known
  fibre       ///< rows with penalties: either the modal bandwidth or the differential group delay
};

/// One number of the model as files and people name it.
struct LinkModelField {
  std::string_view name;  ///< "rms_width"
  std::string_view unit;  ///< "nm"; empty for a plain number
  double LinkModelInputs::*member;
  double least;
  double most;
  InputUse use;
};

/// Every input, in the order in which a working shows them; the target length is the row's.
std::span<const LinkModelField> link_model_fields();
/// The field that this member is.
const LinkModelField& field_of(double LinkModelInputs::*member);

struct SourcedInput {
  const LinkModelField* field;
  double value;
  RuleRef source;
};

/// One application over one fibre.
struct LinkModelRow {
  std::vector<std::string> applications;  ///< the names people ask by; the first is shown
  std::string fibre;                      ///< "50/125 µm, 400 MHz·km"
  std::vector<std::string> fibre_names;   ///< other names of it: "50/400"
  std::vector<FibreCategory> categories;  ///< schedules' categories that this row holds for
  /// Categories whose cable may lose more than the row's fibre: only with an attenuation of their own.
  std::vector<FibreCategory> categories_with_own_attenuation;
  double nominal_wavelength_nm = 0;
  Decibels connection_allocation;  ///< what the standard's loss limit grants connections and splices
  RuleRef allocation_source;
  RuleRef target_source;  ///< of inputs.target_length_m
  LinkModelInputs inputs;
  std::vector<SourcedInput> given;
  std::string penalties_unknown;  ///< why only the loss can be computed; empty where all is known
  std::vector<std::string> notes;
};

/// Applications that the model cannot speak for.
struct OutsideLinkModel {
  std::vector<std::string> applications;  ///< names; "400GBASE-*" stands for all that begin so
  std::string why;
  RuleRef source;
};

struct LinkModelTable {
  std::vector<LinkModelRow> rows;
  std::vector<OutsideLinkModel> outside;  ///< the first that fits says why
};

/// The row for an application ("10GBASE-SR") over a fibre: a category ("OM3") or a name of the row
/// ("50/400"); case, blanks and signs aside. A Problem says why there is none and what to use instead.
Result<const LinkModelRow*> find_link_model_row(const LinkModelTable& table, std::string_view application,
                                                std::string_view fibre);

/// Does this row hold for the fibre only with an attenuation of the person's own?
bool needs_own_attenuation(const LinkModelRow& row, std::string_view fibre);

/// A row whose value of `member` is the person's own; a Problem outside of the field's range.
Result<LinkModelRow> with_own_input(LinkModelRow row, double LinkModelInputs::*member, double value,
                                    std::string note);

/// Does any input of the margin await checking? The standard's allocation and length are no part of it.
bool rests_on_memory(const LinkModelRow& row);

}  // namespace strandbook
