#pragma once

namespace strandbook {

/// The command line. Returns the exit status: 0 all holds, 1 something fails or is missing, 2 usage or
/// unreadable input.
int run(int argc, char** argv);

}  // namespace strandbook
