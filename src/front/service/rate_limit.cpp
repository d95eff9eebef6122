#include "front/service/rate_limit.hpp"

#include <algorithm>

namespace strandbook {

double RateLimit::refilled(const Bucket& bucket, std::chrono::steady_clock::time_point now) const {
  const std::chrono::duration<double> passed = now - bucket.filled;
  return std::min(burst_, bucket.left + passed.count() * each_second_);
}

void RateLimit::forget_full_buckets(std::chrono::steady_clock::time_point now) {
  std::erase_if(buckets_, [&](const auto& each) { return refilled(each.second, now) >= burst_; });
}

bool RateLimit::allows(const std::string& caller) {
  constexpr std::size_t many = 1000;
  const auto now = clock_();
  const std::lock_guard lock(mutex_);
  if (buckets_.size() >= many) forget_full_buckets(now);
  Bucket& bucket = buckets_.try_emplace(caller, Bucket{burst_, now}).first->second;
  bucket.left = refilled(bucket, now);
  bucket.filled = now;
  if (bucket.left < 1) return false;
  bucket.left -= 1;
  return true;
}

}  // namespace strandbook
