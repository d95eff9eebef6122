#include "workflow/verify_package.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "edge/book/domain_facts.hpp"
#include "edge/exchange/assessment_out.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/package/manifest.hpp"
#include "edge/signing/own_certificate.hpp"
#include "workflow/check_handover.hpp"
#include "workflow/package_files.hpp"
#include "workflow/package_lists.hpp"
#include "workflow/stated_results.hpp"
#include "workflow/unpacked_package.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_named = 20;

Problem changed(const std::string& path, const std::string& found, const char* wanted) {
  return {{path, {}, 0, {}},
          found,
          wanted,
          "The package was changed after it was signed, or damaged: ask for it anew."};
}

std::string below(const std::string& folder, const std::string& path) {
  std::string whole = folder;
  whole += '/';
  whole += path;
  return whole;
}

/// Hands wrong things on until there are too many to read.
class Wrongs {
 public:
  explicit Wrongs(PackageCheck& check) : check_(check) {}
  void tell(Problem problem) {
    if (++told_ <= most_named) check_.wrong.push_back(std::move(problem));
  }
  void close(const char* what) {
    if (told_ > most_named)
      check_.wrong.push_back(
          {{what, {}, 0, {}}, fmt::format("{} more of the kind", told_ - most_named), "", ""});
    told_ = 0;
  }

 private:
  PackageCheck& check_;
  std::size_t told_ = 0;
};

/// The lines of the manifest; none where it cannot be read.
Result<std::vector<ManifestLine>> check_files(const std::string& folder, std::string_view manifest,
                                              PackageCheck& check, const Progress& progress) {
  Result<std::vector<ManifestLine>> lines = parse_manifest(manifest, package_manifest);
  if (!lines) {
    check.wrong.push_back(lines.problem());
    return std::vector<ManifestLine>{};
  }
  // Links and devices are refused before anything is read: a pipe would never end.
  const Result<std::vector<std::string>> there = files_below(folder);
  if (!there) return there.problem();
  Wrongs wrongs(check);
  std::set<std::string> listed{package_manifest, package_signature};
  for (const ManifestLine& line : *lines) {
    listed.insert(line.path);
    const Result<Sha256> hash = hash_of_file(folder + "/" + line.path);
    if (!hash)
      wrongs.tell(changed(line.path, "a file that is not there", "the file that the manifest lists"));
    else if (*hash != line.hash)
      wrongs.tell(changed(line.path, "other content than was signed", "the content that the manifest lists"));
    else
      ++check.files;
    const double part = static_cast<double>(listed.size()) / static_cast<double>(lines->size() + 2);
    if (progress && !progress(part / 2)) return cancelled(folder);
  }
  for (const char* name : package_parts)
    if (!listed.contains(name))
      wrongs.tell(changed(name, "no such file in the list", "a part that every package has"));
  for (const std::string& path : *there)
    if (!listed.contains(path))
      wrongs.tell(changed(path, "a file that the manifest does not list", "only files that were signed"));
  wrongs.close(package_manifest);
  return lines;
}

void check_signature(const std::string& folder, std::string_view manifest, const std::string& roots,
                     PackageCheck& check) {
  const Result<std::string> signature = read_file_bytes(folder + "/" + package_signature);
  if (!signature) return check.wrong.push_back(signature.problem());
  Result<Seal> seal = check_seal(*signature, manifest, package_signature, roots);
  if (!seal) return check.wrong.push_back(seal.problem());
  if (!roots.empty() && !seal->trusted)
    check.wrong.push_back({{package_signature, {}, 0, {}},
                           "a signer that none of the trusted certificates vouches for: " + seal->subject,
                           "one that " + roots + " leads to",
                           "Ask the contractor for the certificate by another way."});
  const Result<std::string> pem = read_file_bytes(folder + "/" + package_signer);
  if (!pem || fingerprint_of(certificate_in(*pem).get()) != seal->fingerprint)
    check.wrong.push_back(changed(package_signer, "another certificate than the signature holds",
                                  "the certificate of the signer"));
  check.seal = std::move(*seal);
}

