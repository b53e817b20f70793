#include "geocore/intake/redraw_photo.hpp"

#include <cpl_vsi.h>
#include <gdal_priv.h>

#include <algorithm>
#include <array>
#include <memory>
#include <string>

#include "geocore/base/error.hpp"
#include "geocore/intake/photo_file.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

using Bytes = std::vector<std::uint8_t>;
using Colour = std::array<int, 3>;

struct Close {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
using Dataset = std::unique_ptr<GDALDataset, Close>;

/// 64 by 32 pixels: red at the top left, green at the top right, blue below left, white below
/// right.
Bytes four_colours(const char* driver, const char* name, bool see_through = false)
{
    GDALAllRegister();
    constexpr int kWide = 64;
    constexpr int kHigh = 32;
    const int bands = see_through ? 4 : 3;
    const Dataset drawn{GetGDALDriverManager()->GetDriverByName("MEM")->Create(
        "", kWide, kHigh, bands, GDT_Byte, nullptr)};
    for (int band = 0; band < bands; ++band) {
        std::vector<GByte> values(kWide * kHigh);
        for (int y = 0; y < kHigh; ++y) {
            for (int x = 0; x < kWide; ++x) {
                const bool right = x >= kWide / 2;
                const bool below = y >= kHigh / 2;
                const Colour colour = !below ? (right ? Colour{0, 255, 0} : Colour{255, 0, 0})
                                             : (right ? Colour{255, 255, 255} : Colour{0, 0, 255});
                values[static_cast<std::size_t>(y * kWide + x)] = static_cast<GByte>(
                    band < 3 ? colour[static_cast<std::size_t>(band)] : (below ? 0 : 255));
            }
        }
        REQUIRE(drawn->GetRasterBand(band + 1)->RasterIO(GF_Write, 0, 0, kWide, kHigh,
                                                         values.data(), kWide, kHigh, GDT_Byte, 0,
                                                         0) == CE_None);
    }
    if (see_through) {
        drawn->GetRasterBand(4)->SetColorInterpretation(GCI_AlphaBand);
    }
    const std::string path = std::string{"/vsimem/"} + name;
    CPLStringList options;
    options.SetNameValue("QUALITY", "95");
    Dataset{GetGDALDriverManager()->GetDriverByName(driver)->CreateCopy(
        path.c_str(), drawn.get(), FALSE, std::string{driver} == "PNG" ? nullptr : options.List(),
        nullptr, nullptr)};
    vsi_l_offset size = 0;
    const GByte* data = VSIGetMemFileBuffer(path.c_str(), &size, FALSE);
    REQUIRE(data != nullptr);
    Bytes out{data, data + size};
    VSIUnlink(path.c_str());
    return out;
}

/// The JPEG with an Exif segment that holds a turn and words, and with a comment.
Bytes with_exif(const Bytes& jpeg, int turn)
{
    std::string exif{"Exif\0\0MM\0*\0\0\0\x08\0\x02", 16};
    exif += std::string{"\x01\x12\0\x03\0\0\0\x01\0", 9} + static_cast<char>(turn) +
            std::string{"\0\0", 2};
    exif += std::string{"\x01\x0e\0\x02\0\0\0\x14\0\0\0\x26\0\0\0\0", 16} + "Zorbengast 47.1234567";
    const auto segment = [](char mark, const std::string& body) {
        const std::size_t length = body.size() + 2;
        return std::string{'\xff', mark, static_cast<char>(length >> 8U),
                           static_cast<char>(length & 0xffU)} +
               body;
    };
    const std::string added = segment('\xe1', exif) + segment('\xfe', "Quillmarsh Lane 77");
    Bytes out{jpeg.begin(), jpeg.begin() + 2};
    out.insert(out.end(), added.begin(), added.end());
    out.insert(out.end(), jpeg.begin() + 2, jpeg.end());
    return out;
}

/// Colour in the middle of the quarter of a picture.
Colour seen(const Bytes& jpeg, bool right, bool below)
{
    GDALAllRegister();
    Bytes bytes = jpeg;
    VSIFCloseL(VSIFileFromMemBuffer("/vsimem/seen.jpg", bytes.data(), bytes.size(), FALSE));
    Colour out{};
    {
        const Dataset picture{GDALDataset::Open("/vsimem/seen.jpg", GDAL_OF_RASTER)};
        REQUIRE(picture);
        for (int band = 0; band < 3; ++band) {
            GByte value = 0;
            REQUIRE(picture->GetRasterBand(band + 1)->RasterIO(
                        GF_Read, picture->GetRasterXSize() * (right ? 3 : 1) / 4,
                        picture->GetRasterYSize() * (below ? 3 : 1) / 4, 1, 1, &value, 1, 1,
                        GDT_Byte, 0, 0) == CE_None);
            out[static_cast<std::size_t>(band)] = value;
        }
    }
    VSIUnlink("/vsimem/seen.jpg");
    return out;
}

/// r, g, b, or w.
char name_of(const Colour& colour)
{
    const bool r = colour[0] > 128;
    const bool g = colour[1] > 128;
    const bool b = colour[2] > 128;
    return r && g && b ? 'w' : r ? 'r' : g ? 'g' : b ? 'b' : 'k';
}

std::string corners(const Bytes& jpeg)
{
    std::string out;
    for (const bool below : {false, true}) {
        for (const bool right : {false, true}) {
            out += name_of(seen(jpeg, right, below));
        }
    }
    return out;
}

bool holds(const Bytes& bytes, const std::string& text)
{
    return std::search(bytes.begin(), bytes.end(), text.begin(), text.end()) != bytes.end();
}

}  // namespace

