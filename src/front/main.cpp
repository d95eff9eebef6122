#include "front/cli/cli.hpp"

int main(int argc, char** argv) { return strandbook::run(argc, argv); }
