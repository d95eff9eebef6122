#pragma once
// Letting other devices of the crew in: a certificate of our own, and the page where a code is typed.

#include <chrono>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "domain/problem/problem.hpp"
#include "front/service/http.hpp"
#include "front/service/people.hpp"

namespace strandbook {

struct CertificateFiles {
  std::string certificate;  ///< PEM
  std::string key;          ///< PEM, readable by its owner only
  std::string fingerprint;  ///< SHA-256, "AB:CD:..."
};

/// The certificate in this folder, made (ECDSA P-256, ten years) where there is none.
Result<CertificateFiles> own_certificate(const std::string& folder);

/// The door for other devices: they show a cookie that they got for the code of an invitation.
class Pairing {
 public:
  using Clock = std::function<std::chrono::steady_clock::time_point()>;
  Pairing(People& people, Clock clock);

  People& people() { return people_; }
  /// Who sent the request; nothing where the device has not joined, or no longer may.
  std::optional<Session> who(const Request& request);
  /// The page /pair: GET shows the form, POST takes the code.
  Response answer(const Request& request);
  /// For a device that is not known: to the form, or 401 for what is no page.
  Response turn_away(const Request& request) const;

 private:
  bool too_many_attempts();
  Response let_in(const Request& request, const std::string& code);
  People& people_;
  Clock clock_;
  std::mutex mutex_;
  std::vector<std::chrono::steady_clock::time_point> failures_;
};

}  // namespace strandbook
