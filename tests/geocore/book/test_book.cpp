#include "geocore/book/book.hpp"

#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <limits>
#include <stdexcept>

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

// Asked for one by one, and put together from the tables: the same to the last bit.
TEST_CASE("Book, NestsInOnePassAreThoseAskedForOneByOne")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    {
        Change change{book, kNow};
        for (unsigned n = 1; n <= 60; ++n) {
            if (n % 3 != 0) {
                auto site = some_site(n, 9 + 0.01 * n, 47 + 0.003 * n);
                if (n % 2 == 0) {
                    site.place_uncertainty = Metres{0.1 * n};
                }
                change.insert(site);
            }
            auto nest = some_nest(n, n % 3 == 0 ? n - 1 : n);
            nest.season = 2020 + static_cast<int>(n % 7);
            nest.taxon = n % 5 == 0 ? "" : n % 2 == 0 ? "VGER" : "VMAC";
            change.insert(nest);
            for (unsigned call = 0; call < n % 4; ++call) {
                auto row = some_call(10 * n + call, n, call == 1 ? "2026-07-30" : "2026-08-01");
                row.state = call == 2 ? CallState::Taken : CallState::Waiting;
                row.closed = call == 2 ? std::optional{day("2026-08-02")} : std::nullopt;
                change.insert(row);
            }
            for (unsigned visit = 0; visit < n % 3; ++visit) {
                Visit row;
                row.id = key<VisitId>(10 * n + visit);
                row.nest = nest.id;
                row.begun = kNow;
                change.insert(row);
                for (unsigned part = 0; part < 3; ++part) {
                    CatchRecord caught;
                    caught.id = key<CatchId>(100 * n + 10 * visit + part);
                    caught.visit = row.id;
                    caught.taxon = "VMAC";
                    caught.frozen_at = kNow;
                    if (part != 1) {
                        caught.mass = Grams{0.1 * n + 0.7 * part + 0.01 * visit};
                    }
                    change.insert(caught);
                }
            }
        }
        change.commit();
    }
    const auto as_text = [](const book::NestRow& row) {
        return fmt::format(
            "{} {} {} {} {} {} {} {} {} {} {}", row.number, row.nest.id.text(),
            row.nest.site.text(), row.nest.season, row.nest.taxon, row.place.lon.value(),
            row.place.lat.value(), row.place_uncertainty ? row.place_uncertainty->value() : -1,
            row.received ? format_day(*row.received) : "never",
            row.state ? std::string{text(*row.state)} + (row.closed ? " closed" : "") : "no call",
            row.caught ? row.caught->value() : -1);
    };
    book::NestFilter season;
    season.first_season = 2023;
    book::NestFilter one;
    one.first_season = one.last_season = 2024;
    one.taxon = "VGER";
    book::NestFilter window;
    window.window = book::NestFilter::Window{9.1, 47, 9.5, 48};
    int in_all = 0;
    for (const auto& filter : {book::NestFilter{}, season, one, window}) {
        std::vector<std::string> singly;
        for (const auto number : book.nest_numbers(filter)) {
            singly.push_back(as_text(*book.nest_row(number)));
        }
        std::vector<std::string> at_once;
        book.each_nest(filter, [&](const book::NestRow& row) { at_once.push_back(as_text(row)); });
        CHECK(singly == at_once);
        in_all += static_cast<int>(at_once.size());
    }
    CHECK(in_all > 100);
    // What the visitor throws is passed on, and the book is good for more.
    CHECK_THROWS_AS(book.each_nest({}, [](const auto&) { throw std::runtime_error{"enough"}; }),
                    std::runtime_error);
    CHECK(book.nest_count() == 60);
    // The extent is that of the index, whole or in its root.
    const auto extent = book.extent();
    REQUIRE(extent);
    CHECK(extent->west == Approx(9.01).margin(1e-5));
    CHECK(extent->east == Approx(9.59).margin(1e-5));
    CHECK(extent->south == Approx(47.003).margin(1e-4));
    CHECK(extent->north == Approx(47.177).margin(1e-4));
    CHECK_FALSE(Book::create(folder / "empty.gpkg", kNow).extent());
}
