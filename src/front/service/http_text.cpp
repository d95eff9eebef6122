#include "front/service/http_text.hpp"

#include <zlib.h>

#include <algorithm>

#include "edge/exchange/text_encoding.hpp"

namespace strandbook {
namespace {

constexpr std::size_t worth_compressing = 16UL * 1024;

int digit_of(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

std::string with_blanks(std::string_view text) {
  std::string out(text);
  std::replace(out.begin(), out.end(), '+', ' ');
  return out;
}

std::vector<std::string> parts_of(std::string_view text, char between) {
  std::vector<std::string> parts;
  while (true) {
    const std::size_t at = text.find(between);
    parts.emplace_back(text.substr(0, at));
    if (at == std::string_view::npos) return parts;
    text.remove_prefix(at + 1);
  }
}

std::shared_ptr<const std::string> gzip(const std::string& text) {
  z_stream stream{};
  constexpr int gzip_window = 15 + 16;
  if (deflateInit2(&stream, 1, Z_DEFLATED, gzip_window, 8, Z_DEFAULT_STRATEGY) != Z_OK) return nullptr;
  std::string out(deflateBound(&stream, text.size()), '\0');
  stream.next_in = const_cast<Bytef*>(reinterpret_cast<const Bytef*>(text.data()));
  stream.avail_in = static_cast<uInt>(text.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const bool done = deflate(&stream, Z_FINISH) == Z_STREAM_END;
  out.resize(stream.total_out);
  deflateEnd(&stream);
  return done ? std::make_shared<const std::string>(std::move(out)) : nullptr;
}

}  // namespace

std::string_view Request::header(const std::string& name) const {
  const auto at = headers.find(name);
  return at == headers.end() ? std::string_view{} : std::string_view(at->second);
}

std::optional<std::string> percent_decoded(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    if (i + 2 >= text.size()) return std::nullopt;
    const int high = digit_of(text[i + 1]);
    const int low = digit_of(text[i + 2]);
    if (high < 0 || low < 0) return std::nullopt;
    out += static_cast<char>(high * 16 + low);
    i += 2;
  }
  return out;
}

std::map<std::string, std::string> form_fields(std::string_view text) {
  std::map<std::string, std::string> fields;
  if (text.empty()) return fields;
  for (const std::string& pair : parts_of(text, '&')) {
    const std::size_t sign = std::min(pair.find('='), pair.size());
    const auto name = percent_decoded(with_blanks(pair.substr(0, sign)));
    const auto value = percent_decoded(with_blanks(sign < pair.size() ? pair.substr(sign + 1) : ""));
    if (name && value && !name->empty()) fields[*name] = *value;
  }
  return fields;
}

std::string with_valid_utf8(std::string text) {
  constexpr const char* replacement = "\xEF\xBF\xBD";
  for (std::size_t at = 0; (at = first_invalid_utf8(text)) != std::string::npos;)
    text.replace(at, 1, replacement);
  return text;
}

void take_target(Request& request, std::string_view target) {
  const std::size_t mark = target.find('?');
  request.path = with_valid_utf8(std::string(target.substr(0, mark)));
  if (mark != std::string_view::npos) request.query = form_fields(target.substr(mark + 1));
  for (auto& [name, value] : request.query) value = with_valid_utf8(std::move(value));
  request.segments.clear();
  if (request.path.empty() || request.path.front() != '/') return;
  for (const std::string& part : parts_of(std::string_view(request.path).substr(1), '/')) {
    auto decoded = percent_decoded(part);
    const bool is_text = decoded && decoded->find('\0') == std::string::npos &&
                         first_invalid_utf8(*decoded) == std::string::npos;
    if (!is_text) {
      request.segments.clear();
      return;
    }
    request.segments.push_back(std::move(*decoded));
  }
}

std::string cookie_of(const Request& request, std::string_view name) {
  for (const std::string& pair : parts_of(request.header("cookie"), ';')) {
    const std::size_t start = std::min(pair.find_first_not_of(' '), pair.size());
    const std::size_t sign = pair.find('=', start);
    if (sign != std::string::npos && std::string_view(pair).substr(start, sign - start) == name)
      return pair.substr(sign + 1);
  }
  return {};
}

bool accepts_gzip(const Request& request) {
  const std::string_view accepted = request.header("accept-encoding");
  const std::size_t at = accepted.find("gzip");
  return at != std::string_view::npos && accepted.substr(at, 8) != "gzip;q=0";
}

void compress(const Request& request, Response& response) {
  if (response.body->size() < worth_compressing || !accepts_gzip(request)) return;
  const auto encoded = [](const auto& header) { return header.first == "Content-Encoding"; };
  if (std::any_of(response.headers.begin(), response.headers.end(), encoded)) return;
  if (response.type != "application/json" && !response.type.starts_with("text/")) return;
  if (auto smaller = gzip(*response.body)) {
    response.body = std::move(smaller);
    response.headers.emplace_back("Content-Encoding", "gzip");
    response.headers.emplace_back("Vary", "Accept-Encoding");
  }
}

}  // namespace strandbook
