#pragma once
// Owners' profiles: the shipped ones, one of the job's own, and what a profile settles of a job.

#include <string>
#include <vector>

#include "edge/exchange/owner_profile_file.hpp"
#include "workflow/judge_job.hpp"

namespace strandbook {

/// The shipped profiles, in order of their ids.
Result<std::vector<ProfileFile>> know_profiles();

/// One that comes with the program, by its id with or without "owner:".
Result<ProfileFile> shipped_profile(const std::string& named);

/// By id ("owner:county"), by the path of a file, or by a shipped id without "owner:". A file that is there
/// goes before a shipped profile of that name.
Result<ProfileFile> profile_named(const std::string& named);

/// What the profile settles of a job: rule, own rule, guard band, demands, decision. Never the reference
/// method: that an owner demands one is no evidence that it was used.
JobSettings settings_from(const ProfileFile& file);

/// What the person settles, and under it what the profile settles. A rule that the person names goes before
/// the profile's.
JobSettings under_profile(JobSettings given, const ProfileFile& file);

/// The same without the rule and the guard band, which a book holds beside the profile.
JobSettings with_demands(JobSettings given, const ProfileFile& file);

}  // namespace strandbook
