#pragma once
// The parts of an owner's profile, read from the members of its file. Each takes the members it knows.

#include "domain/rulebook/owner_profile.hpp"
#include "edge/exchange/rule_reader.hpp"

namespace strandbook {

/// demands, decision, mean_of_directions, reference_method, conditions, stages, long_spans. The profile's own
/// rule must be read before: its wavelengths are looked up in it.
void read_testing(ObjectReader& object, OwnerProfile& profile);
/// splices, splices_per_km_most, return_loss, reel_deviation_most, otdr.
void read_plant_and_traces(ObjectReader& object, OwnerProfile& profile);
/// records, length_unit, calibration_age_most, handover, refused_forms, notice, results_within, records_kept,
/// retest, in_words.
void read_handing_over(ObjectReader& object, OwnerProfile& profile);

}  // namespace strandbook
