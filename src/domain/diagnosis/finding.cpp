#include "domain/diagnosis/finding.hpp"

namespace strandbook {

std::string_view text_of(Weight weight) {
  switch (weight) {
    case Weight::stop:
      return "stop";
    case Weight::look:
      return "look";
    case Weight::note:
      return "note";
  }
  return {};
}

std::string_view text_of(Picture::Kind kind) {
  switch (kind) {
    case Picture::Kind::series:
      return "series";
    case Picture::Kind::pairs:
      return "pairs";
    case Picture::Kind::offsets:
      return "offsets";
  }
  return {};
}

}  // namespace strandbook
