#pragma once
// A fact: something that was recorded once, by one device, and is never changed.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "edge/book/uuid.hpp"
#include "edge/signing/sha256.hpp"

namespace strandbook {

enum class FactKind : std::uint8_t {
  job,              ///< name and settings of the job
  import,           ///< a file that was read: name, SHA-256, what it was understood as
  strand,           ///< a row of the cable schedule
  reference,        ///< power read with the test cords only
  reading,          ///< a level or a loss of a strand
  rule_choice,      ///< the rule, guard band, method that a person chose
  unread_row,       ///< a row of a file that was kept but could not be used
  note,             ///< a person's words
  correction,       ///< replaces or withdraws an earlier fact
  acknowledgement,  ///< a person saw something and goes on
  sign_off,         ///< a person answers for something
  cord_check,       ///< the test cords were tried before work
  device_key,       ///< the public key that its device signs with from here on
  device_retired,   ///< what a device records after a given fact no longer counts
  calibration,      ///< the certificate of an instrument
  light_path,       ///< light was sent into one port and looked for at the other end
  time_stamp,       ///< somebody outside says that the chains stood like this at a time
  trace,            ///< an OTDR trace: whose it is and what was found in it
  splice_attempt,   ///< a splice was made, or made again
};

inline constexpr std::size_t fact_kinds = 19;

std::string_view text_of(
    FactKind kind);  // "job", "import", ..., "rule choice", "unread row", ..., "sign-off"
std::optional<FactKind> parse_fact_kind(std::string_view text);

/// The strand that a fact names, as written there. Both empty where it names none.
struct Subject {
  std::string link;
  std::string strand;
  bool operator==(const Subject&) const = default;
  bool empty() const { return link.empty() && strand.empty(); }
};

struct Fact {
  Uuid id;                    ///< UUIDv7, rising within a device's chain
  Uuid device;                ///< author
  std::int64_t sequence = 0;  ///< 1, 2, 3, ... within the device's chain
  std::int64_t time_ms = 0;   ///< of the recording, milliseconds UTC since 1970, by the device's clock
  FactKind kind = FactKind::note;
  std::string body;            ///< canonical JSON
  Sha256 previous;             ///< hash of the device's fact before; all zero for the first
  Sha256 hash;                 ///< fact_hash of all the above
  Subject subject;             ///< a copy of what the body names, to find it by
  std::optional<Uuid> target;  ///< the fact that a correction names, likewise
};

/// What is to become a fact; the store adds id, device, sequence, time and hashes.
struct FactDraft {
  FactKind kind = FactKind::note;
  std::string body;
  Subject subject;
  std::optional<Uuid> target;
};

/// SHA-256 of these lines, each ended by one line feed: "strandbook fact 1", id, device, sequence, time,
/// kind, body, previous hash. Ids and hashes as their texts, numbers in decimal. The body holds no line feed.
Sha256 fact_hash(const Fact& fact);

}  // namespace strandbook
