#pragma once
// Letting other devices of the crew in: a certificate of our own, and a code typed once on each device.

#include <chrono>
#include <functional>
#include <map>
#include <mutex>
#include <set>
#include <string>

#include "domain/problem/problem.hpp"
#include "front/service/http.hpp"

namespace strandbook {

struct CertificateFiles {
  std::string certificate;  ///< PEM
  std::string key;          ///< PEM, readable by its owner only
  std::string fingerprint;  ///< SHA-256, "AB:CD:..."
};

/// The certificate in this folder, made (ECDSA P-256, ten years) where there is none.
Result<CertificateFiles> own_certificate(const std::string& folder);

/// Knows devices by a cookie that they got for the code. The code works once; then the next one is shown.
class Pairing {
 public:
  using Clock = std::function<std::chrono::steady_clock::time_point()>;
  using Show = std::function<void(const std::string& code)>;

  /// `show` puts a code before the person at this computer.
  Pairing(Show show, Clock clock);

  bool knows(const Request& request);
  /// The page /pair: GET shows the form, POST takes the code.
  Response answer(const Request& request);
  /// For a device that is not known: to the form, or 401 for what is no page.
  Response turn_away(const Request& request) const;

 private:
  bool too_many_attempts();
  void next_code();
  Show show_;
  Clock clock_;
  std::mutex mutex_;
  std::string code_;
  std::set<std::string> tokens_;
  std::vector<std::chrono::steady_clock::time_point> failures_;
};

}  // namespace strandbook
