#include "geocore/book/book.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <limits>

#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::Change;
using book::Mode;

TEST_CASE("Book, CreateRefusesToOverwrite")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        const Book book = Book::create(path, kNow);
    }
    const std::string before = bytes_of(path);
    const auto error = error_of([&] { (void)Book::create(path, kNow); });
    CHECK(error.code == ErrorCode::BookFailed);
    CHECK(error.text().find(path) != std::string::npos);
    CHECK(bytes_of(path) == before);
    CHECK_FALSE(std::filesystem::exists(path + ".making"));
}

TEST_CASE("Book, CreateAsksForTheStandardsEnding")
{
    const Folder folder;
    CHECK(error_of([&] { (void)Book::create(folder / "a.db", kNow); }).code ==
          ErrorCode::InvalidInput);
    CHECK(error_of([&] { (void)Book::create(folder / "no/such/a.gpkg", kNow); }).code ==
          ErrorCode::NotFound);
}

TEST_CASE("Book, OpenNamesWhatIsWrongInOneLine")
{
    const Folder folder;
    const auto newer = folder / "newer.gpkg";
    {
        const Book book = Book::create(newer, kNow);
    }
    Stranger{newer}.run("UPDATE app_meta SET value = '999' WHERE key = 'schema_version'");
    const auto foreign = folder / "foreign.gpkg";
    {
        Stranger stranger{foreign};
        stranger.run(
            "PRAGMA application_id = 1196444487; PRAGMA user_version = 10300;"
            "CREATE TABLE gpkg_contents (table_name TEXT)");
    }
    const auto database = folder / "database.gpkg";
    Stranger{database}.run("CREATE TABLE t (x)");
    const auto empty = folder.write("empty.gpkg", "");
    const auto words = folder.write("words.gpkg", std::string(5000, 'x'));

    struct Case {
        std::string path;
        ErrorCode code;
    };
    for (const auto& [path, code] :
         {Case{folder / "none.gpkg", ErrorCode::NotFound}, Case{newer, ErrorCode::WrongVersion},
          Case{foreign, ErrorCode::WrongVersion}, Case{database, ErrorCode::InvalidInput},
          Case{empty, ErrorCode::InvalidInput}, Case{words, ErrorCode::InvalidInput}}) {
        for (const auto mode : {Mode::ReadWrite, Mode::ReadOnly}) {
            CAPTURE(path);
            const auto error = error_of([&] { (void)Book::open(path, mode); });
            CHECK(error.code == code);
            CHECK(error.text().find(path) == 0);
            CHECK(error.text().find('\n') == std::string::npos);
        }
    }
}

TEST_CASE("Book, RefusingAForeignFileLeavesItAsItWas")
{
    const Folder folder;
    const auto path = folder / "foreign.gpkg";
    {
        Stranger stranger{path};
        stranger.run(
            "PRAGMA application_id = 1196444487; PRAGMA user_version = 10300;"
            "CREATE TABLE gpkg_contents (table_name TEXT)");
    }
    const auto before = bytes_of(path);
    (void)error_of([&] { (void)Book::open(path); });
    CHECK(bytes_of(path) == before);
}

TEST_CASE("Book, OpenPutsWriteAheadLoggingBack")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        const Book book = Book::create(path, kNow);
    }
    CHECK(Stranger{path}.ask("PRAGMA journal_mode = DELETE") == "delete");
    const Book book = Book::open(path);
    CHECK(Stranger{path}.ask("PRAGMA journal_mode") == "wal");
}

