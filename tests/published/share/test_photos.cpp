// Photos in a share against the Python Imaging Library: every turn that Exif knows, and nothing
// left in the file but pixels. The library turns by ImageOps.exif_transpose; our own turns follow
// Exif 2.32, tag 0x0112, alone. The tables are held against OGC 18-000.
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using nestround::test::bytes_of;
using nestround::test::Folder;
using nestround::test::run_program;
using nestround::testing::run_shell;

namespace {

constexpr const char* kMake = R"(
import sys
from PIL import Image
for turn in range(1, 9):
    picture = Image.new('RGB', (90, 60))
    picture.putdata([(x * 255 // 89, y * 255 // 59, (turn * 30 + x) % 256)
                     for y in range(60) for x in range(90)])
    exif = picture.getexif()
    exif[0x0112] = turn
    exif[0x010e] = 'Zorbengast'
    exif.get_ifd(0x8825)[1] = 'N'
    exif.get_ifd(0x8825)[2] = (47.0, 12.0, 34.5678)
    picture.save(f'{sys.argv[1]}/photo{turn}.jpg', quality=95, exif=exif,
                 comment=b'Quillmarsh Lane 77')
)";

constexpr const char* kRead = R"(
import io, sqlite3, sys
from PIL import Image, ImageChops, ImageOps
share = sqlite3.connect(sys.argv[2])
rows = share.execute('SELECT p.data, p.content_type, p.width_px, p.height_px, n.fid FROM photos p '
                     'JOIN nests_photos m ON m.related_id = p.id JOIN nests n ON n.fid = m.base_id'
                     ).fetchall()
found = set()
for data, form, width, height, nest in rows:
    drawn = Image.open(io.BytesIO(data))
    assert form == 'image/jpeg' and drawn.format == 'JPEG', form
    assert drawn.size == (width, height)
    assert len(drawn.getexif()) == 0 and 'comment' not in drawn.info, drawn.info
    for turn in range(1, 9):
        upright = ImageOps.exif_transpose(Image.open(f'{sys.argv[1]}/photo{turn}.jpg'))
        if upright.size != drawn.size:
            continue
        apart = ImageChops.difference(upright.convert('RGB'), drawn.convert('RGB')).getdata()
        if sum(sum(pixel) for pixel in apart) / len(apart) < 9:
            found.add(turn)
print(len(rows), 'photos, turns', sorted(found))
print(share.execute('SELECT base_table_name, related_table_name, relation_name, '
                    'mapping_table_name FROM gpkgext_relations').fetchall())
print(sorted(row[0] for row in share.execute(
    "SELECT table_name FROM gpkg_extensions WHERE extension_name = 'gpkg_related_tables'")))
)";

}  // namespace

TEST_CASE("SharedPhotos, AreWhatIsSeenAndNothingElse")
{
    const Folder folder;
    const auto book = folder / "a.gpkg";
    const auto pictures = folder / "photos";
    REQUIRE(run_shell("mkdir '" + pictures + "'").code == 0);
    const auto made =
        run_shell("/usr/bin/python3 '" + folder.write("make.py", kMake) + "' '" + pictures + "'");
    INFO(made.words);
    REQUIRE(made.code == 0);
    REQUIRE(run_program({"book", "create", book}).code == 0);
    REQUIRE(run_program({"call", "import", book,
                         folder.write("calls.csv",
                                      "key,received,lon,lat,species,height_m,client_name\n"
                                      "T-1,2026-07-20,-77.0,41.1,Vespula maculifrons,2,Ada\n"
                                      "T-2,2026-07-21,-77.1,41.1,Vespula maculifrons,2,Bo\n")})
                .code == 0);
    for (int turn = 1; turn <= 8; ++turn) {
        const auto added =
            run_program({"photo", "add", book, pictures + "/photo" + std::to_string(turn) + ".jpg",
                         "--call", turn % 2 == 0 ? "T-1" : "T-2", "--who", "Wuffelin"});
        INFO(added.err);
        REQUIRE(added.code == 0);
    }
    const auto set = [&](const char* what, const char* value) {
        REQUIRE(
            run_program({"settings", "set", book, std::string{"partners.museum."} + what, value})
                .code == 0);
    };
    const auto share = folder / "share.gpkg";
    const std::vector<std::string> words{"share", book,  "--with", "museum",
                                         "--to",  share, "--on",   "2026-08-04"};
    set("tier", "exact");
    REQUIRE(run_program(words).code == 0);
    CHECK(bytes_of(share).find("JFIF") == std::string::npos);  // nobody asked for them
    REQUIRE(run_shell("rm '" + share + "'").code == 0);

    set("photos", "on");
    const auto said = run_program(words);
    INFO(said.err);
    REQUIRE(said.code == 0);
    CHECK_THAT(said.out, Catch::Contains("8 photos") && Catch::Contains("look at each"));
    const auto read = run_shell("/usr/bin/python3 '" + folder.write("read.py", kRead) + "' '" +
                                pictures + "' '" + share + "'");
    CHECK(read.words ==
          "8 photos, turns [1, 2, 3, 4, 5, 6, 7, 8]\n"
          "[('nests', 'photos', 'media', 'nests_photos')]\n"
          "['gpkgext_relations', 'nests_photos']\n");
    const auto bytes = bytes_of(share);
    for (const auto* secret : {"Zorbengast", "Quillmarsh", "Wuffelin", "Exif", "photo1"}) {
        INFO(secret);
        CHECK(bytes.find(secret) == std::string::npos);
    }
    // The same book and partner give the same bytes.
    REQUIRE(run_shell("mv '" + share + "' '" + share + "-first'").code == 0);
    REQUIRE(run_program(words).code == 0);
    CHECK(bytes_of(share) == bytes_of(share + "-first"));
    const auto valid =
        run_shell("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + share + "'");
    INFO(valid.words);
    CHECK(valid.code == 0);

    // A photo shows the house: it does not go where places are moved.
    set("tier", "grid");
    REQUIRE(run_shell("rm '" + share + "'").code == 0);
    const auto refused = run_program(words);
    CHECK(refused.code == 10);
    CHECK_THAT(refused.err, Catch::Contains("partners.museum.photos"));
}
