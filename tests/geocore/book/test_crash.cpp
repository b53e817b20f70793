// Processes that die, disks that fill, and writers that meet.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <thread>

#include "geocore/book/check.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::Change;
using namespace std::chrono_literals;

namespace {

/// Runs `step` in a child process and gives its exit code; -1 when a signal ended it.
template <class Step>
int in_child(Step step)
{
    const pid_t child = fork();
    if (child == 0) {
        int code = 99;
        try {
            code = step();
        } catch (...) {
        }
        _exit(code);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

void add_sites(Change& change, unsigned first, unsigned count)
{
    for (unsigned n = first; n < first + count; ++n) {
        change.insert(some_site(n));
        change.insert(some_nest(n, n));
    }
}

std::string counts(const std::string& path)
{
    return Stranger{path}.ask("SELECT (SELECT count(*) FROM site), (SELECT count(*) FROM nest)");
}

}  // namespace

TEST_CASE("Crash, AProcessKilledInAChangeLeavesTheLastGoodState")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        Book book = Book::create(path, kNow);
        fill(book);
    }
    for (unsigned round = 0; round < 10; ++round) {
        CAPTURE(round);
        const int code = in_child([&] {
            Book book = Book::open(path);
            Change change{book, kNow, round % 2 == 0 ? book::Load::Few : book::Load::Many};
            add_sites(change, 1000, 50 + 400 * round);
            kill(getpid(), SIGKILL);
            return 0;
        });
        CHECK(code == -1);
        CHECK(counts(path) == "3 3");
        CHECK(book::check(path).broken.empty());
    }
}

TEST_CASE("Crash, AProcessKilledAfterItsCommitKeepsIt")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        const Book book = Book::create(path, kNow);
    }
    CHECK(in_child([&] {
              Book book = Book::open(path);
              Change change{book, kNow};
              add_sites(change, 1, 500);
              change.commit();
              kill(getpid(), SIGKILL);
              return 0;
          }) == -1);
    CHECK(counts(path) == "500 500");
    CHECK(book::check(path).broken.empty());
}

TEST_CASE("Crash, AChildKilledAtAnyMomentLosesNoWholeChangeAndKeepsNoHalf")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        const Book book = Book::create(path, kNow);
    }
    Random random{4};
    unsigned first = 1;
    for (int round = 0; round < 8; ++round) {
        const pid_t child = fork();
        if (child == 0) {
            try {
                Book book = Book::open(path);
                for (;; first += 20) {
                    Change change{book, kNow};
                    add_sites(change, first, 20);
                    change.commit();
                }
            } catch (...) {
            }
            _exit(1);
        }
        std::this_thread::sleep_for(std::chrono::milliseconds{5 + random.below(60)});
        kill(child, SIGKILL);
        waitpid(child, nullptr, 0);
        const auto report = book::check(path);
        for (const auto& rule : report.broken) {
            UNSCOPED_INFO(rule.text());
        }
        CHECK(report.broken.empty());
        const auto sites = std::stoul(Stranger{path}.ask("SELECT count(*) FROM site"));
        CHECK(sites % 20 == 0);
        CHECK(counts(path) == std::to_string(sites) + " " + std::to_string(sites));
        first = static_cast<unsigned>(sites) + 1;
    }
    CHECK(first > 20);
}

TEST_CASE("Crash, AFullDiskLeavesTheBookAsItWas")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    {
        Book book = Book::create(path, kNow);
        fill(book);
    }
    // A limit on the size of a file stands for the full disk: writing beyond it fails.
    const auto size = std::filesystem::file_size(path);
    const int code = in_child([&] {
        signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{size + 20000, size + 20000};
        setrlimit(RLIMIT_FSIZE, &limit);
        Book book = Book::open(path);
        try {
            Change change{book, kNow};
            add_sites(change, 1000, 20000);
            change.commit();
        } catch (const Failure& failure) {
            const std::string text = failure.what();
            const bool good = failure.error().code == ErrorCode::BookFailed &&
                              text.find(path) == 0 && text.find('\n') == std::string::npos &&
                              text.find("the book is as it was") != std::string::npos;
            return good && book.waiting_calls(day("2026-08-04")).size() == 3 ? 7 : 8;
        }
        return 9;
    });
    CHECK(code == 7);
    CHECK(counts(path) == "3 3");
    CHECK(book::check(path).broken.empty());
}

TEST_CASE("Crash, AFullDatabaseIsSaidInWordsAndNothingIsWrittenAfterIt")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    Book book = Book::create(path, kNow);
    fill(book);
    book::Connection connection{path, SQLITE_OPEN_READWRITE};
    // Room for a few pages more only, on the connection that writes.
    const auto pages = connection.scalar("PRAGMA page_count");
    connection.execute("PRAGMA max_page_count = " + std::to_string(std::stoi(pages) + 4));
    const auto error = error_of([&] {
        connection.begin();
        connection.execute(
            "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 100000) "
            "INSERT INTO setting (key, value, created_at, changed_at) SELECT 'k' || i, 'v', "
            "'2026-08-04T06:30:00.000Z', '2026-08-04T06:30:00.000Z' FROM n");
        connection.commit();
    });
    connection.rollback();
    CHECK(error.code == ErrorCode::BookFailed);
    CHECK(error.message.find("disk is full") != std::string::npos);
    CHECK(book.settings().size() == 1);
    CHECK(book::check(path).broken.empty());
}

TEST_CASE("Crash, CreatingOnAFullDiskLeavesNothingBehind")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    CHECK(in_child([&] {
              signal(SIGXFSZ, SIG_IGN);
              const rlimit limit{30000, 30000};
              setrlimit(RLIMIT_FSIZE, &limit);
              try {
                  (void)Book::create(path, kNow);
              } catch (const Failure& failure) {
                  return failure.error().code == ErrorCode::BookFailed ? 7 : 8;
              }
              return 9;
          }) == 7);
    CHECK_FALSE(std::filesystem::exists(path));
    CHECK_FALSE(std::filesystem::exists(path + ".making"));
}

TEST_CASE("Crash, ASecondWriterWaitsItsTurn")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    Book first = Book::create(path, kNow);
    Book second = Book::open(path);
    std::optional<Change> change;
    change.emplace(first, kNow);
    change->insert(some_site(1));
    std::thread other{[&] {
        Change waiting{second, kNow};
        waiting.insert(some_site(2));
        waiting.commit();
    }};
    std::this_thread::sleep_for(150ms);
    // Readers are not held up, and see the last good state.
    CHECK_FALSE(Book::open(path, book::Mode::ReadOnly).site(key<SiteId>(1)));
    change->commit();
    change.reset();
    other.join();
    CHECK(first.site(key<SiteId>(1)));
    CHECK(first.site(key<SiteId>(2)));
}

TEST_CASE("Crash, ASecondWriterIsToldWhenItsPatienceEnds")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    Book first = Book::create(path, kNow);
    Book second = Book::open(path);
    second.set_patience(50ms);
    const Change change{first, kNow};
    const auto error = error_of([&] { const Change other{second, kNow}; });
    CHECK(error.code == ErrorCode::BookFailed);
    CHECK(error.message.find("another program is writing") != std::string::npos);
}
