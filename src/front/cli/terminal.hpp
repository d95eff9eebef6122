#pragma once
// Words on a terminal: width, colour only where a person sees it, progress on long work.

#include <cstddef>
#include <string>
#include <string_view>

#include "domain/verdict/outcome.hpp"
#include "edge/exchange/assessment_out.hpp"

namespace strandbook {

/// Columns of the terminal, or 80 where there is none; at least 40.
std::size_t terminal_width();
/// Is standard output a terminal that wants colour (NO_COLOR unset, TERM not dumb)?
bool colour_wanted();

/// A shape for each outcome, so that colour is never the only sign.
std::string_view shape_of(Outcome outcome);
/// Shape and word, coloured on a terminal only.
std::string styled(Outcome outcome);
/// Bold on a terminal only.
std::string heading(std::string_view text);

/// Text broken at blanks to the width, each line after the first indented. What a file wrote moves no cursor:
/// control characters become blanks, broken bytes U+FFFD.
std::string wrapped(std::string_view text, std::size_t indent);

/// A line of progress on standard error, only where that is a terminal and the work lasts.
Progress show_progress(std::string what);

}  // namespace strandbook