TEST_CASE("Book, GivesBackEveryFieldOfACall")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Client client{key<ClientId>(1), "A. Nyone", "555 0100", "a@example.org", "rings back"};
    Site site = some_site(1, -77.1234567890123, 41.9876543210987);
    site.place_uncertainty = Metres{25};
    site.address = "1 Mill Lane";
    site.note = "'quotes' and \"quotes\"";
    Nest nest = some_nest(1, 1);
    nest.height = Metres{-0.4};
    nest.width = Metres{0.31};
    nest.length = Metres{0.42};
    nest.first_seen = day("2026-07-14");
    nest.entrance = "under the third slat";
    nest.note = "hums";
    nest.insecticide = true;
    nest.kind = NestKind::Ground;
    Call call = some_call(1, 1, "2026-07-31");
    call.client = client.id;
    call.allowed = {{ClockTime::at(8, 0), ClockTime::at(12, 0)},
                    {ClockTime::at(14, 30), ClockTime::at(18, 0)}};
    call.not_before = day("2026-08-02");
    call.not_after = day("2026-08-09");
    call.ladder = LadderPermission::Refused;
    call.near_door = call.allergic = call.must_take = true;
    call.source_key = "calls.csv:7";
    call.note = "dog";
    Change change{book, kNow};
    change.insert(client);
    change.insert(site);
    change.insert(nest);
    change.insert(call);
    change.commit();

    const auto sheet = book.call(call.id);
    REQUIRE(sheet);
    CHECK(sheet->site.place == site.place);
    CHECK(sheet->site.place_uncertainty == site.place_uncertainty);
    CHECK(sheet->site.label == site.label);
    CHECK(sheet->site.address == site.address);
    CHECK(sheet->site.note == site.note);
    CHECK(sheet->nest.site == site.id);
    CHECK(sheet->nest.season == 2026);
    CHECK(sheet->nest.taxon == "VMAC");
    CHECK(sheet->nest.kind == NestKind::Ground);
    CHECK(sheet->nest.height == nest.height);
    CHECK(sheet->nest.width == nest.width);
    CHECK(sheet->nest.length == nest.length);
    CHECK(sheet->nest.first_seen == nest.first_seen);
    CHECK(sheet->nest.entrance == nest.entrance);
    CHECK(sheet->nest.insecticide);
    CHECK(sheet->nest.note == nest.note);
    CHECK(sheet->call.client == client.id);
    CHECK(sheet->call.received == call.received);
    CHECK(sheet->call.state == CallState::Waiting);
    CHECK_FALSE(sheet->call.closed);
    CHECK(sheet->call.allowed == call.allowed);
    CHECK(sheet->call.not_before == call.not_before);
    CHECK(sheet->call.not_after == call.not_after);
    CHECK(sheet->call.ladder == LadderPermission::Refused);
    CHECK(sheet->call.near_door);
    CHECK(sheet->call.allergic);
    CHECK(sheet->call.must_take);
    CHECK(sheet->call.source_key == call.source_key);
    CHECK(sheet->call.note == call.note);
    CHECK(book.client(client.id)->phone == client.phone);
    CHECK(book.client(client.id)->email == client.email);
    CHECK(book.call_by_source_key("calls.csv:7") == call.id);
    CHECK_FALSE(book.call_by_source_key("calls.csv:8"));
}

TEST_CASE("Book, UnknownStaysUnknown")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Change change{book, kNow};
    Nest nest = some_nest(1, 1);
    nest.taxon.clear();
    change.insert(some_site(1));
    change.insert(nest);
    change.insert(some_call(1, 1));
    change.commit();
    const auto sheet = *book.call(key<CallId>(1));
    CHECK_FALSE(sheet.site.place_uncertainty);
    CHECK_FALSE(sheet.nest.height);
    CHECK(sheet.nest.taxon.empty());
    CHECK_FALSE(sheet.call.client);
    CHECK(Stranger{folder / "a.gpkg"}.ask("SELECT taxon, height_m FROM nest") == "NULL NULL");
}

TEST_CASE("Book, WaitingCallsAreThoseReceivedAndNotClosed")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    {
        Change change{book, kNow};
        change.insert(some_site(1));
        change.insert(some_nest(1, 1));
        change.insert(some_call(1, 1, "2026-08-03"));
        change.insert(some_call(2, 1, "2026-08-01"));
        change.insert(some_call(3, 1, "2026-08-05"));
        Call taken = some_call(4, 1, "2026-08-01");
        taken.state = CallState::Taken;
        taken.closed = day("2026-08-02");
        change.insert(taken);
        change.commit();
    }
    const auto calls = book.waiting_calls(day("2026-08-04"));
    REQUIRE(calls.size() == 2);
    CHECK(calls[0].call.id == key<CallId>(2));
    CHECK(calls[1].call.id == key<CallId>(1));
    CHECK(book.waiting_calls(day("2026-08-05")).size() == 3);
    CHECK(book.waiting_calls(day("2026-07-31")).empty());
}

