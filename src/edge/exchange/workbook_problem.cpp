#include "edge/exchange/workbook_problem.hpp"

namespace strandbook {

Problem damaged_workbook(const std::string& file, const std::string& what) {
  return {{file, {}, 0, {}},
          "a damaged workbook (" + what + ")",
          "a whole XLSX or ODS workbook",
          "open it in the spreadsheet program and save it again, or copy it again from where it came from"};
}

Problem encrypted_workbook(const std::string& file) {
  return {{file, {}, 0, {}},
          "a workbook that is locked with a password",
          "a workbook without a password",
          "open it in the spreadsheet program, remove the password and save it again"};
}

Problem oversized_workbook(const std::string& file, const std::string& what) {
  return {{file, {}, 0, {}},
          "a workbook that is too large (" + what + ")",
          "a table of cables or readings",
          "delete formatting and blank rows beyond the table, or split it, and save it again"};
}

}  // namespace strandbook
