#include "geocore/intake/outline_file.hpp"

#include "geocore/base/error.hpp"
#include "geocore/intake/picture_size.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::intake;
using nestround::test::Folder;

namespace {

std::vector<PixelLine> outlines(const std::string& text, int width = 200, int height = 100)
{
    const Folder folder;
    return read_outlines(folder.write("outline", text), width, height);
}

std::string fault(const std::string& text)
{
    try {
        (void)outlines(text);
    } catch (const Failure& failure) {
        CHECK(failure.error().code == ErrorCode::InvalidInput);
        return failure.error().message;
    }
    return "no failure";
}

const PixelLine kTriangle{{10, 10}, {90, 10}, {50, 80}};

}  // namespace

TEST_CASE("OutlineFile, ReadsListsAndGeoJson")
{
    CHECK(outlines("[[10,10],[90,10],[50,80]]") == std::vector<PixelLine>{kTriangle});
    CHECK(outlines("[[[10,10],[90,10],[50,80]],[[10,10],[90,10],[50,80]]]").size() == 2);
    CHECK(outlines(R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},
        "geometry":{"type":"Polygon","coordinates":[[[10,10],[90,10],[50,80]]]}}]})") ==
          std::vector<PixelLine>{kTriangle});
    CHECK_THAT(
        fault(R"({"type":"Polygon","coordinates":[[[0,0],[9,0],[9,9]],[[1,1],[2,1],[2,2]]]})"),
        Catch::Contains("holes"));
    CHECK_THAT(fault(R"({"type":"Point","coordinates":[1,2]})"), Catch::Contains("Polygon"));
    CHECK_THAT(fault("[[1,2],[3"), Catch::Contains("JSON"));
    CHECK_THAT(fault(R"([["a","b"]])"), Catch::Contains("two numbers"));
}

TEST_CASE("OutlineFile, ReadsSvgInThePixelsOfThePicture")
{
    CHECK(
        outlines(
            R"(<svg xmlns="http://www.w3.org/2000/svg"><polygon points="10,10 90,10 50,80"/></svg>)") ==
        std::vector<PixelLine>{kTriangle});
    // A drawing at half the size of the picture.
    CHECK(outlines(R"(<svg viewBox="0 0 100 50"><polygon points="5 5 45 5 25 40"/></svg>)") ==
          std::vector<PixelLine>{kTriangle});
    CHECK(outlines(R"(<svg><path d="M10,10 h80 L 50 80 Z"/></svg>)") ==
          std::vector<PixelLine>{kTriangle});
    CHECK(outlines(R"(<svg><path d="m10,10 l80,0 -40,70 z m 0 0 1 1 2 0z"/></svg>)").size() == 2);
    CHECK_THAT(fault(R"(<svg><path d="M0,0 C1,1 2,2 3,3"/></svg>)"), Catch::Contains("bends"));
    CHECK_THAT(fault("<svg><g transform='scale(2)'><polygon points='0,0 1,0 1,1'/></g></svg>"),
               Catch::Contains("transform"));
    CHECK_THAT(fault("<svg><polygon"), Catch::Contains("no whole SVG"));
    CHECK_THAT(fault("<svg></svg>"), Catch::Contains("no outline"));
    CHECK_THAT(fault("hello"), Catch::Contains("neither"));
    CHECK_THROWS_AS(read_outlines("/nowhere.svg", 1, 1), Failure);
}

TEST_CASE("OutlineFile, ReadsTypedPoints")
{
    CHECK(typed_outline("10,10 90,10 50,80") == kTriangle);
    CHECK_THROWS_AS(typed_outline("10,10 90"), Failure);
    CHECK_THROWS_AS(typed_outline(""), Failure);
    CHECK_THROWS_AS(typed_outline("a,b"), Failure);
}

TEST_CASE("PictureSize, OpensThePicture")
{
    const Folder folder;
    // A netpbm picture of 3 by 2 pixels.
    CHECK(picture_size(folder.write("a.pgm", "P5\n3 2\n255\nabcdef")) == std::pair{3, 2});
    CHECK_THROWS_AS(picture_size(folder.write("b.jpg", "this is no picture")), Failure);
    CHECK_THROWS_AS(picture_size("/nowhere.jpg"), Failure);
}
