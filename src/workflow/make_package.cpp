#include "workflow/make_package.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cctype>
#include <filesystem>

#include "edge/book/carry_file.hpp"
#include "edge/book/placing.hpp"
#include "edge/exchange/file_bytes.hpp"
#include "edge/exchange/output_file.hpp"
#include "edge/package/manifest.hpp"
#include "edge/package/zip_folder.hpp"
#include "edge/signing/own_certificate.hpp"
#include "workflow/hand_over.hpp"
#include "workflow/package_files.hpp"
#include "workflow/package_lists.hpp"
#include "workflow/package_page.hpp"
#include "workflow/package_readme.hpp"

namespace strandbook {
namespace {

namespace fs = std::filesystem;

/// A folder that is taken away again unless it was given its name.
class DraftFolder {
 public:
  explicit DraftFolder(const std::string& target)
      : path_(target + ".part" + std::to_string(::getpid())), target_(target) {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  DraftFolder(const DraftFolder&) = delete;
  DraftFolder& operator=(const DraftFolder&) = delete;
  ~DraftFolder() {
    std::error_code ignored;
    if (!path_.empty()) fs::remove_all(path_, ignored);
  }
  std::string in(const std::string& name) const { return path_ + "/" + name; }
  const std::string& path() const { return path_; }
  Result<Done> keep() {
    std::error_code error;
    fs::rename(path_, target_, error);
    if (error) return Problem{{target_, {}, 0, {}}, error.message(), "a folder that can be made", ""};
    path_.clear();
    return Done{};
  }

 private:
  std::string path_;
  std::string target_;
};

Result<Signer> signer_for(const OpenBook& book, const PackageWish& wish) {
  if (!wish.key_file.empty() || !wish.certificate_file.empty())
    return signer_from_files(wish.key_file, wish.certificate_file);
  Signer signer;
  if (book.device.key == nullptr)
    return Problem{{"device", {}, 0, {}}, "no signing key", "the key beside the device file", ""};
  signer.key = book.device.key->handle();
  constexpr long years_30 = 30L * 365;
  signer.certificate =
      own_certificate_of(signer.key.get(), {"strandbook device " + text_of(book.device.id), {}, years_30});
  if (!signer.certificate) return Problem{{}, "OpenSSL could not make a certificate", "", ""};
  return signer;
}

/// Writes the parts one after the other into the draft; the first Problem ends it.
class PackageWriter {
 public:
  PackageWriter(const OpenBook& book, const HandoverGround& ground, const PackageWish& wish,
                const DraftFolder& draft, const Telling& telling)
      : book_(book),
        ground_(ground),
        wish_(wish),
        draft_(draft),
        telling_(telling),
        items_(preflight(ground)) {}

  Result<Done> write_parts() {
    for (const auto part : {&PackageWriter::originals, &PackageWriter::reports, &PackageWriter::lists,
                            &PackageWriter::rules, &PackageWriter::book, &PackageWriter::page})
      if (Result<Done> done = (this->*part)(); !done) return done;
    return Done{};
  }

  Result<MadePackage> seal_it(const Signer& signer) {
    MadePackage made;
    made.may_leave = may_leave(items_);
    made.signer = subject_of(signer.certificate.get());
    made.fingerprint = fingerprint_of(signer.certificate.get());
    if (const auto done = write_file(draft_.in(package_signer), pem_of(signer.certificate.get())); !done)
      return done.problem();
    const std::string readme = package_readme(ground_, items_, wish_.report, made.signer, made.fingerprint);
    if (const auto done = write_file(draft_.in(package_readme_file), readme); !done) return done.problem();
    const Result<std::string> manifest = manifest_of();
    if (!manifest) return manifest.problem();
    made.files = static_cast<std::size_t>(std::count(manifest->begin(), manifest->end(), '\n')) + 2;
    if (const auto done = write_file(draft_.in(package_manifest), *manifest); !done) return done.problem();
    const Result<std::string> signature = seal(signer, *manifest);
    if (!signature) return signature.problem();
    if (const auto done = write_file(draft_.in(package_signature), *signature); !done) return done.problem();
    return made;
  }

 private:
  Progress told(const std::string& what) const { return telling_ ? telling_(what) : Progress{}; }

  Result<Done> originals() {
    std::error_code error;
    fs::create_directories(draft_.in("originals"), error);
    if (error) return Problem{{draft_.path(), {}, 0, {}}, error.message(), "a folder that can be made", ""};
    for (const auto& import : ground_.state.imports) {
      const Result<std::optional<std::string>> bytes = book_.store->file(import.value.hash);
      if (!bytes) return bytes.problem();
      if (!*bytes)
        return Problem{{import.value.file, {}, 0, {}},
                       "a file that the book does not hold",
                       "its bytes",
                       "Check the book with `strandbook book verify`."};
      const std::string path =
          fmt::format("originals/{:03}-{}", files_.size() + 1, safe_name(import.value.file));
      if (Result<Done> done = write_file(draft_.in(path), **bytes); !done) return done;
      files_.push_back({path, import.value.hash, import.value, import.time_ms});
    }
    return write_originals_csv(files_, draft_.in("originals.csv"));
  }

  Result<Done> reports() {
    const auto written =
        hand_over(ground_.work, wish_.report, draft_.path(), {},
                  [this](const std::string& path) { return told(fs::path(path).filename().string()); });
    if (!written) return written.problem();
    for (const char* papers : {"certificates", "labels"}) {
      const auto made =
          hand_over(ground_.work, wish_.report, draft_.path(), papers,
                    [this](const std::string& path) { return told(fs::path(path).filename().string()); });
      if (!made) return made.problem();
    }
    return write_file(draft_.in("assessment.schema.json"), assessment_schema());
  }

