// bench-link-model RULES FOLDER COUNT: so many margins of the link model, on one core. Writes the questions,
// the inputs and the margins into the folder, so that another program can answer the same, and prints the
// seconds.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "domain/applications/link_margin.hpp"
#include "edge/exchange/link_model_file.hpp"

namespace {

using namespace strandbook;

struct Subject {
  const char* application;
  const char* fibre;
};
constexpr std::array subjects = {Subject{"10GBASE-SR", "OM3"}, Subject{"10GBASE-LR", "OS2"},
                                 Subject{"10GBASE-LX4", "OS2"}};

/// Questions of one subject: lengths from 0 to a fifth beyond the target, connections of 0 to 2 dB.
struct Questions {
  std::vector<double> lengths_m;
  std::vector<double> connections_db;
};

Questions questions_up_to(double target_m, std::size_t count) {
  std::uint64_t state = 20011101;
  const auto share = [&state] {
    state = state * 6364136223846793005U + 1442695040888963407U;
    return static_cast<double>(state >> 11U) / 9007199254740992.0;
  };
  Questions questions;
  for (std::size_t i = 0; i < count; ++i) {
    questions.lengths_m.push_back(share() * target_m * 1.2);
    questions.connections_db.push_back(share() * 2);
  }
  return questions;
}

void write_doubles(const std::string& path, const std::vector<double>& values) {
  std::ofstream file(path, std::ios::binary);
  file.write(reinterpret_cast<const char*>(values.data()),
             static_cast<std::streamsize>(values.size() * sizeof(double)));
}

void write_inputs(const std::string& path, const LinkModelInputs& inputs) {
  std::ofstream file(path);
  file << "name,value\n";
  for (const LinkModelField& field : link_model_fields())
    file << fmt::format("{},{:.17g}\n", field.name, inputs.*field.member);
}

double worst_against_equations(const LinkModelInputs& inputs, const Questions& questions,
                               const std::vector<double>& margins) {
  double worst = 0;
  for (std::size_t i = 0; i < margins.size(); i += 101) {
    const double exact =
        evaluate(inputs, {questions.lengths_m[i]}, {questions.connections_db[i]}).margin.value;
    worst = std::max(worst, std::abs(exact - margins[i]));
  }
  return worst;
}

struct Measured {
  double seconds = 0;
  double worst = 0;
};

Measured measure(const LinkModelInputs& inputs, std::size_t count, const std::string& stem) {
  const Questions questions = questions_up_to(inputs.target_length_m, count);
  std::vector<double> margins(count);
  const auto start = std::chrono::steady_clock::now();
  LinkMargin(inputs).at_each(questions.lengths_m, questions.connections_db, margins);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  write_doubles(stem + ".lengths", questions.lengths_m);
  write_doubles(stem + ".connections", questions.connections_db);
  write_doubles(stem + ".margins", margins);
  write_inputs(stem + ".inputs.csv", inputs);
  return {took.count(), worst_against_equations(inputs, questions, margins)};
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  const auto table = read_link_models(argv[1]);
  if (!table) {
    fmt::print(stderr, "{}\n", describe(table.problem()));
    return 2;
  }
  const std::size_t count = std::strtoull(argv[3], nullptr, 10) / subjects.size();
  Measured all;
  for (std::size_t i = 0; i < subjects.size(); ++i) {
    const auto row = find_link_model_row(*table, subjects[i].application, subjects[i].fibre);
    if (!row) return 2;
    const Measured one = measure((*row)->inputs, count, fmt::format("{}/{}", argv[2], i));
    all = {all.seconds + one.seconds, std::max(all.worst, one.worst)};
  }
  fmt::print("seconds={:.6f} evaluations={} worst_against_equations={:.3g}\n", all.seconds,
             count * subjects.size(), all.worst);
}
