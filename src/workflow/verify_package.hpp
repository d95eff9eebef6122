#pragma once
// Whether a package is as it was made: files, signature, chains of the book, and every outcome judged anew.

#include <optional>
#include <string>
#include <vector>

#include "domain/problem/progress.hpp"
#include "edge/signing/sealing.hpp"

namespace strandbook {

struct PackageCheck {
  std::size_t files = 0;        ///< whose content is as the manifest says
  std::optional<Seal> seal;     ///< who signed, where the signature holds
  bool signed_by_book = false;  ///< the signer is a device that wrote into the book
  std::size_t facts = 0;        ///< in chains that hold
  std::size_t tests = 0;        ///< whose outcome comes out the same when judged anew
  std::vector<Problem> wrong;   ///< all that is not as it should be
  bool holds() const { return wrong.empty(); }
};

/// `package`: the folder or the ZIP. `roots`: certificates that the reviewer trusts (PEM); may be empty. A
/// Problem where it is no package at all.
Result<PackageCheck> verify_package(const std::string& package, const std::string& roots,
                                    const Progress& progress = {});

}  // namespace strandbook
