#include "simulated_job.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace strandbook {
namespace {

constexpr double wavelengths[] = {1310, 1550};
constexpr std::int64_t morning = 1775030400 + 8 * 3600;
constexpr std::int64_t a_day = 86400;
constexpr std::size_t strands_a_session = 96;
constexpr std::int64_t seconds_a_strand = 45;
constexpr std::size_t cut_after = 12;

/// What a strand truly loses.
struct TrueStrand {
  double length_km = 0;
  double loss[2][2]{};  ///< by wavelength, then direction
};

constexpr double long_enough_m = 2200;  // for the two wavelengths to differ

class Simulator {
 public:
  Simulator(Fault fault, std::size_t strands, std::uint64_t seed) : random_(seed), strands_(strands) {
    job_.fault = fault;
  }

  SimulatedJob run() {
    build_plant();
    spoil_plant();
    measure();
    spoil_records();
    return std::move(job_);
  }

 private:
  double normal(double deviation) { return std::normal_distribution<double>(0, deviation)(random_); }
  double gamma(double shape, double scale) { return std::gamma_distribution<double>(shape, scale)(random_); }
  double between(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random_);
  }
  std::size_t pick(std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random_);
  }

  /// Gamma of IEC 61753-1 grade B: mean 0.12 dB, 97 % at most 0.25 dB.
  double connection() { return gamma(4.2828, 0.02802); }
  double splice() { return gamma(1.8, 0.022); }

  void build_plant() {
    const double alpha[2] = {0.34 + normal(0.008), 0.20 + normal(0.006)};
    std::size_t strand = 0;
    for (int link = 0; strand < strands_; ++link) {
      const std::size_t sizes[] = {12, 24, 48};
      const std::size_t size = std::min(sizes[pick(3)], strands_ - strand);
      const bool to_exchange =
          link == 1 && (job_.fault == Fault::exchanged_link || job_.fault == Fault::exchanged_strand);
      const double length_m = std::round(between(to_exchange ? long_enough_m : 150, 3000));
      const int connections = 2 + static_cast<int>(pick(2));
      const int splices = static_cast<int>(pick(4));
      const double cable = normal(0.02);
      const std::string name = fmt::format("K{:03}", link);
      for (std::size_t i = 0; i < size; ++i, ++strand) {
        ScheduledStrand row;
        row.link = name;
        row.strand = fmt::format("{:02}", i + 1);
        row.end_a = "ROOM-" + std::to_string(link / 6);
        row.end_b = fmt::format("P{:02}", pick_panel(link));
        row.fibre = FibreCategory::os2;
        row.length = Metres{length_m};
        row.connections = connections;
        row.splices = splices;
        row.directions = DirectionDemand::both;
        row.wavelengths = {{1310}, {1550}};
        job_.input.schedule.push_back(row);
        double joints = 0;
        for (int c = 0; c < connections; ++c) joints += connection();
        for (int s = 0; s < splices; ++s) joints += splice();
        TrueStrand truth;
        truth.length_km = length_m / 1000;
        for (int w = 0; w < 2; ++w)
          for (double& loss : truth.loss[w])
            loss = alpha[w] * truth.length_km + joints * (w == 0 ? 1 : 0.95) + cable;
        truth_.push_back(truth);
      }
    }
  }
  static int pick_panel(int link) { return link % 17; }

  std::vector<std::size_t> rows_of(const std::string& link) const {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < job_.input.schedule.size(); ++i)
      if (job_.input.schedule[i].link == link) rows.push_back(i);
    return rows;
  }
  /// A link with enough strands, not the first one.
  std::vector<std::size_t> some_link() {
    for (;;) {
      const std::size_t strand = pick(strands_);
      std::vector<std::size_t> rows = rows_of(job_.input.schedule[strand].link);
      if (rows.size() < 12 || rows.front() == 0) continue;
      job_.link = job_.input.schedule[strand].link;
      return rows;
    }
  }
  void add(std::size_t strand, double at_1310, double at_1550) {
    for (int way = 0; way < 2; ++way) {
      truth_[strand].loss[0][way] += at_1310;
      truth_[strand].loss[1][way] += at_1550;
    }
  }

  void spoil_plant() {
    const std::size_t strand = pick(strands_);
    switch (job_.fault) {
      case Fault::bend: {
        const double bend = between(0.4, 1.5);
        job_.strand = static_cast<std::uint32_t>(some_link()[pick(12)]);
        add(job_.strand, 0.1 * bend, bend);
        break;
      }
      case Fault::dirty_strand: {
        const double dirt = between(0.7, 2.0);
        job_.strand = static_cast<std::uint32_t>(some_link()[pick(12)]);
        add(job_.strand, dirt, 0.97 * dirt);
        break;
      }
      case Fault::crossed: {
        const std::vector<std::size_t> rows = some_link();
        const std::size_t one = rows[2];
        const std::size_t other = rows[3];
        add(one, 0.45, 0.43);  // only strands that differ can be seen to be crossed
        for (auto& loss : truth_[one].loss)
          std::swap(loss[1], truth_[other].loss[&loss - truth_[one].loss][1]);
        job_.strand = static_cast<std::uint32_t>(one);
        break;
      }
      case Fault::mixed_cores:
        for (const std::size_t row : some_link())
          for (auto& loss : truth_[row].loss) loss[0] += 0.5;
        break;
      case Fault::bad_panel: {
        const std::string panel = job_.input.schedule[strand].end_b;
        for (std::size_t i = 0; i < strands_; ++i)
          if (job_.input.schedule[i].end_b == panel && pick(3) > 0) add(i, 1.5, 1.5);
        job_.link = panel;
        break;
      }
      case Fault::limit_count:
        // Two pigtail splices and a connection more than the schedule says, on a link that uses up its limit.
        for (const std::size_t row : some_link()) {
          ScheduledStrand& each = job_.input.schedule[row];
          each.fixed_limit.reset();
          each.splices = 0;
          const double limit = 0.4 * truth_[row].length_km + 0.5 * *each.connections;
          const double above_limit = limit + 0.22;
          const double shift = above_limit - median_of_link();
          for (auto& loss : truth_[row].loss)
            for (double& way : loss) way += shift;
        }
        break;
      default:
        break;
    }
  }
  double median_of_link() {
    if (job_.link != median_link_) {
      std::vector<double> values;
      for (const std::size_t i : rows_of(job_.link)) values.push_back(truth_[i].loss[0][0]);
      std::sort(values.begin(), values.end());
      median_ = values[values.size() / 2];
      median_link_ = job_.link;
    }
    return median_;
  }

  bool is_reference_fault() const {
    return job_.fault >= Fault::reference_one_wavelength && job_.fault <= Fault::reference_unknowable;
  }
  bool typed_losses() const {
    return job_.fault == Fault::headroom || job_.fault == Fault::sign || job_.fault == Fault::level_for_loss;
  }

  /// Sessions one after the other; in each, every strand both ways at both wavelengths.
  void measure() {
    job_.input.readings.files.push_back({"day.csv", ""});
    const std::size_t sessions = (strands_ + strands_a_session - 1) / strands_a_session;
    std::size_t wrong = sessions;  // none
    if (is_reference_fault() || job_.fault == Fault::step || job_.fault == Fault::drift ||
        job_.fault == Fault::cords)
      wrong = job_.fault == Fault::reference_unknowable || job_.fault == Fault::cords
                  ? 0
                  : 2 + pick(std::max<std::size_t>(1, sessions - 3));
    for (std::size_t session = 0; session < sessions; ++session) {
      const bool spoilt = session == wrong;
      one_session(session, spoilt);
      if (spoilt && is_reference_fault()) return;
      if (spoilt && job_.fault == Fault::cords) return;
    }
  }

  std::int64_t start_of(std::size_t session) const {
    return morning + static_cast<std::int64_t>(session / 4) * a_day +
           static_cast<std::int64_t>(session % 4) * 7200;
  }

  std::uint32_t add_reference(std::size_t session, int w, const char* chain, ReferenceKind kind, double power,
                              std::int64_t at) {
    Reference reference;
    reference.id = fmt::format("R{}{}", session, chain);
    reference.kind = kind;
    reference.wavelength = {wavelengths[w]};
    reference.power = {std::round(power * 100) / 100};
    reference.method = ReferenceMethod::one_cord;
    reference.time = Instant{at, true, true, false};
    job_.input.references.push_back(reference);
    return static_cast<std::uint32_t>(job_.input.references.size() - 1);
  }

  void one_session(std::size_t session, bool spoilt) {
    const std::size_t first = session * strands_a_session;
    std::size_t last = std::min(strands_, first + strands_a_session);
    if (spoilt && is_reference_fault()) last = std::min(last, first + cut_after);
    const std::int64_t start = start_of(session);
    const double size = between(0.15, 0.6) * (pick(2) == 0 ? 1 : -1);
    const bool two_chains = job_.fault == Fault::reference_other_direction;
    const bool with_closing = closes(session, spoilt);
    const std::size_t strands = last - first;
    const std::int64_t end = start + static_cast<std::int64_t>(strands + 1) * seconds_a_strand;
    for (int w = 0; w < 2; ++w)
      for (int way = 0; way < (two_chains ? 2 : 1); ++way) {
        const double launch = -8 - 0.4 * w + normal(0.2);
        double wrong = normal(0.02);
        if (spoilt && is_reference_fault() && (job_.fault != Fault::reference_one_wavelength || w == 1) &&
            way == 0)
          wrong += size;
        if (spoilt && job_.fault == Fault::cords) wrong -= 0.45;
        level_[w][way] = level_[w][1] = launch;
        if (two_chains) level_[w][way] = launch;
        const std::uint32_t row = add_reference(session, w, two_chains ? (way == 0 ? "A" : "B") : "",
                                                ReferenceKind::opening, launch + wrong, start);
        if (spoilt && way == 0 && (w == 1 || job_.fault != Fault::reference_one_wavelength))
          job_.wrong_reference = row;
        if (with_closing)
          add_reference(session, w, two_chains ? (way == 0 ? "A" : "B") : "", ReferenceKind::closing_check,
                        launch + normal(0.02) + (job_.fault == Fault::reference_closing ? 0 : wrong), end);
      }
    two_levels_ = two_chains;
    read_strands(session, first, last, start, spoilt, size);
  }

  bool closes(std::size_t session, bool spoilt) const {
    switch (job_.fault) {
      case Fault::reference_unknowable:
      case Fault::cords:
        return false;
      case Fault::reference_closing:
        return true;
      default:
        return !spoilt && session % 3 != 2;
    }
  }

  void read_strands(std::size_t session, std::size_t first, std::size_t last, std::int64_t start, bool spoilt,
                    double size) {
    const std::size_t step_at = first + 20 + pick(std::max<std::size_t>(1, (last - first) / 2));
    const std::int64_t pace = job_.fault == Fault::impossible_pace && session == 1 ? 1 : seconds_a_strand;
    for (std::size_t i = first; i < last; ++i) {
      const std::int64_t at =
          start + static_cast<std::int64_t>(i - first + 1) * pace + static_cast<std::int64_t>(pick(3));
      for (int way = 0; way < 2; ++way) {
        const double mating = normal(0.035);
        for (int w = 0; w < 2; ++w) {
          double loss = truth_[i].loss[w][way] + mating + normal(0.02);
          if (spoilt && job_.fault == Fault::step && i >= step_at && w == 1)
            loss += std::copysign(std::max(0.2, std::abs(size)), size);
          if (spoilt && job_.fault == Fault::drift && w == 1)
            loss += 0.5 * static_cast<double>(i - first) / static_cast<double>(last - first);
          add_reading(session, i, w, way, loss, at + w);
        }
      }
    }
  }

  void add_reading(std::size_t session, std::size_t strand, int w, int way, double loss, std::int64_t at) {
    const ScheduledStrand& row = job_.input.schedule[strand];
    Reading reading;
    reading.link = job_.input.readings.keep_text(row.link);
    reading.strand = job_.input.readings.keep_text(row.strand);
    reading.wavelength = {wavelengths[w]};
    reading.direction = way == 0 ? Direction::a_to_b : Direction::b_to_a;
    reading.time = Instant{at, true, true, false};
    reading.has_time = true;
    reading.row = static_cast<std::uint32_t>(job_.input.readings.rows.size() + 2);
    if (typed_losses()) {
      reading.kind = ReadingKind::loss;
      reading.value = std::round(loss * 100) / 100;
    } else {
      reading.kind = ReadingKind::power;
      reading.reference = job_.input.readings.keep_text(
          fmt::format("R{}{}", session, two_levels_ ? (way == 0 ? "A" : "B") : ""));
      reading.value = std::round((level_[w][way] - loss) * 100) / 100;
    }
    job_.input.readings.rows.push_back(reading);
  }

  std::vector<Reading*> readings_of(const std::string& link) {
    std::vector<Reading*> list;
    for (Reading& each : job_.input.readings.rows)
      if (each.link == link) list.push_back(&each);
    return list;
  }

  void spoil_records() {
    switch (job_.fault) {
      case Fault::exchanged_link:
      case Fault::exchanged_strand:
        exchange();
        break;
      case Fault::stuck_meter: {
        some_link();
        double held = 0;
        int count = 0;
        for (Reading* each : readings_of(job_.link))
          if (each->wavelength.value == 1310 && each->direction == Direction::a_to_b && count < 10) {
            if (count++ == 0) held = each->value;
            each->value = held;
          }
        break;
      }
      case Fault::copied:
        copy();
        break;
      case Fault::headroom:
        for (Reading& each : job_.input.readings.rows)
          each.value = std::round((limit_of_reading(each) - each.value) * 100) / 100;
        break;
      case Fault::sign:
        for (Reading& each : job_.input.readings.rows) each.value = -each.value;
        break;
      case Fault::level_for_loss:
        for (Reading& each : job_.input.readings.rows) each.value = -8 - each.value;
        break;
      case Fault::feet:
        for (Reading& each : job_.input.readings.rows) {
          const auto length = job_.input.schedule[strand_named(each)].length->value;
          each.length_m = std::round(length / 0.3048);
        }
        break;
      case Fault::selection:
        select();
        break;
      case Fault::misspelt:
        for (Reading* each : readings_of("K001")) each->link = "K0O1";
        break;
      default:
        break;
    }
  }

  std::size_t strand_named(const Reading& reading) const {
    for (std::size_t i = 0; i < job_.input.schedule.size(); ++i)
      if (job_.input.schedule[i].link == reading.link && job_.input.schedule[i].strand == reading.strand)
        return i;
    return 0;
  }
  double limit_of_reading(const Reading& reading) const {
    const ScheduledStrand& row = job_.input.schedule[strand_named(reading)];
    return (reading.wavelength.value == 1310 ? 0.4 : 0.3) * row.length->value / 1000 +
           0.5 * *row.connections + 0.1 * *row.splices;
  }

  void exchange() {
    std::vector<std::size_t> rows;
    do rows = some_link();
    while (job_.input.schedule[rows.front()].length->value < long_enough_m);
    const std::string strand = job_.input.schedule[rows[5]].strand;
    for (Reading* each : readings_of(job_.link)) {
      if (job_.fault == Fault::exchanged_strand && each->strand != strand) continue;
      each->wavelength.value = each->wavelength.value == 1310 ? 1550 : 1310;
      // The levels are those of the other source: bring them to this one's reference.
      each->kind = ReadingKind::power;
    }
    job_.strand = static_cast<std::uint32_t>(rows[5]);
    if (!typed_losses()) settle_exchange();
  }
  /// An exchange of columns of losses: levels follow from the reference of the column they stand in.
  void settle_exchange() {
    for (Reading* each : readings_of(job_.link)) {
      const std::string strand(each->strand);
      if (job_.fault == Fault::exchanged_strand && each->strand != job_.input.schedule[job_.strand].strand)
        continue;
      double own = 0;
      double other = 0;
      for (const Reference& reference : job_.input.references)
        if (reference.kind == ReferenceKind::opening && reference.id == each->reference)
          (reference.wavelength.value == each->wavelength.value ? own : other) = reference.power.value;
      each->value += own - other;
    }
  }

  void copy() {
    std::vector<std::size_t> rows;
    std::vector<std::size_t> into;
    std::string from;
    do {
      rows = some_link();
      from = job_.link;
      into = some_link();
    } while (job_.link == from || into.size() != rows.size());
    std::vector<Reading*> source = readings_of(from);
    std::vector<Reading*> target = readings_of(job_.link);
    // Losses are copied: the levels follow from the reference of where they land.
    for (std::size_t i = 0; i < std::min(source.size(), target.size()); ++i)
      target[i]->value = opening_of(*target[i]) - (opening_of(*source[i]) - source[i]->value);
  }

  double opening_of(const Reading& reading) const {
    for (const Reference& reference : job_.input.references)
      if (reference.kind == ReferenceKind::opening && reference.id == reading.reference &&
          reference.wavelength.value == reading.wavelength.value)
        return reference.power.value;
    return 0;
  }

  void select() {
    // A strand just beyond its limit, read again until it passes.
    const std::size_t strand = some_link()[4];
    std::vector<Reading> more;
    for (Reading& each : job_.input.readings.rows) {
      if (strand_named(each) != strand || each.wavelength.value != 1310) continue;
      double level = 0;
      for (const Reference& reference : job_.input.references)
        if (reference.kind == ReferenceKind::opening && reference.id == each.reference &&
            reference.wavelength.value == 1310)
          level = reference.power.value;
      each.value = level - limit_of_reading(each) - 0.03;
      Reading again = each;
      again.value = each.value + 0.05;
      again.time.seconds += 60;
      more.push_back(again);
    }
    for (Reading& each : more) job_.input.readings.rows.push_back(each);
    job_.strand = static_cast<std::uint32_t>(strand);
  }

  std::mt19937_64 random_;
  std::size_t strands_;
  SimulatedJob job_;
  std::vector<TrueStrand> truth_;
  double level_[2][2]{};
  bool two_levels_ = false;
  std::string median_link_;
  double median_ = 0;
};

}  // namespace