  Result<Done> lists() {
    if (auto done = write_facts_csv(*book_.store, draft_.in("facts.csv")); !done) return done;
    if (auto done = write_findings_csv(ground_, draft_.in("findings.csv")); !done) return done;
    if (auto done = write_preflight_csv(ground_, items_, draft_.in("preflight.csv")); !done) return done;
    if (auto done = write_statements_csv(ground_, draft_.in("statements.csv")); !done) return done;
    return write_file(draft_.in("preflight.json"), preflight_json(ground_, items_) + "\n");
  }

  Result<Done> rules() {
    std::error_code error;
    fs::create_directories(draft_.in("rules"), error);
    const Result<std::vector<RuleText>> texts = rule_texts_of(ground_);
    if (!texts) return texts.problem();
    for (const RuleText& rule : *texts)
      if (Result<Done> done = write_file(draft_.in("rules/" + safe_name(rule.name) + ".json"), rule.text);
          !done)
        return done;
    return Done{};
  }

  Result<Done> book() {
    (void)told(package_book);
    const Result<Carried> carried = write_carry_file(*book_.store, {}, draft_.in(package_book));
    if (!carried) return carried.problem();
    return Done{};
  }

  Result<Done> page() {
    (void)told("index.html");
    const ReportOptions& report = wish_.report;
    PageWords words{.title = report.title,
                    .client = report.client,
                    .contractor = report.contractor,
                    .site = report.site,
                    .made = report.created,
                    .feet = report.length == LengthUnit::feet,
                    .language = report.language.tag,
                    .originals = {}};
    // A name that two files bear leads to neither.
    for (const PackedFile& file : files_) {
      const auto [at, fresh] = words.originals.try_emplace(file.import.file, file.path);
      if (!fresh) at->second.clear();
    }
    return write_package_page(ground_, items_, words, draft_.in("index.html"));
  }

  Result<std::string> manifest_of() const {
    const Result<std::vector<std::string>> files = files_below(draft_.path());
    if (!files) return files.problem();
    std::vector<ManifestLine> lines;
    lines.reserve(files->size());
    for (const std::string& file : *files) {
      const Result<Sha256> hash = hash_of_file(draft_.in(file));
      if (!hash) return hash.problem();
      lines.push_back({file, *hash});
    }
    return manifest_text(lines);
  }

  const OpenBook& book_;
  const HandoverGround& ground_;
  const PackageWish& wish_;
  const DraftFolder& draft_;
  const Telling& telling_;
  std::vector<PreflightItem> items_;
  std::vector<PackedFile> files_;
};

/// The results were judged first and the book was written last: both must be of the same moment.
Result<Done> unchanged_since(const OpenBook& book, const HandoverGround& ground) {
  const Result<std::int64_t> now = book.store->outside_version();
  if (!now) return now.problem();
  if (*now == ground.version) return Done{};
  return Problem{{book.store->place(), {}, 0, {}},
                 "somebody wrote into the book while the package was made",
                 "a book that rests meanwhile",
                 "Make the package again."};
}

Problem name_taken(const std::string& path) {
  return {{path, {}, 0, {}},
          "something of that name",
          "a name that is free",
          "A package that was made is never overwritten: choose another name."};
}

}  // namespace

Result<MadePackage> make_package(const OpenBook& book, const HandoverGround& ground, const PackageWish& wish,
                                 const Telling& telling) {
  const std::string folder = fs::path(wish.folder).lexically_normal().string();
  const std::string top = fs::path(folder).filename().string();
  const std::string zip = folder + ".zip";
  if (top.empty() || top == "." || top == "..")
    return Problem{{"--out", {}, 0, {}}, "\"" + wish.folder + "\"", "the name of a folder to make", ""};
  for (const std::string& path : {folder, zip}) {
    std::error_code error;
    const fs::file_status status = fs::symlink_status(path, error);
    if (fs::exists(status)) return name_taken(path);
    if (status.type() != fs::file_type::not_found)
      return Problem{{path, {}, 0, {}}, error.message(), "a folder that can be made", ""};
  }
  const Result<Signer> signer = signer_for(book, wish);
  if (!signer) return signer.problem();
  DraftFolder draft(folder);
  PackageWriter writer(book, ground, wish, draft, telling);
  if (const Result<Done> done = writer.write_parts(); !done) return done.problem();
  Result<MadePackage> made = writer.seal_it(*signer);
  if (!made) return made;
  if (const Result<Done> still = unchanged_since(book, ground); !still) return still.problem();
  const Progress zipping = telling ? telling(top + ".zip") : Progress{};
  const std::string draft_zip = draft.path() + ".zip";
  const Result<Done> zipped = zip_folder(draft.path(), top, wish.report.created, draft_zip, zipping);
  if (!zipped) return zipped.problem();
  const Result<Done> kept = draft.keep();
  const Result<Placed> placed = kept ? place_file(draft_zip, zip) : Result<Placed>{kept.problem()};
  if (!placed || *placed == Placed::name_taken) {
    std::error_code ignored;
    fs::remove(draft_zip, ignored);
    return placed ? name_taken(zip) : placed.problem();
  }
  made->folder = folder;
  made->zip = zip;
  return made;
}

}  // namespace strandbook
