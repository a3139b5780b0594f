#include "vision/heif.hpp"

#include <libheif/heif.h>

#include <memory>
#include <opencv2/imgproc.hpp>

#include "vision/picture_exif.hpp"

namespace spile::vision {
namespace {

struct Release {
  void operator()(heif_context* p) const { heif_context_free(p); }
  void operator()(heif_image_handle* p) const { heif_image_handle_release(p); }
  void operator()(heif_image* p) const { heif_image_release(p); }
};
template <class T>
using Held = std::unique_ptr<T, Release>;

struct Opened {
  Held<heif_context> context;
  Held<heif_image_handle> handle;
};

std::optional<Opened> open(Bytes bytes) {
  Opened opened{Held<heif_context>(heif_context_alloc()), nullptr};
  if (heif_context_read_from_memory_without_copy(opened.context.get(), bytes.data(), bytes.size(), nullptr)
          .code != heif_error_Ok) {
    return std::nullopt;
  }
  heif_image_handle* handle = nullptr;
  if (heif_context_get_primary_image_handle(opened.context.get(), &handle).code != heif_error_Ok) {
    return std::nullopt;
  }
  opened.handle.reset(handle);
  return opened;
}

// The block starts with a 4-byte offset to the TIFF header (ISO/IEC 23008-12, A.2.1).
void read_exif(const heif_image_handle* handle, PictureInfo& info) {
  heif_item_id id = 0;
  if (heif_image_handle_get_list_of_metadata_block_IDs(handle, "Exif", &id, 1) < 1) return;
  std::vector<std::uint8_t> block(heif_image_handle_get_metadata_size(handle, id));
  if (block.size() < 8 || heif_image_handle_get_metadata(handle, id, block.data()).code != heif_error_Ok)
    return;
  const std::size_t offset =
      4u + (static_cast<std::size_t>(block[0]) << 24 | static_cast<std::size_t>(block[1]) << 16 |
            static_cast<std::size_t>(block[2]) << 8 | block[3]);
  if (offset < block.size()) read_exif_block(Bytes(block).subspan(offset), info);
}

}  // namespace

std::optional<PictureInfo> read_heif_header(Bytes bytes) {
  const auto opened = open(bytes);
  if (!opened) return std::nullopt;
  PictureInfo info;
  read_exif(opened->handle.get(), info);
  info.exif_orientation = 1;
  info.width_px = heif_image_handle_get_width(opened->handle.get());
  info.height_px = heif_image_handle_get_height(opened->handle.get());
  if (info.width_px <= 0 || info.height_px <= 0) return std::nullopt;
  return info;
}

cv::Mat decode_heif(Bytes bytes) {
  const auto opened = open(bytes);
  if (!opened) return {};
  heif_image* raw = nullptr;
  if (heif_decode_image(opened->handle.get(), &raw, heif_colorspace_RGB, heif_chroma_interleaved_RGB, nullptr)
          .code != heif_error_Ok) {
    return {};
  }
  const Held<heif_image> image(raw);
  int stride = 0;
  std::uint8_t* plane = heif_image_get_plane(raw, heif_channel_interleaved, &stride);
  if (plane == nullptr) return {};
  const cv::Mat rgb(heif_image_get_height(raw, heif_channel_interleaved),
                    heif_image_get_width(raw, heif_channel_interleaved), CV_8UC3, plane,
                    static_cast<std::size_t>(stride));
  cv::Mat bgr;
  cv::cvtColor(rgb, bgr, cv::COLOR_RGB2BGR);
  return bgr;
}

}  // namespace spile::vision