const char* text_of(Fault fault) {
  static constexpr const char* words[] = {
      "nothing wrong",
      "reference wrong at one wavelength",
      "reference wrong, earlier readings",
      "reference wrong, other direction",
      "reference wrong, closing check",
      "reference wrong, nothing tells",
      "step under a reference",
      "drift under a reference",
      "bend of one strand",
      "columns exchanged, one link",
      "columns exchanged, one strand",
      "dirty strand",
      "crossed strands",
      "core sizes mixed",
      "bad panel",
      "stuck meter",
      "copied link",
      "limit counted wrongly",
      "headroom for loss",
      "sign turned",
      "levels for losses",
      "feet for metres",
      "impossible pace",
      "tested until it passed",
      "misspelt link",
      "two cords for one",
  };
  return words[static_cast<int>(fault)];
}

SimulatedJob simulate(Fault fault, std::size_t strands, std::uint64_t seed) {
  return Simulator(fault, strands, seed * 1000003 + static_cast<std::uint64_t>(fault)).run();
}

RuleSet simulated_rule() {
  RuleSet rule;
  rule.id = "own:simulated";
  const RuleRef own{"simulated", "1", "", Standing::own, ""};
  rule.attenuation = {{FibreCategory::os2, Plant::unstated, {1310}, {0.4}, own},
                      {FibreCategory::os2, Plant::unstated, {1550}, {0.3}, own}};
  rule.connections = {{FibreMode::single_mode, ConnectionPlace::embedded, {}, {0.5}, own},
                      {FibreMode::single_mode, ConnectionPlace::end, {}, {0.5}, own}};
  rule.splices = {{FibreMode::single_mode, {0.1}, own}};
  rule.demands = {{FibreMode::single_mode, {{1310}, {1550}}, DirectionDemand::both, own}};
  return rule;
}

}  // namespace strandbook
