#pragma once
// Time-stamp tokens after RFC 3161: somebody outside says that these bytes existed at a time.

#include <cstdint>
#include <string>
#include <string_view>

#include "domain/problem/problem.hpp"
#include "edge/signing/sha256.hpp"

namespace strandbook {

/// What a time-stamping authority says of some bytes.
struct TimeStamp {
  std::int64_t time_s = 0;  ///< UTC since 1970
  std::string authority;    ///< subject of the certificate that signed it
  std::string token;        ///< the token alone (RFC 3161, 2.4.2: ContentInfo), DER
};

/// TimeStampReq (RFC 3161, 2.4.1) over the SHA-256 of the bytes, with a nonce, asking for the certificate;
/// DER. To be sent to an authority by whatever means.
Result<std::string> time_stamp_request(std::string_view bytes);

/// Reads a TimeStampResp or a bare token and checks it: granted, over just these bytes, signed by the
/// certificate that came with it. Whether that certificate is to be trusted is not asked here. `name` is for
/// messages.
Result<TimeStamp> read_time_stamp(std::string_view der, std::string_view bytes, const std::string& name);

/// That the token's certificate leads to a root in this file (PEM) and may sign time stamps.
Result<Done> check_trust(const TimeStamp& stamp, const std::string& trusted_roots);

}  // namespace strandbook
