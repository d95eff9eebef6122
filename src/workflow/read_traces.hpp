#pragma once
// Files with traces: found in folders, read, analysed, and whose they are.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/traces/held_trace.hpp"
#include "edge/exchange/table_import.hpp"
#include "edge/exchange/trace_json.hpp"

namespace strandbook {

/// What the person adds to what the files say.
struct TraceGiven {
  std::optional<Metres> launch;
  std::optional<Metres> receive;
  std::optional<Direction> direction;
};

/// How traces are brought in. `pattern`: how a file's name without its ending holds the strand, such as
/// "{link}_{strand}_{direction}"; empty: by cable and fibre of the record.
struct TraceChoices {
  std::string pattern;
  TraceGiven given;
};

/// Every choice in one stable text: the same file brought in otherwise is another import.
std::string understood_as(const TraceChoices& choices);

/// All files that the paths name, folders opened, in order of their names. A folder that cannot be read is
/// told in `unread`.
std::vector<std::string> trace_files(const std::vector<std::string>& paths, std::vector<Problem>& unread);

/// What stands in the braces of a pattern where a name fits it; nothing where it does not.
std::optional<std::map<std::string, std::string>> name_parts(std::string_view pattern, std::string_view name);

/// A trace for each pulse width of the file; `name` is what Places call it.
Result<std::vector<ExaminedTrace>> examine_trace_bytes(std::string_view bytes, const std::string& name,
                                                       const TraceGiven& given);

/// The trace of this number in the file, as it stands there.
Result<Trace> trace_in(std::string_view bytes, const std::string& name, int number);

/// What one file gives a job. A file that holds no trace, or whose name does not fit the pattern, stands in
/// `unread` with the reason.
struct BroughtTraces {
  std::vector<HeldTrace> traces;
  std::vector<Problem> unread;
  std::vector<ImportNote> notes;
};
BroughtTraces understand_traces(std::string_view bytes, const std::string& name, const TraceChoices& choices);

/// "trace NK-07/F12, 1310 nm AB: 2051.3 m, 4 events, 1.234 dB"
std::string words_of(const HeldTrace& trace);

}  // namespace strandbook
