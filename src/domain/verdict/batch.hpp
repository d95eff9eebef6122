#pragma once
// What only the batch shows: a reference under which links seem to gain light is no reference.

#include <vector>

#include "domain/verdict/assessment.hpp"

namespace strandbook {

/// A passive link cannot amplify. Where three or more readings under one reference, and at least half of
/// them, show a gain, every test under it is void: single good-looking ones rest on the same wrong number.
void void_disproved_references(std::vector<JudgedTest>& tests, std::size_t references);

}  // namespace strandbook
