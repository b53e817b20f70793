#include "geocore/intake/photo_file.hpp"

#include <string>

#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

Result<intake::PhotoFacts> read(const std::string& bytes)
{
    return intake::read_photo(
        {reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});  // NOLINT
}

std::string webp(const std::string& chunk) { return std::string{"RIFF\x40\0\0\0WEBP", 12} + chunk; }

}  // namespace

TEST_CASE("PhotoFile, TellsFormAndSizeOfEachKind")
{
    const auto png =
        read(std::string{"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\x02\x80\0\0\x01\xe0\x08\x02"
                         "\0\0\0\0\0\0\0\0\0\0\0IEND\0\0\0\0",
                         45});
    REQUIRE(png);
    CHECK(png->content_type == "image/png");
    CHECK(png->width == 640);
    CHECK(png->height == 480);
    CHECK_FALSE(png->place);

    // RFC 9649: VP8X has width and height less one, 24 bits each, lowest byte first.
    const auto extended = read(webp(std::string{"VP8X\x0a\0\0\0\0\0\0\0\x7f\x02\0\xdf\x01\0", 18}));
    REQUIRE(extended);
    CHECK(extended->content_type == "image/webp");
    CHECK(extended->width == 640);
    CHECK(extended->height == 480);
    // VP8L: 14 bits each, less one, after the byte 2f: 640 is 27f, 480 is 1df.
    const auto lossless = read(webp(std::string{"VP8L\x05\0\0\0\x2f\x7f\xc2\x77\0\0", 14}));
    REQUIRE(lossless);
    CHECK(lossless->width == 640);
    CHECK(lossless->height == 480);
}

TEST_CASE("PhotoFile, RefusesOthersAndThoseThatBreakOff")
{
    for (const std::string& bytes :
         {std::string{}, std::string{"\xFF\xD8\xFF", 3}, std::string{"\xFF\xD8\xFF\xD9", 4},
          std::string{"\x89PNG\r\n\x1a\n"}, webp(""), webp(std::string{"VP8X\xff\xff\xff\xff", 8}),
          std::string{"<?xml version='1.0'?><svg/>"}, std::string{"%PDF-1.7"}}) {
        const auto facts = read(bytes);
        REQUIRE_FALSE(facts);
        CHECK(facts.error().code == ErrorCode::InvalidInput);
    }
    // A width of nothing, and one beyond what a photo has.
    std::string png{
        "\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\0\0\0\x01\xe0\x08\x02\0\0\0\0\0\0\0\0\0\0\0IEND"
        "\0\0\0\0",
        45};
    CHECK_FALSE(read(png));
    png[17] = 1;
    CHECK_FALSE(read(png));
}
