// A picture is read through before it reaches a page: what cannot be decoded whole is refused.

#include <cairo.h>
#include <fmt/format.h>
#include <jpeglib.h>

#include <algorithm>
#include <csetjmp>
#include <cstdio>  // jpeglib.h needs it first
#include <cstring>
#include <memory>

#include "edge/report/report.hpp"

namespace strandbook {
namespace {

constexpr std::size_t most_picture_bytes = 4'000'000;
constexpr int most_picture_side = 4000;
constexpr std::string_view png_start = "\x89PNG\r\n\x1a\n";
constexpr std::string_view jpeg_start = "\xFF\xD8\xFF";

struct PictureSize {
  int width = 0;
  int height = 0;
};

Problem refused_picture(const std::string& name, std::string found) {
  return {{name, {}, 0, {}},
          std::move(found),
          fmt::format("a whole PNG or JPEG picture of at most {} MB and {} by {} pixels",
                      most_picture_bytes / 1'000'000, most_picture_side, most_picture_side),
          "Save the picture anew as PNG or JPEG, smaller where need be."};
}

cairo_status_t take(void* rest, unsigned char* into, unsigned length) {
  auto& bytes = *static_cast<std::string_view*>(rest);
  if (bytes.size() < length) return CAIRO_STATUS_READ_ERROR;
  std::memcpy(into, bytes.data(), length);
  bytes.remove_prefix(length);
  return CAIRO_STATUS_SUCCESS;
}

/// Nothing where the picture cannot be decoded to its last row.
PictureSize size_of_png(std::string_view bytes) {
  cairo_surface_t* surface = cairo_image_surface_create_from_png_stream(take, &bytes);
  PictureSize size;
  if (cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS)
    size = {cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface)};
  cairo_surface_destroy(surface);
  return size;
}

/// Width and height as a PNG's header tells them, before any pixel is decoded: a picture may claim gigabytes.
PictureSize claimed_by_png(std::string_view bytes) {
  if (bytes.size() < 24) return {};
  const auto number = [&](std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) value = value << 8U | static_cast<unsigned char>(bytes[at + i]);
    return static_cast<int>(std::min<std::uint32_t>(value, 1'000'000));
  };
  return {number(16), number(20)};
}

/// libjpeg leaves through longjmp; nothing with a destructor may live between.
struct JpegTrouble {
  jpeg_error_mgr base;
  std::jmp_buf back;
};

[[noreturn]] void leave(j_common_ptr info) {
  std::longjmp(reinterpret_cast<JpegTrouble*>(info->err)->back, 1);  // NOLINT: the library's own form
}

void stay_silent(j_common_ptr) {}

/// As above. Warnings count as damage: a cut-off file decodes to grey with a warning only.
PictureSize size_of_jpeg(const unsigned char* bytes, std::size_t length, unsigned char* row) {
  jpeg_decompress_struct info{};
  JpegTrouble trouble{};
  info.err = jpeg_std_error(&trouble.base);
  trouble.base.error_exit = leave;
  trouble.base.output_message = stay_silent;
  if (setjmp(trouble.back) != 0) {  // NOLINT: the library's own form
    jpeg_destroy_decompress(&info);
    return {};
  }
  jpeg_create_decompress(&info);
  jpeg_mem_src(&info, bytes, length);
  (void)jpeg_read_header(&info, TRUE);
  const PictureSize size{static_cast<int>(info.image_width), static_cast<int>(info.image_height)};
  if (size.width > most_picture_side || size.height > most_picture_side) {
    jpeg_destroy_decompress(&info);
    return size;
  }
  (void)jpeg_start_decompress(&info);
  while (info.output_scanline < info.output_height) (void)jpeg_read_scanlines(&info, &row, 1);
  (void)jpeg_finish_decompress(&info);
  const bool whole = trouble.base.num_warnings == 0;
  // A page takes grey and colour; four inks would need a profile that is not there.
  const bool usable = info.num_components == 1 || info.num_components == 3;
  jpeg_destroy_decompress(&info);
  return whole && usable ? size : PictureSize{};
}

PictureSize size_of(const CoverPicture& picture) {
  if (picture.kind == CoverPicture::Kind::png) {
    const PictureSize claimed = claimed_by_png(picture.bytes);
    const bool too_large = claimed.width > most_picture_side || claimed.height > most_picture_side;
    return too_large ? claimed : size_of_png(picture.bytes);
  }
  std::string row(4 * static_cast<std::size_t>(most_picture_side), '\0');
  return size_of_jpeg(reinterpret_cast<const unsigned char*>(picture.bytes.data()),         // NOLINT: bytes
                      picture.bytes.size(), reinterpret_cast<unsigned char*>(row.data()));  // NOLINT: bytes
}

}  // namespace

Result<CoverPicture> cover_picture(std::string bytes, const std::string& name) {
  if (bytes.empty()) return refused_picture(name, "an empty file");
  if (bytes.size() > most_picture_bytes) return refused_picture(name, fmt::format("{} bytes", bytes.size()));
  CoverPicture picture;
  if (bytes.starts_with(png_start)) {
    picture.kind = CoverPicture::Kind::png;
  } else if (bytes.starts_with(jpeg_start)) {
    picture.kind = CoverPicture::Kind::jpeg;
  } else {
    return refused_picture(name, "a file that is neither PNG nor JPEG");
  }
  picture.bytes = std::move(bytes);
  const PictureSize size = size_of(picture);
  if (size.width > most_picture_side || size.height > most_picture_side)
    return refused_picture(name, fmt::format("{} by {} pixels", size.width, size.height));
  if (size.width < 1 || size.height < 1) return refused_picture(name, "a picture that is broken or cut off");
  picture.width = size.width;
  picture.height = size.height;
  return picture;
}

}  // namespace strandbook
