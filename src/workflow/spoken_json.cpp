#include "workflow/spoken_json.hpp"

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <vector>

#include "edge/exchange/text_out.hpp"

namespace strandbook {
namespace {

enum class Speech { none, sentence, cell, figure };

/// A member that holds sentences. `apart_from`: members whose objects use the name for something else.
struct SpokenMember {
  std::string_view name;
  Speech speech;
  std::array<std::string_view, 2> apart_from = {};
};

// What a person or a fact said, and what was measured: never translated.
constexpr std::array<std::string_view, 3> silent_members{"values", "settings", "acknowledged"};

// Lines of the working and remedies are named by words that the screens look up; a reason in the history is a
// person's own; the source of a reference is an instrument, that of a number ends in how it is known.
constexpr std::array spoken_members{
    SpokenMember{"what", Speech::sentence, {"working", "remedies"}},
    SpokenMember{"found", Speech::cell},
    SpokenMember{"expected", Speech::sentence},
    SpokenMember{"advice", Speech::sentence},
    SpokenMember{"reason", Speech::sentence, {"history"}},
    SpokenMember{"words", Speech::sentence},
    SpokenMember{"explanation", Speech::sentence},
    SpokenMember{"length_note", Speech::sentence},
    SpokenMember{"echo", Speech::sentence},
    SpokenMember{"why", Speech::sentence},
    SpokenMember{"doubt", Speech::sentence},
    SpokenMember{"alike_by", Speech::sentence},
    SpokenMember{"counts", Speech::sentence},
    SpokenMember{"summary", Speech::sentence},
    SpokenMember{"title", Speech::sentence},
    SpokenMember{"note", Speech::sentence},
    SpokenMember{"notes", Speech::sentence},
    SpokenMember{"needs", Speech::sentence},
    SpokenMember{"step", Speech::sentence},
    SpokenMember{"demand", Speech::sentence},
    SpokenMember{"profile_title", Speech::sentence},
    SpokenMember{"source", Speech::sentence, {"references", "instruments"}},
    SpokenMember{"caution", Speech::sentence},
    SpokenMember{"cause", Speech::sentence},
    SpokenMember{"value", Speech::figure},
    SpokenMember{"unit", Speech::figure},
};

Speech speech_of(std::string_view name, std::string_view holder) {
  if (holder == "evidence") return Speech::cell;  // words of ours, or the name of a panel
  if (holder == "picture") return name == "x" || name == "y" ? Speech::sentence : Speech::none;
  for (const SpokenMember& member : spoken_members) {
    if (member.name != name) continue;
    const bool apart = !holder.empty() && std::find(member.apart_from.begin(), member.apart_from.end(),
                                                    holder) != member.apart_from.end();
    return apart ? Speech::none : member.speech;
  }
  return Speech::none;
}

/// One pass over a document that is whole; everything but the spoken texts is copied as it stands.
class Speaker {
 public:
  Speaker(std::string_view json, const Catalogue& catalogue) : json_(json), catalogue_(catalogue) {
    out_.reserve(json.size() + json.size() / 8);
  }
  std::string run() {
    while (at_ < json_.size()) {
      const char c = json_[at_];
      if (c == '"')
        text();
      else
        sign(c);
    }
    return std::move(out_);
  }

 private:
  /// An object or a list, the member that holds it, and the member that is being read in it.
  struct Level {
    bool object;
    std::string_view holder;
    std::string_view member;
  };

  void sign(char c) {
    if (c == '{' || c == '[') {
      const std::string_view holder = member();
      levels_.push_back({c == '{', holder, c == '[' ? holder : std::string_view{}});
    } else if ((c == '}' || c == ']') && !levels_.empty()) {
      levels_.pop_back();
    }
    out_ += c;
    ++at_;
  }

  std::string_view member() const { return levels_.empty() ? std::string_view{} : levels_.back().member; }

  /// The member that holds the object of this text: a list hands down the name of its own.
  std::string_view holder() const {
    for (auto level = levels_.rbegin(); level != levels_.rend(); ++level)
      if (level->object) return level->holder;
    return {};
  }

  bool silent() const {
    return std::any_of(levels_.begin(), levels_.end(), [](const Level& level) {
      return std::find(silent_members.begin(), silent_members.end(), level.holder) != silent_members.end();
    });
  }

  void text() {
    const std::size_t start = at_++;
    while (at_ < json_.size() && json_[at_] != '"') at_ += json_[at_] == '\\' ? 2 : 1;
    at_ = std::min(at_ + 1, json_.size());
    const std::string_view raw = json_.substr(start, at_ - start);
    const bool names = at_ < json_.size() && json_[at_] == ':' && !levels_.empty() && levels_.back().object;
    if (names) levels_.back().member = raw.substr(1, raw.size() - 2);
    const Speech speech = names || silent() ? Speech::none : speech_of(member(), holder());
    if (speech == Speech::none)
      out_ += raw;
    else
      say(raw, speech);
  }

  void say(std::string_view raw, Speech speech) {
    const nlohmann::json text = nlohmann::json::parse(raw, nullptr, false);
    if (!text.is_string()) {
      out_ += raw;
      return;
    }
    const std::string& english = text.get_ref<const std::string&>();
    append_json_text(out_, spoken(english, speech));
  }

  std::string spoken(const std::string& english, Speech speech) const {
    if (speech == Speech::figure) return catalogue_.figure(english);
    return speech == Speech::cell ? catalogue_.cell(english) : catalogue_.translated(english);
  }

  std::string_view json_;
  const Catalogue& catalogue_;
  std::string out_;
  std::size_t at_ = 0;
  std::vector<Level> levels_;
};

}  // namespace

std::string spoken_json(std::string_view json, const Catalogue& catalogue) {
  return Speaker(json, catalogue).run();
}

}  // namespace strandbook
