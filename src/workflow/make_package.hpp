#pragma once
// What the owner gets: one folder and its ZIP, that anyone can check without this program.

#include <functional>
#include <string>
#include <vector>

#include "edge/report/report.hpp"
#include "edge/signing/sealing.hpp"
#include "workflow/check_handover.hpp"

namespace strandbook {

struct PackageWish {
  ReportOptions report;
  std::string folder;            ///< made by this; must not be there yet
  std::string key_file;          ///< of whoever signs (PEM); empty: this device
  std::string certificate_file;  ///< that names him (PEM); given with the key
};

struct MadePackage {
  std::string folder;
  std::string zip;  ///< the same beside it
  std::size_t files = 0;
  std::string signer;       ///< whose certificate sealed it
  std::string fingerprint;  ///< of the certificate, to be compared by another way
  bool may_leave = false;   ///< the pre-flight found nothing that the owner would send back
};

/// Tells what is being written; the progress of one file follows.
using Telling = std::function<Progress(const std::string& what)>;

/// Writes both whole or neither. What the pre-flight objects to goes into the package with everything else.
Result<MadePackage> make_package(const OpenBook& book, const HandoverGround& ground, const PackageWish& wish,
                                 const Telling& telling = {});

}  // namespace strandbook
