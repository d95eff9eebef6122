#include "edge/book/device.hpp"

#include <openssl/rand.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>

#include "edge/book/placing.hpp"

namespace strandbook {
namespace {

constexpr std::string_view first_line = "strandbook device 1";

/// Random bits drawn from the library a page at a time: a call for each fact would be slow.
class BufferedRandom {
 public:
  std::uint64_t operator()() {
    if (next_ == words_.size()) refill();
    return words_[next_++];
  }

 private:
  void refill() {
    if (RAND_bytes(reinterpret_cast<unsigned char*>(words_.data()), sizeof words_) != 1)
      std::abort();  // ids that may repeat would break the book
    next_ = 0;
  }
  std::array<std::uint64_t, 512> words_{};
  std::size_t next_ = words_.size();
};

std::int64_t machine_now_ms() {
  using namespace std::chrono;
  return duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
}

Problem not_a_device_file(const std::string& path) {
  return {{path, {}, 0, {}},
          "content that is no device file",
          "the lines \"strandbook device 1\" and a UUID",
          "If it is damaged, move it away: a new device begins a chain of its own, and nothing is lost."};
}

Result<Device> read_device(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) return file_problem(path, errno, "a device file that can be read");
  std::string line;
  std::string id_text;
  std::getline(file, line);
  std::getline(file, id_text);
  const std::optional<Uuid> id = parse_uuid(id_text);
  if (line != first_line || !id) return not_a_device_file(path);
  return Device{*id, nullptr};
}

Result<Done> write_whole(const std::string& path, const std::string& text) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "wb"), &std::fclose);
  if (!file) return file_problem(path, errno, "a place that can be written to");
  const bool written = std::fwrite(text.data(), 1, text.size(), file.get()) == text.size() &&
                       std::fflush(file.get()) == 0 && ::fsync(::fileno(file.get())) == 0;
  if (written) return Done{};
  const int error = errno;
  (void)::unlink(path.c_str());
  return file_problem(path, error, "a place that can be written to");
}

Result<Device> create_device(const std::string& path, const Surroundings& surroundings) {
  std::error_code error;
  const std::filesystem::path folder = std::filesystem::path(path).parent_path();
  if (!folder.empty()) std::filesystem::create_directories(folder, error);
  if (error) return file_problem(path, error.value(), "a folder for the device file");
  const Device device{random_uuid(surroundings.random), nullptr};
  const std::string temporary = path + ".part" + std::to_string(::getpid());
  const Result<Done> written =
      write_whole(temporary, std::string(first_line) + "\n" + text_of(device.id) + "\n");
  if (!written) return written.problem();
  const Result<Placed> placed = place_file(temporary, path);
  if (!placed) return placed.problem();
  return *placed == Placed::fresh ? device : read_device(path);
}

}  // namespace

Surroundings system_surroundings() {
  auto random = std::make_shared<BufferedRandom>();
  return {machine_now_ms, [random] { return (*random)(); }};
}

Device in_book(const Device& device, const Uuid& book) {
  const Sha256 hash = sha256("strandbook chain 1\n" + text_of(device.id) + "\n" + text_of(book) + "\n");
  Device author = device;
  std::copy_n(hash.bytes.begin(), author.id.bytes.size(), author.id.bytes.begin());
  author.id.bytes[6] =
      static_cast<std::uint8_t>((author.id.bytes[6] & 0x0fU) | 0x80U);  // version 8 (RFC 9562)
  author.id.bytes[8] = static_cast<std::uint8_t>((author.id.bytes[8] & 0x3fU) | 0x80U);
  return author;
}

Result<Device> load_or_create_device(const std::string& path, const Surroundings& surroundings) {
  std::error_code error;
  const bool there = std::filesystem::exists(path, error);
  if (error) return file_problem(path, error.value(), "a device file");
  Result<Device> device = there ? read_device(path) : create_device(path, surroundings);
  if (!device) return device;
  Result<std::shared_ptr<const DeviceKey>> key = DeviceKey::load_or_create(path + ".key");
  if (!key) return key.problem();
  device->key = std::move(*key);
  return device;
}

}  // namespace strandbook
