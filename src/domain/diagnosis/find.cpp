#include "domain/diagnosis/find.hpp"

namespace strandbook {

std::vector<Finding> find_causes(const Assessment& assessment, const FindingSettings& settings) {
  FindingEngine engine(settings);
  engine.examine(assessment);
  return engine.findings();
}

}  // namespace strandbook
