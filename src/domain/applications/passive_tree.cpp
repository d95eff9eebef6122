#include "domain/applications/passive_tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace strandbook {
namespace {

LimitQuestion question_of(const TreePort& port, Nanometres wavelength, ReferenceMethod method) {
  LimitQuestion question;
  question.fibre = port.fibre.value_or(FibreCategory::single_mode_unstated);
  question.plant = port.plant;
  question.length = port.length;
  question.connections = port.connections;
  question.splices = port.splices;
  question.wavelength = wavelength;
  question.method = method;
  question.configuration = Configuration::link;
  return question;
}

const SplitterRow* row_of(const SplitterPractice& practice, int outputs) {
  const auto found = std::find_if(practice.rows.begin(), practice.rows.end(),
                                  [&](const SplitterRow& row) { return row.outputs == outputs; });
  return found == practice.rows.end() ? nullptr : &*found;
}

double median_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

}  // namespace

Decibels ideal_splitter_loss(int outputs) { return {10 * std::log10(static_cast<double>(outputs))}; }

Result<Limit> limit_of(const TreePort& port, const RuleSet& rule, const SplitterPractice& practice,
                       Nanometres wavelength, ReferenceMethod method) {
  Result<Limit> limit = limit_of(rule, question_of(port, wavelength, method));
  if (!limit) {
    Problem problem = limit.problem();
    problem.at = port.at;
    return problem;
  }
  for (const int outputs : port.splitters) {
    const SplitterRow* row = row_of(practice, outputs);
    if (row == nullptr)
      return Problem{port.at, fmt::format("a splitter 1:{}", outputs), "a splitter of the practice file",
                     "Enter its loss in a practice file of the job."};
    limit->working.push_back({fmt::format("splitter 1:{}", outputs), 1, row->value, row->value, row->source});
    limit->value += row->value;
  }
  return limit;
}

Decibels least_loss_of(const TreePort& port) {
  Decibels least;
  for (const int outputs : port.splitters) least += ideal_splitter_loss(outputs);
  return least;
}

SiblingView beside_siblings(const std::vector<std::optional<Decibels>>& over_limit,
                            const SplitterPractice& practice) {
  SiblingView view;
  view.beyond_median.resize(over_limit.size());
  view.stands_out.assign(over_limit.size(), false);
  std::vector<double> read;
  for (const auto& each : over_limit)
    if (each) read.push_back(each->value);
  if (read.size() < 3) return view;
  const double median = median_of(read);
  for (std::size_t port = 0; port < over_limit.size(); ++port) {
    if (!over_limit[port]) continue;
    view.beyond_median[port] = Decibels{over_limit[port]->value - median};
    view.stands_out[port] = !at_most(*view.beyond_median[port], practice.spread_allowed);
  }
  return view;
}

}  // namespace strandbook
