#include "domain/rulebook/settled_question.hpp"

#include <fmt/format.h>

#include "domain/rulebook/rule_lookup.hpp"

namespace strandbook {
namespace {

using Note = std::optional<std::string>;

Note alias_note(const WavelengthAlias* alias) {
  if (alias == nullptr) return std::nullopt;
  return fmt::format("{} nm is read as {} nm on {}: {}", alias->found.value, alias->counts_as.value,
                     text_of(alias->mode), describe(alias->source));
}

Note method_note(const RuleSet& rule, const LimitQuestion& question) {
  if (question.method) return std::nullopt;
  if (rule.reference_method_when_unstated)
    return fmt::format("reference method not stated: {}, as {} sets",
                       text_of(*rule.reference_method_when_unstated), rule.id);
  return "reference method not stated: every connection is taken at its embedded value, and no outcome may "
         "rest on "
         "this limit";
}

// Without a word of the rule a link is taken: its limit is never above that of a channel.
Configuration configuration_of(const LimitQuestion& question, const ConfigurationDefault* row) {
  return question.configuration.value_or(row != nullptr ? row->configuration : Configuration::link);
}

Note configuration_note(const LimitQuestion& question, const SettledQuestion& settled,
                        const ConfigurationDefault* row) {
  if (question.configuration || !settled.method) return std::nullopt;
  return fmt::format("configuration not stated: taken as a {} for the {} method{}",
                     text_of(settled.configuration), text_of(*settled.method),
                     row != nullptr ? ", " + describe(row->source) : std::string());
}

Note splices_note(const LimitQuestion& question) {
  return question.splices ? std::nullopt : Note("splices not stated: counted as 0");
}

Note plant_note(const RuleSet& rule, const SettledQuestion& settled) {
  if (settled.plant != Plant::unstated || !depends_on_plant(rule, settled.fibre, settled.wavelength))
    return std::nullopt;
  return fmt::format("plant not stated: {} is taken at the rule's value for any plant",
                     text_of(settled.fibre));
}

}  // namespace

SettledQuestion settle(const RuleSet& rule, const LimitQuestion& question) {
  const FibreMode mode = mode_of(*question.fibre);
  const WavelengthAlias* alias = alias_row(rule, mode, question.wavelength);
  const auto method = question.method ? question.method : rule.reference_method_when_unstated;
  const ConfigurationDefault* configuration = method ? configuration_row(rule, *method) : nullptr;
  SettledQuestion settled{.fibre = *question.fibre,
                          .mode = mode,
                          .plant = question.plant,
                          .length = *question.length,
                          .connections = *question.connections,
                          .splices = question.splices.value_or(0),
                          .wavelength = alias != nullptr ? alias->counts_as : question.wavelength,
                          .method = method,
                          .cords = question.cords,
                          .configuration = configuration_of(question, configuration),
                          .notes = {}};
  for (const Note& note :
       {alias_note(alias), method_note(rule, question), configuration_note(question, settled, configuration),
        splices_note(question), plant_note(rule, settled)})
    if (note) settled.notes.push_back(*note);
  return settled;
}

}  // namespace strandbook
