#pragma once
// Jobs with known truth: drawn from distributions of connections, splices, fibre and instruments, then spoilt
// in one known way. Invented for scoring; the distributions are those of published grades where there are
// any.

#include <cstdint>
#include <string>
#include <vector>

#include "domain/diagnosis/practice.hpp"
#include "domain/verdict/judge.hpp"

namespace strandbook {

enum class Fault {
  none,
  // one reference wrong by 0.15 to 0.60 dB, seen after 12 strands under it
  reference_one_wavelength,   ///< the other wavelength tells
  reference_earlier,          ///< both wavelengths wrong; earlier readings of like cables tell
  reference_other_direction,  ///< both wavelengths wrong; the other direction had another reference
  reference_closing,          ///< a closing check tells
  reference_unknowable,       ///< first and only session: nothing tells
  step,
  drift,
  bend,
  exchanged_link,
  exchanged_strand,
  dirty_strand,
  crossed,
  mixed_cores,
  bad_panel,
  stuck_meter,
  copied,
  limit_count,
  headroom,
  sign,
  level_for_loss,
  feet,
  impossible_pace,
  selection,
  misspelt,
  cords,
};
inline constexpr int fault_count = static_cast<int>(Fault::cords) + 1;
const char* text_of(Fault fault);

struct SimulatedJob {
  JobInput input;
  Fault fault = Fault::none;
  std::uint32_t wrong_reference = 0xffffffff;  ///< row, where one is wrong
  std::uint32_t strand = 0xffffffff;           ///< where one strand is bad
  std::string link;                            ///< where one link is
};

/// `strands` scheduled strands, both directions at 1310 and 1550 nm.
SimulatedJob simulate(Fault fault, std::size_t strands, std::uint64_t seed);

/// The rule simulated jobs are judged under: an owner's, 0.4/0.3 dB/km, 0.5 dB a connection, 0.1 dB a splice.
RuleSet simulated_rule();

}  // namespace strandbook