void check_chains(const OpenBook& book, PackageCheck& check) {
  const Verification found = verify(*book.store, {});
  check.facts = found.facts;
  if (found.bad) check.wrong.push_back(*found.bad);
  for (const ChainReport& chain : found.chains)
    if (chain.signed_to < chain.in_order_to)
      check.wrong.push_back({{package_book, {}, 0, {}},
                             fmt::format("facts of device {} without its signature after number {}",
                                         text_of(chain.device), chain.signed_to),
                             "a signature over every fact",
                             "Ask the contractor for the book itself: what no device signed may have been "
                             "written by anybody."});
  FactQuery keys;
  keys.kind = FactKind::device_key;
  const Result<Done> read = book.store->read(std::span(&keys, 1), [&check](const Fact& fact) -> Result<Done> {
    const Result<FactFields> fields = FactFields::parse(fact.body, fact.id);
    if (!fields) return fields.problem();
    const Result<KeyRecord> key = key_from(*fields);
    if (key && check.seal && key->public_key == check.seal->public_key) check.signed_by_book = true;
    return Done{};
  });
  if (!read) check.wrong.push_back(read.problem());
}

/// Neither is read whole.
Result<bool> same_content(const std::string& one, const std::string& other) {
  const Result<Sha256> a = hash_of_file(one);
  if (!a) return a.problem();
  const Result<Sha256> b = hash_of_file(other);
  if (!b) return b.problem();
  return *a == *b;
}

/// Every original lies in the book too, under its hash, and every file that the book goes by lies here.
void check_originals(const OpenBook& book, const std::vector<Held<ImportRecord>>& imports,
                     const std::vector<ManifestLine>& files, PackageCheck& check) {
  Wrongs wrongs(check);
  std::set<Sha256> here;
  for (const ManifestLine& file : files) {
    if (!file.path.starts_with("originals/")) continue;
    here.insert(file.hash);
    const auto held = book.store->file(file.hash);
    if (!held || !*held)
      wrongs.tell(
          changed(file.path, "a file that the book does not hold", "a file that was brought into the book"));
  }
  for (const auto& import : imports)
    if (!here.contains(import.value.hash))
      wrongs.tell(changed("originals", "no file " + import.value.file, "every file that the book goes by"));
  wrongs.close("originals");
}

/// Rule files of the package against those of this program: other numbers would explain other outcomes.
void check_rules(const std::string& folder, const HandoverGround& ground, PackageCheck& check) {
  const Result<std::vector<RuleText>> texts = rule_texts_of(ground);
  if (!texts) return check.wrong.push_back(texts.problem());
  for (const RuleText& rule : *texts) {
    const std::string path = "rules/" + safe_name(rule.name) + ".json";
    const Result<std::string> packed = read_file_bytes(below(folder, path));
    if (!packed)
      check.wrong.push_back(packed.problem());
    else if (*packed != rule.text)
      check.wrong.push_back(
          {{path, {}, 0, {}},
           "other numbers than this program has for " + rule.name,
           "the same rule",
           "Compare the two files; judge with the version of the program that made the package."});
  }
}

/// Lists that can be written anew from the book: not one letter may differ.
void check_lists(const std::string& folder, const UnpackedPackage& unpacked, const OpenBook& book,
                 const HandoverGround& ground, PackageCheck& check) {
  const std::string anew = unpacked.scratch() + "/anew.csv";
  const auto compare = [&](const char* name, const Result<Done>& written) {
    const Result<bool> same = same_content(below(folder, name), anew);
    if (!same) return;  // told with the files
    if (!written || !*same)
      check.wrong.push_back(
          changed(name, "other rows than the book comes to", "the rows that this program makes of the book"));
  };
  compare("tests.csv", write_assessment_csv(ground.work.job, anew));
  compare("findings.csv", write_findings_csv(ground, anew));
  compare("statements.csv", write_statements_csv(ground, anew));
  compare("facts.csv", write_facts_csv(*book.store, anew));
}

