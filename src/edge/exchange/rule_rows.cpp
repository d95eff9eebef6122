#include "edge/exchange/rule_rows.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "edge/exchange/row_reader.hpp"

namespace strandbook {

// The domain has no text for it: the words of the file. Outside the unnamed namespace, where read_choice
// finds it.
static constexpr std::string_view text_of(ConnectionPlace place) {
  return place == ConnectionPlace::end ? "end" : "embedded";
}

namespace {

constexpr std::array plants = {Plant::inside, Plant::indoor_outdoor, Plant::outside};
constexpr std::array places = {ConnectionPlace::end, ConnectionPlace::embedded};
constexpr std::array grades = {CordGrade::reference_grade, CordGrade::standard_grade};
constexpr std::array configurations = {Configuration::link, Configuration::channel};

std::vector<FibreMode> modes_of(ObjectReader& object) {
  return read_choices(object.wanted("mode"), fibre_modes, object.desk());
}

std::string words_of(std::optional<CordGrade> cords) {
  return cords ? fmt::format(" with {} cords", text_of(*cords)) : std::string();
}

std::vector<Plant> plants_of(ObjectReader& object) {
  const JsonNode* node = object.maybe("plant");
  return node == nullptr ? std::vector{Plant::unstated} : read_choices(node, plants, object.desk());
}

// Plants are those of single-mode cable: on multimode the row would answer nothing that anyone asks.
void check_plant(FibreCategory fibre, Plant plant, ObjectReader& object) {
  if (plant != Plant::unstated && mode_of(fibre) == FibreMode::multimode)
    object.desk().tell(object.line(), fmt::format("{} with a plant", text_of(fibre)),
                       "a plant on single-mode only");
}

bool has_attenuation(const RuleSet& rule, FibreMode mode, Nanometres at) {
  return std::any_of(rule.attenuation.begin(), rule.attenuation.end(), [&](const AttenuationRow& row) {
    return mode_of(row.fibre) == mode && row.wavelength == at;
  });
}

bool has_whole_link_limit(const RuleSet& rule, FibreMode mode, Nanometres at) {
  return std::any_of(rule.whole_link_limits.begin(), rule.whole_link_limits.end(), [&](const auto& row) {
    return row.mode.value_or(mode) == mode && (row.wavelength.value == 0 || row.wavelength == at);
  });
}

void check_answered(const RuleSet& rule, FibreMode mode, Nanometres at, std::size_t line, RuleDesk& desk) {
  if (has_attenuation(rule, mode, at) || has_whole_link_limit(rule, mode, at)) return;
  desk.tell(line, fmt::format("{} nm on {}, for which this rule has no limit", at.value, text_of(mode)),
            "a wavelength that \"attenuation\" or \"whole_link_limits\" has",
            "Add the attenuation at this wavelength, or correct the wavelength.");
}

}  // namespace

std::vector<AttenuationRow> read_attenuation(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<AttenuationRow>(node, desk, [&](ObjectReader& object) {
    const auto fibres_here = read_choices(object.wanted("fibre"), fibre_categories, desk);
    const auto plants_here = plants_of(object);
    const auto wavelengths = plain_numbers(object.wanted("wavelength_nm"), wavelength_number, desk);
    const SourcedNumber limit = read_number(object.wanted("limit"), attenuation_number, desk);
    std::vector<AttenuationRow> rows;
    for (const FibreCategory fibre : fibres_here) {
      for (const Plant plant : plants_here) {
        check_plant(fibre, plant, object);
        for (const double at : wavelengths) {
          once.claim(fmt::format("attenuation of {} {} at {} nm", text_of(fibre), text_of(plant), at),
                     object.line(), desk);
          rows.push_back({fibre, plant, {at}, {limit.value}, limit.source});
        }
      }
    }
    return rows;
  });
}

std::vector<ConnectionRow> read_connections(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<ConnectionRow>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = modes_of(object);
    const auto places_here = read_choices(object.wanted("place"), places, desk);
    const auto cords = maybe_choice(object, "cords", grades);
    const SourcedNumber limit = read_number(object.wanted("limit"), joint_number, desk);
    std::vector<ConnectionRow> rows;
    for (const FibreMode mode : modes_here) {
      for (const ConnectionPlace place : places_here) {
        once.claim(fmt::format("{} connection on {}{}", text_of(place), text_of(mode), words_of(cords)),
                   object.line(), desk);
        rows.push_back({mode, place, cords, {limit.value}, limit.source});
      }
    }
    return rows;
  });
}

std::vector<SpliceRow> read_splices(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<SpliceRow>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = modes_of(object);
    const SourcedNumber limit = read_number(object.wanted("limit"), joint_number, desk);
    std::vector<SpliceRow> rows;
    for (const FibreMode mode : modes_here) {
      once.claim(fmt::format("splice on {}", text_of(mode)), object.line(), desk);
      rows.push_back({mode, {limit.value}, limit.source});
    }
    return rows;
  });
}

std::vector<ReferenceJoinRow> read_reference_joins(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<ReferenceJoinRow>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = modes_of(object);
    const auto cords = maybe_choice(object, "cords", grades);
    const SourcedNumber loss = read_number(object.wanted("loss"), joint_number, desk);
    std::vector<ReferenceJoinRow> rows;
    for (const FibreMode mode : modes_here) {
      once.claim(fmt::format("reference join on {}{}", text_of(mode), words_of(cords)), object.line(), desk);
      rows.push_back({mode, cords, {loss.value}, loss.source});
    }
    return rows;
  });
}

