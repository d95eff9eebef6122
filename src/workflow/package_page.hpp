#pragma once
// The page of a package: one file that a browser opens without a server, with every strand in it.

#include <map>
#include <string>

#include "workflow/check_handover.hpp"

namespace strandbook {

/// What the page says besides the ground it stands on.
struct PageWords {
  std::string title;
  std::string client;
  std::string contractor;
  std::string site;
  Instant made;
  bool feet = false;                             ///< lengths in feet
  std::string language;                          ///< "en" or "de"
  std::map<std::string, std::string> originals;  ///< name of an imported file to its path in the package
};

/// Writes the page (web/src/package.html, built) with the job's data in it.
Result<Done> write_package_page(const HandoverGround& ground, const std::vector<PreflightItem>& items,
                                const PageWords& words, const std::string& path);

}  // namespace strandbook