TEST_CASE("Book, FindsACallByWhatAPersonTypes")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    {
        Change change{book, kNow};
        change.insert(some_site(1));
        change.insert(some_nest(1, 1));
        Call call = some_call(0x0a1b, 1);
        call.source_key = "row 9";
        change.insert(call);
        change.insert(some_call(0x0b1b, 1));
        change.commit();
    }
    const auto wanted = key<CallId>(0x0a1b);
    CHECK(book.find_call(wanted.text()) == wanted);
    CHECK(book.find_call("0a1b") == wanted);
    CHECK(book.find_call("0A1B") == wanted);
    CHECK(book.find_call(book::short_key(wanted.uuid())) == wanted);
    CHECK(book.find_call("row 9") == wanted);
    CHECK(error_of([&] { (void)book.find_call("a1b"); }).code == ErrorCode::NotFound);
    CHECK(error_of([&] { (void)book.find_call("ffff"); }).code == ErrorCode::NotFound);
    {
        Change change{book, kNow};
        Call twin = some_call(0, 1);
        auto bytes = wanted.uuid().bytes();
        bytes[0] = 2;
        twin.id = CallId{Uuid{bytes}};
        change.insert(twin);
        change.commit();
    }
    CHECK(error_of([&] { (void)book.find_call("0a1b"); }).code == ErrorCode::InvalidInput);
}

TEST_CASE("Book, KeepsCrewsWeatherHarvestAndFreezer")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    fill(book);
    REQUIRE(book.crews().size() == 1);
    CHECK(book.crews()[0].shift_ends == ClockTime::at(26, 0));
    REQUIRE(book.crews()[0].gear.size() == 1);
    CHECK(book.crews()[0].gear[0].length == Metres{6.5});
    CHECK(book.crews()[0].gear[0].crew == key<CrewId>(1));

    REQUIRE(book.stations().size() == 1);
    const auto days = book.weather(key<StationId>(1), day("2026-08-01"), day("2026-08-03"));
    REQUIRE(days.size() == 2);
    CHECK(days[1].day == day("2026-08-03"));
    CHECK(days[1].maximum == Celsius{26});
    CHECK(book.weather_range() == std::pair{day("2026-08-01"), day("2026-08-03")});
    CHECK_FALSE(book.weather_range(key<StationId>(2)));
    CHECK(book.settings() == std::map<std::string, std::string>{{"region", "nowhere"}});

    REQUIRE(book.visits(key<NestId>(1)).size() == 1);
    CHECK(book.visits(key<NestId>(1))[0].begun == at("2026-08-03T08:00:00Z"));
    CHECK(book.catches(key<VisitId>(1)).at(0).mass == Grams{42.5});
    CHECK(book.comb(key<VisitId>(1)).at(0).larvae == 120);
    CHECK_FALSE(book.comb(key<VisitId>(1)).at(0).eggs);
    CHECK(book.collections(key<CombId>(1)).at(0).workers == 31);
    CHECK(book.lots().at(0).code == "L-1");
    CHECK(book.nests_of(key<LotId>(1)) == std::vector{key<NestId>(1)});
    CHECK(book.lots_of(key<NestId>(1)) == std::vector{key<LotId>(1)});
    CHECK(book.lots_of(key<NestId>(3)).empty());
}

TEST_CASE("Book, IsReadByWhoMayNotWriteItOrItsFolder")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        Book book = Book::create(path, kNow);
        fill(book);
    }
    namespace fs = std::filesystem;
    fs::permissions(path, fs::perms{0444});
    fs::permissions(fs::path{path}.parent_path(), fs::perms{0555});
    const pid_t child = fork();
    if (child == 0) {
        // Nobody in particular, should the tests run as root, whom no permission stops.
        constexpr uid_t kNobody = 65534;
        int code = 0;
        if (geteuid() == 0 && setuid(kNobody) != 0) {
            _exit(9);
        }
        try {
            const Book book = Book::open(path, Mode::ReadOnly);
            code += book.waiting_calls(day("2026-08-04")).size() == 3 ? 1 : 0;
            (void)Book::open(path, Mode::ReadWrite);
        } catch (const Failure& failure) {
            const std::string text = failure.what();
            code += text.find("may not be written") != std::string::npos ? 2 : 4;
        }
        _exit(code);
    }
    int status = 0;
    waitpid(child, &status, 0);
    fs::permissions(fs::path{path}.parent_path(), fs::perms{0755});
    REQUIRE(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 3);
}
