// Picture files made on the spot: encoded by OpenCV, their EXIF written by exiv2.
#pragma once

#include <cstdint>
#include <exiv2/exiv2.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

namespace spile::vision::testing {

using FileBytes = std::vector<std::uint8_t>;

inline FileBytes encoded(const cv::Mat& picture, const std::string& extension, int jpeg_quality = 92) {
  FileBytes bytes;
  cv::imencode(extension, picture, bytes, {cv::IMWRITE_JPEG_QUALITY, jpeg_quality});
  return bytes;
}

inline FileBytes with_exif(const FileBytes& bytes, const Exiv2::ExifData& exif) {
  auto image = Exiv2::ImageFactory::open(bytes.data(), static_cast<long>(bytes.size()));
  image->readMetadata();
  Exiv2::ExifData merged = image->exifData();
  for (const auto& datum : exif) merged[datum.key()] = datum.value();
  image->setExifData(merged);
  image->writeMetadata();
  Exiv2::BasicIo& io = image->io();
  io.open();
  const Exiv2::DataBuf buffer = io.read(static_cast<long>(io.size()));
  return FileBytes(buffer.pData_, buffer.pData_ + buffer.size_);
}

inline FileBytes with_orientation(const FileBytes& bytes, int orientation) {
  Exiv2::ExifData exif;
  exif["Exif.Image.Orientation"] = static_cast<std::uint16_t>(orientation);
  return with_exif(bytes, exif);
}

// The raster a camera would store so that, shown by `orientation`, `upright` appears: the inverse of the
// table in EXIF 2.32, tag 0x0112 (0th row and 0th column as stored -> visual top/left).
inline cv::Mat stored_for(const cv::Mat& upright, int orientation) {
  cv::Mat out;
  switch (orientation) {
    case 2:
      cv::flip(upright, out, 1);
      return out;
    case 3:
      cv::rotate(upright, out, cv::ROTATE_180);
      return out;
    case 4:
      cv::flip(upright, out, 0);
      return out;
    case 5:
      cv::transpose(upright, out);
      return out;
    case 6:  // shown turned 90 degrees clockwise
      cv::rotate(upright, out, cv::ROTATE_90_COUNTERCLOCKWISE);
      return out;
    case 7:
      cv::rotate(upright, out, cv::ROTATE_180);
      cv::transpose(out, out);
      return out;
    case 8:
      cv::rotate(upright, out, cv::ROTATE_90_CLOCKWISE);
      return out;
    default:
      return upright.clone();
  }
}

}  // namespace spile::vision::testing
