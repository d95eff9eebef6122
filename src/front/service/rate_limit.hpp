#pragma once
// How many requests one caller may make: a bucket that fills at a steady rate.

#include <chrono>
#include <functional>
#include <map>
#include <mutex>
#include <string>

namespace strandbook {

class RateLimit {
 public:
  using Clock = std::function<std::chrono::steady_clock::time_point()>;
  /// `burst` requests at once, then `each_second`.
  RateLimit(double burst, double each_second, Clock clock)
      : burst_(burst), each_second_(each_second), clock_(std::move(clock)) {}

  /// False where the caller must wait.
  bool allows(const std::string& caller);

 private:
  struct Bucket {
    double left = 0;
    std::chrono::steady_clock::time_point filled;
  };
  void forget_full_buckets(std::chrono::steady_clock::time_point now);
  double refilled(const Bucket& bucket, std::chrono::steady_clock::time_point now) const;

  double burst_;
  double each_second_;
  Clock clock_;
  std::mutex mutex_;
  std::map<std::string, Bucket> buckets_;
};

}  // namespace strandbook
