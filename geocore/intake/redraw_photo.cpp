#include "geocore/intake/redraw_photo.hpp"

#include <cpl_conv.h>
#include <fmt/format.h>
#include <gdal_priv.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/gdal_quiet.hpp"
#include "geocore/intake/photo_file.hpp"

namespace nestround::intake {

namespace {

struct Close {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
using Dataset = std::unique_ptr<GDALDataset, Close>;

[[noreturn]] void refuse()
{
    throw Failure{ErrorCode::InvalidInput, "this photo cannot be opened; it is damaged"};
}

/// A name in GDAL's memory that nobody else has.
class MemoryFile {
public:
    MemoryFile() : name_{fmt::format("/vsimem/nestround-photo-{}", static_cast<void*>(this))} {}
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    ~MemoryFile() { VSIUnlink(name_.c_str()); }

    [[nodiscard]] const char* name() const { return name_.c_str(); }

private:
    std::string name_;
};

/// Three bands of bytes, row by row.
struct Pixels {
    int width = 0;
    int height = 0;
    std::vector<std::uint8_t> bytes;

    Pixels(int wide, int high)
        : width{wide},
          height{high},
          bytes(std::size_t{3} * static_cast<std::size_t>(wide) * static_cast<std::size_t>(high))
    {
    }
    [[nodiscard]] std::uint8_t& at(int band, int x, int y)
    {
        return bytes[3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                          static_cast<std::size_t>(x)) +
                     static_cast<std::size_t>(band)];
    }
};

std::vector<std::uint8_t> read_band(GDALDataset& picture, int band, int width, int height,
                                    GDALRIOResampleAlg by)
{
    std::vector<std::uint8_t> out(static_cast<std::size_t>(width) *
                                  static_cast<std::size_t>(height));
    GDALRasterIOExtraArg how;
    INIT_RASTERIO_EXTRA_ARG(how);
    how.eResampleAlg = by;
    if (picture.GetRasterBand(band)->RasterIO(GF_Read, 0, 0, picture.GetRasterXSize(),
                                              picture.GetRasterYSize(), out.data(), width, height,
                                              GDT_Byte, 0, 0, &how) != CE_None) {
        refuse();
    }
    return out;
}

/// Colours as they are seen on white paper.
Pixels read_pixels(GDALDataset& picture, int most)
{
    const int from_width = picture.GetRasterXSize();
    const int from_height = picture.GetRasterYSize();
    const double scale = std::min(1.0, double(most) / std::max(from_width, from_height));
    Pixels out{std::max(1, static_cast<int>(std::lround(from_width * scale))),
               std::max(1, static_cast<int>(std::lround(from_height * scale)))};
    const int bands = picture.GetRasterCount();
    const auto* palette = picture.GetRasterBand(1)->GetColorTable();
    const bool has_alpha = palette == nullptr && (bands == 2 || bands == 4);
    const auto by = palette == nullptr && scale < 1 ? GRIORA_Average : GRIORA_NearestNeighbour;
    std::vector<std::uint8_t> alpha;
    if (has_alpha) {
        alpha = read_band(picture, bands, out.width, out.height, by);
    }
    for (int band = 0; band < 3; ++band) {
        const auto values =
            read_band(picture, bands >= 3 ? band + 1 : 1, out.width, out.height, by);
        for (std::size_t i = 0; i < values.size(); ++i) {
            int value = values[i];
            int cover = has_alpha ? alpha[i] : 255;
            if (palette != nullptr) {
                const auto* entry = palette->GetColorEntry(value);
                static constexpr GDALColorEntry kWhite{255, 255, 255, 255};
                const auto& colour = entry == nullptr ? kWhite : *entry;
                value = band == 0 ? colour.c1 : band == 1 ? colour.c2 : colour.c3;
                cover = colour.c4;
            }
            out.bytes[3 * i + static_cast<std::size_t>(band)] =
                static_cast<std::uint8_t>((value * cover + 255 * (255 - cover) + 127) / 255);
        }
    }
    return out;
}

/// Exif's turns: 2 and 4 mirror, 3 turns by half, 5 to 8 change width and height.
Pixels upright(Pixels picture, int turn)
{
    if (turn <= 1 || turn > 8) {
        return picture;
    }
    const bool is_on_its_side = turn >= 5;
    Pixels out{is_on_its_side ? picture.height : picture.width,
               is_on_its_side ? picture.width : picture.height};
    for (int y = 0; y < out.height; ++y) {
        for (int x = 0; x < out.width; ++x) {
            const int right = picture.width - 1;
            const int bottom = picture.height - 1;
            const std::array<std::array<int, 2>, 9> from{{{x, y},
                                                          {x, y},
                                                          {right - x, y},
                                                          {right - x, bottom - y},
                                                          {x, bottom - y},
                                                          {y, x},
                                                          {y, bottom - x},
                                                          {right - y, bottom - x},
                                                          {right - y, x}}};
            const auto [fx, fy] = from[static_cast<std::size_t>(turn)];
            for (int band = 0; band < 3; ++band) {
                out.at(band, x, y) = picture.at(band, fx, fy);
            }
        }
    }
    return out;
}

std::vector<std::uint8_t> as_jpeg(const Pixels& picture)
{
    auto* memory = GetGDALDriverManager()->GetDriverByName("MEM");
    auto* jpeg = GetGDALDriverManager()->GetDriverByName("JPEG");
    if (memory == nullptr || jpeg == nullptr) {
        throw Failure{ErrorCode::Internal, "this GDAL cannot write JPEG"};
    }
    const Dataset drawn{memory->Create("", picture.width, picture.height, 3, GDT_Byte, nullptr)};
    if (!drawn || drawn->RasterIO(GF_Write, 0, 0, picture.width, picture.height,
                                  const_cast<std::uint8_t*>(picture.bytes.data()),  // NOLINT
                                  picture.width, picture.height, GDT_Byte, 3, nullptr, 3,
                                  GSpacing{3} * picture.width, 1, nullptr) != CE_None) {
        refuse();
    }
    const MemoryFile file;
    CPLStringList options;
    options.SetNameValue("QUALITY", "88");
    options.SetNameValue("WRITE_EXIF_METADATA", "NO");
    const Dataset written{
        jpeg->CreateCopy(file.name(), drawn.get(), FALSE, options.List(), nullptr, nullptr)};
    if (!written) {
        refuse();
    }
    written->FlushCache();
    vsi_l_offset size = 0;
    const GByte* data = VSIGetMemFileBuffer(file.name(), &size, FALSE);
    if (data == nullptr) {
        refuse();
    }
    return {data, data + size};
}

}  // namespace

RedrawnPhoto redraw_photo(std::span<const std::uint8_t> bytes, int most)
{
    const auto facts = read_photo(bytes);
    if (!facts) {
        throw Failure{facts.error()};
    }
    const GdalQuiet quiet;
    GDALAllRegister();
    const MemoryFile file;
    VSIFCloseL(VSIFileFromMemBuffer(file.name(),
                                    const_cast<GByte*>(bytes.data()),  // NOLINT: only read
                                    bytes.size(), FALSE));
    const std::array<const char*, 4> drivers{"JPEG", "PNG", "WEBP", nullptr};
    const Dataset opened{GDALDataset::Open(file.name(), GDAL_OF_RASTER | GDAL_OF_READONLY,
                                           drivers.data(), nullptr, nullptr)};
    if (!opened || opened->GetRasterCount() < 1) {
        refuse();
    }
    const auto picture = upright(read_pixels(*opened, most), facts->turn);
    return {as_jpeg(picture), picture.width, picture.height};
}

}  // namespace nestround::intake