TEST_CASE("RedrawPhoto, NothingButWhatIsSeenIsLeft")
{
    const auto photo = with_exif(four_colours("JPEG", "a.jpg"), 1);
    REQUIRE(holds(photo, "Zorbengast"));
    const auto drawn = intake::redraw_photo(photo);
    CHECK(drawn.width == 64);
    CHECK(drawn.height == 32);
    CHECK(corners(drawn.jpeg) == "rgbw");
    for (const auto* secret : {"Zorbengast", "47.1234567", "Quillmarsh", "Exif"}) {
        CHECK_FALSE(holds(drawn.jpeg, secret));
    }
    CHECK(intake::redraw_photo(photo).jpeg == drawn.jpeg);
}

TEST_CASE("RedrawPhoto, StandsUprightInEveryTurnThatACameraNotes")
{
    // Exif 2.32, tag 0x0112: which side of what is seen row 0 and column 0 are.
    const std::array<const char*, 9> expected{"",     "rgbw", "grwb", "wbgr", "bwrg",
                                              "rbgw", "brwg", "wgbr", "gwrb"};
    for (int turn = 1; turn <= 8; ++turn) {
        INFO("turn " << turn);
        const auto photo = with_exif(four_colours("JPEG", "b.jpg"), turn);
        CHECK(intake::read_photo(photo)->turn == turn);
        const auto drawn = intake::redraw_photo(photo);
        CHECK(drawn.width == (turn >= 5 ? 32 : 64));
        CHECK(drawn.height == (turn >= 5 ? 64 : 32));
        CHECK(corners(drawn.jpeg) == expected[static_cast<std::size_t>(turn)]);
    }
    CHECK(intake::read_photo(with_exif(four_colours("JPEG", "b.jpg"), 77))->turn == 1);
}

TEST_CASE("RedrawPhoto, LargePicturesBecomeSmallerAndWhatIsTransparentWhite")
{
    const auto small = intake::redraw_photo(four_colours("JPEG", "c.jpg"), 32);
    CHECK(small.width == 32);
    CHECK(small.height == 16);
    CHECK(corners(small.jpeg) == "rgbw");
    CHECK(corners(intake::redraw_photo(four_colours("PNG", "d.png", true)).jpeg) == "rgww");
}

TEST_CASE("RedrawPhoto, ADamagedPictureIsRefused")
{
    auto photo = four_colours("PNG", "e.png");
    photo.resize(photo.size() / 2);
    CHECK_THROWS_AS(intake::redraw_photo(photo), Failure);
    CHECK_THROWS_AS(intake::redraw_photo(Bytes(100, 'x')), Failure);
}
