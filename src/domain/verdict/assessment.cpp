#include "domain/verdict/assessment.hpp"

namespace strandbook {
namespace {

int rank(Outcome outcome) {
  switch (outcome) {
    case Outcome::pass:
      return 0;
    case Outcome::conditional_pass:
      return 1;
    case Outcome::conditional_fail:
      return 2;
    case Outcome::not_tested:
      return 3;
    case Outcome::invalid:
      return 4;
    case Outcome::fail:
      return 5;
  }
  return 5;
}

}  // namespace

Outcome worse(Outcome a, Outcome b) { return rank(a) >= rank(b) ? a : b; }

std::string_view sentence_of(Reason reason) {
  switch (reason) {
    case Reason::none:
      return "";
    case Reason::no_reading:
      return "No reading was taken. Take it.";
    case Reason::no_light:
      return "No light arrived: open, not connected, or crossed with another strand. Find the far end, then "
             "read again.";
    case Reason::no_reference:
      return "No reference fits this reading. Take a reference, then read again.";
    case Reason::ambiguous_reference:
      return "Several references could be meant and no time tells which. Name the reference or give times.";
    case Reason::reference_after_reading:
      return "The only reference was taken after the reading. Take a reference, then read again.";
    case Reason::reference_expired:
      return "The reference was too old. Take a new one, then read again.";
    case Reason::reference_setting_differs:
      return "The meter's wavelength setting was not the same at reference and reading. Repeat the reference "
             "at the "
             "right setting, then read again.";
    case Reason::reference_instrument_differs:
      return "The reference was taken with another source or other cords. Take one with these, then read "
             "again.";
    case Reason::reference_drifted:
      return "The reference changed by more than is allowed before it was checked: nobody can know when. "
             "Take a new "
             "reference, then read again.";
    case Reason::reference_disproved:
      return "Readings under this reference show gain, which a passive link cannot give: the reference is "
             "wrong. Clean "
             "the cords, let the source warm up, take a new reference, then read again.";
    case Reason::method_unstated:
      return "The reference method is not known, so limit and reading cannot be held together. State "
             "one-cord, "
             "two-cord or three-cord.";
    case Reason::methods_differ:
      return "The schedule demands another reference method than the reference was taken with. Repeat with "
             "the method "
             "demanded, or correct the record.";
    case Reason::impossible_value:
      return "A passive link cannot show this gain. Check the sign and the reference, then read again.";
    case Reason::no_limit:
      return "No limit could be worked out for this test.";
    case Reason::light_crossed:
      return "Light sent into this strand came out of another one. Put the strands right, then read again.";
    case Reason::light_lost:
      return "Light sent into this strand came out nowhere. Find the break, then read again.";
  }
  return {};
}

}  // namespace strandbook