Problem not_of_its_readings(std::string found, std::string wanted) {
  return {{package_assessment, {}, 0, {}},
          std::move(found),
          std::move(wanted),
          "The results of the package are not those of its readings."};
}

/// Tests that the package states against those that its book comes to; what stays in `anew` it does not
/// state.
std::optional<std::size_t> check_tests(const std::string& stated, AnewResults& anew, PackageCheck& check,
                                       Wrongs& wrongs) {
  return read_results(stated, [&](const StatedTest& test) {
    const auto same = anew.find(test.key);
    if (same != anew.end() && same->second == test.result) {
      ++check.tests;
    } else {
      wrongs.tell(not_of_its_readings(
          fmt::format("{}: {}", name_of(test.key), test.result.outcome),
          same == anew.end() ? "a test of the book" : "what the book comes to: " + same->second.outcome));
    }
    if (same != anew.end()) anew.erase(same);
  });
}

/// The results as the package states them against those that its book comes to. Texts that differ are read
/// test by test, so that a package of any size takes little memory.
void check_results(const std::string& folder, const UnpackedPackage& unpacked, const JudgedJob& job,
                   PackageCheck& check) {
  const std::string stated = below(folder, package_assessment);
  const std::string anew = unpacked.scratch() + "/anew.json";
  if (const auto done = write_assessment_json(job, anew); !done) return check.wrong.push_back(done.problem());
  const Result<bool> same = same_content(stated, anew);
  if (!same) return check.wrong.push_back(same.problem());
  if (*same) {  // as it is where the same version of the program made it
    check.tests = job.assessment.tests.size();
    return;
  }
  AnewResults results;
  const std::optional<std::size_t> found =
      read_results(anew, [&results](const StatedTest& test) { results.emplace(test.key, test.result); });
  Wrongs wrongs(check);
  const std::optional<std::size_t> said = check_tests(stated, results, check, wrongs);
  if (!said) return check.wrong.push_back(changed(package_assessment, "no results", "a list of tests"));
  if (results.empty() && check.wrong.empty() && said != found)
    wrongs.tell(changed(package_assessment,
                        "other uncertainties, reasons, findings or counts than the book comes to",
                        "what this program makes of the book"));
  for (const auto& [key, result] : results)
    wrongs.tell(not_of_its_readings("no result of " + name_of(key), "a result of every test of the book"));
  wrongs.close(package_assessment);
}

}  // namespace

Result<PackageCheck> verify_package(const std::string& package, const std::string& roots,
                                    const Progress& progress) {
  const Result<UnpackedPackage> unpacked = UnpackedPackage::open(package);
  if (!unpacked) return unpacked.problem();
  const std::string& folder = unpacked->folder();
  const Result<std::string> manifest = read_file_bytes(folder + "/" + package_manifest);
  if (!manifest) return manifest.problem();
  PackageCheck check;
  const Result<std::vector<ManifestLine>> files = check_files(folder, *manifest, check, progress);
  if (!files) return files.problem();
  check_signature(folder, *manifest, roots, check);
  const Result<OpenBook> book = unpacked->book();
  if (!book) {
    check.wrong.push_back(book.problem());
    return check;
  }
  check_chains(*book, check);
  const Result<HandoverGround> ground = handover_ground(*book, {}, std::nullopt);
  if (!ground) {
    check.wrong.push_back(ground.problem());
    return check;
  }
  check_originals(*book, ground->state.imports, *files, check);
  check_rules(folder, *ground, check);
  check_lists(folder, *unpacked, *book, *ground, check);
  check_results(folder, *unpacked, ground->work.job, check);
  return check;
}

}  // namespace strandbook