std::vector<LengthCeilingRow> read_length_ceilings(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<LengthCeilingRow>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = modes_of(object);
    const SourcedNumber limit = read_number(object.wanted("limit"), length_number, desk);
    std::vector<LengthCeilingRow> rows;
    for (const FibreMode mode : modes_here) {
      once.claim(fmt::format("length ceiling of {}", text_of(mode)), object.line(), desk);
      rows.push_back({mode, {limit.value}, limit.source});
    }
    return rows;
  });
}

std::vector<ConfigurationDefault> read_configuration_defaults(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<ConfigurationDefault>(node, desk, [&](ObjectReader& object) {
    const auto method = wanted_choice(object, "method", reference_methods);
    const auto configuration = wanted_choice(object, "configuration", configurations);
    const RuleRef source = read_source(object);
    std::vector<ConfigurationDefault> rows;
    if (!method || !configuration) return rows;
    once.claim(fmt::format("configuration of {}", text_of(*method)), object.line(), desk);
    rows.push_back({*method, *configuration, source});
    return rows;
  });
}

std::vector<FixedTermRow> read_fixed_terms(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<FixedTermRow>(node, desk, [&](ObjectReader& object) {
    FixedTermRow row{.name = object.text_with_words("name"), .value = {}, .source = {}};
    once.claim(fmt::format("fixed term \"{}\"", row.name), object.line(), desk);
    const SourcedNumber loss = read_number(object.wanted("loss"), allowance_number, desk);
    row.value = {loss.value};
    row.source = loss.source;
    return std::vector{row};
  });
}

std::vector<RuleSet::WholeLinkLimit> read_whole_link_limits(const JsonNode* node, RuleDesk& desk) {
  Once once;
  return read_table<RuleSet::WholeLinkLimit>(node, desk, [&](ObjectReader& object) {
    const JsonNode* at = object.maybe("wavelength_nm");
    // A limit of every wavelength is held as 0 nm.
    const auto wavelengths =
        at == nullptr ? std::vector<double>{0} : plain_numbers(at, wavelength_number, desk);
    const auto mode = maybe_choice(object, "mode", fibre_modes);
    const SourcedNumber limit = read_number(object.wanted("limit"), whole_link_number, desk);
    std::vector<RuleSet::WholeLinkLimit> rows;
    for (const double wavelength : wavelengths) {
      once.claim(fmt::format("whole-link limit at {} nm{}", wavelength,
                             mode ? fmt::format(" on {}", text_of(*mode)) : std::string()),
                 object.line(), desk);
      rows.push_back({{wavelength}, mode, {limit.value}, limit.source});
    }
    return rows;
  });
}

std::optional<StatisticalBudget> read_statistical(const JsonNode* node, RuleDesk& desk) {
  if (node == nullptr) return std::nullopt;
  constexpr NumberKind variance{"dB²", 0, 10};
  constexpr NumberKind coverage{"standard deviations", 0, 10};
  ObjectReader object(*node, desk);
  StatisticalBudget budget{
      .connection_variance = plain_number(object.wanted("connection_variance"), variance, desk),
      .splice_variance = plain_number(object.wanted("splice_variance"), variance, desk),
      .system_variance = plain_number(object.wanted("system_variance"), variance, desk),
      .coverage = plain_number(object.wanted("coverage"), coverage, desk),
      .source = {}};
  tell_unit(object, variance.unit);
  budget.source = read_source(object);
  object.finish();
  return budget;
}

std::optional<ReferenceMethod> read_method(const JsonNode* node, RuleDesk& desk) {
  return node == nullptr ? std::nullopt : read_choice(*node, reference_methods, desk);
}

std::vector<DemandRow> read_demands(const JsonNode* node, const RuleSet* rule, RuleDesk& desk) {
  Once once;
  return read_table<DemandRow>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = modes_of(object);
    const SourcedNumbers wavelengths = read_numbers(object.wanted("wavelengths"), wavelength_number, desk);
    const auto demanded = wanted_choice(object, "directions", direction_demands);
    std::vector<DemandRow> rows;
    for (const FibreMode mode : modes_here) {
      once.claim(fmt::format("demand on {}", text_of(mode)), object.line(), desk);
      DemandRow row{mode, {}, demanded.value_or(DirectionDemand::either), wavelengths.source};
      Once wavelengths_once;
      for (const double at : wavelengths.values) {
        if (rule != nullptr) check_answered(*rule, mode, {at}, object.line(), desk);
        wavelengths_once.claim(fmt::format("wavelength {} nm", at), object.line(), desk);
        row.wavelengths.push_back({at});
      }
      rows.push_back(std::move(row));
    }
    return rows;
  });
}

std::vector<WavelengthAlias> read_aliases(const JsonNode* node, const RuleSet& rule, RuleDesk& desk) {
  Once once;
  return read_table<WavelengthAlias>(node, desk, [&](ObjectReader& object) {
    const auto modes_here = modes_of(object);
    const Nanometres found{plain_number(object.wanted("found_nm"), wavelength_number, desk)};
    const SourcedNumber counts_as = read_number(object.wanted("counts_as"), wavelength_number, desk);
    std::vector<WavelengthAlias> rows;
    for (const FibreMode mode : modes_here) {
      once.claim(fmt::format("alias of {} nm on {}", found.value, text_of(mode)), object.line(), desk);
      check_answered(rule, mode, {counts_as.value}, object.line(), desk);
      if (has_attenuation(rule, mode, found))
        desk.tell(object.line(), fmt::format("an alias of {} nm, which has its own attenuation", found.value),
                  "a wavelength without attenuation of its own", "Take out the alias or the attenuation.");
      rows.push_back({mode, found, {counts_as.value}, counts_as.source});
    }
    return rows;
  });
}

}  // namespace strandbook
