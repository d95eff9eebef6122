#pragma once
// What would mend a design that is likely to fail: each change tried alone, the least of it that is enough.

#include <string>
#include <vector>

#include "domain/prediction/predicted_job.hpp"

namespace strandbook {

enum class MendKind {
  reference_cords,
  better_connections,
  fewer_connections,
  fewer_splices,
  shorter,
  higher_limit
};
std::string_view text_of(MendKind kind);  // "reference cords", "better connections", ...

struct Mend {
  MendKind kind = MendKind::higher_limit;
  std::string grade = {};  ///< of better connections
  int count = 0;           ///< connections or splices that may stay
  Metres length = {};      ///< that may stay
  Decibels limit = {};     ///< that the design would keep
  double accepted = 0;
  std::string words = {};  ///< a sentence
};

/// Per cent to a tenth, never a nought or a hundred that is none: "86.0", "> 99.9".
std::string percent_words(double share);

/// Only changes that bring the probability of acceptance to `least`; the limit that would do it is always the
/// last. Nothing for a design that is good enough or cannot be predicted.
std::vector<Mend> mends_of(const DesignPrediction& design, const PredictionGround& ground, double least);

}  // namespace strandbook
