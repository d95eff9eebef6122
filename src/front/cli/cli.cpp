#include "front/cli/cli.hpp"

namespace strandbook {

int run(int /*argc*/, char** /*argv*/) { return 2; }

}  // namespace strandbook
