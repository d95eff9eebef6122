#pragma once
// The person's own map of columns: "loss_db=IL; readings.strand=Kennung; wavelength_nm:=1310".

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem/problem.hpp"
#include "edge/exchange/heading_words.hpp"

namespace strandbook {

struct ColumnChoice {
  NamedField field;
  std::string text;       ///< heading, or the constant
  bool constant = false;  ///< "field:=constant"
  bool demanded =
      false;  ///< a heading that must be there: the choice names this table, or it is in its contract
};

/// The choices that concern one table; choices for fields of other tables are passed over. Fails on an
/// unknown field, an unknown table or a choice without '='. "a=b; a=c" maps two columns to one field.
Result<std::vector<ColumnChoice>> choices_for(TableKind table, std::string_view columns);

/// "link, strand, wavelength_nm, ..."
std::string field_names(TableKind table);
std::string_view name_of(TableKind table);

}  // namespace strandbook
