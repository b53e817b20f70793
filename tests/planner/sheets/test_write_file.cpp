#include "planner/sheets/write_file.hpp"

#include <sys/resource.h>

#include <csignal>
#include <filesystem>
#include <fstream>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;
namespace fs = std::filesystem;

namespace {

std::size_t files_in(const fs::path& folder)
{
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator{folder}, fs::directory_iterator{}));
}

/// Files of this process may not grow beyond `bytes`: what a full disk looks like to a writer.
class SmallDisk {
public:
    explicit SmallDisk(rlim_t bytes)
    {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        former_ = std::signal(SIGXFSZ, SIG_IGN);
        rlimit small = before_;
        small.rlim_cur = bytes;
        ::setrlimit(RLIMIT_FSIZE, &small);
    }
    ~SmallDisk()
    {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, former_);
    }
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;

private:
    rlimit before_{};
    void (*former_)(int) = SIG_DFL;
};

ErrorCode code_of(const std::string& path, std::string_view bytes, std::string* words = nullptr)
{
    try {
        write_file(path, bytes);
    } catch (const Failure& failure) {
        if (words != nullptr) {
            *words = failure.what();
        }
        return failure.error().code;
    }
    return ErrorCode::Internal;
}

}  // namespace

TEST_CASE("WriteFile, WritesAndReplacesWhole")
{
    const testing::ScratchFolder folder;
    const std::string path = folder.file("sheet.txt");
    write_file(path, "first, and longer");
    CHECK(testing::read_all(path) == "first, and longer");
    write_file(path, "second");
    CHECK(testing::read_all(path) == "second");
    CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("WriteFile, LeavesTheFormerFileWhenTheDiskIsFull")
{
    const testing::ScratchFolder folder;
    const std::string path = folder.file("sheet.txt");
    write_file(path, "yesterday");
    std::string words;
    ErrorCode code{};
    {
        const SmallDisk disk{1000};
        code = code_of(path, std::string(5000, 'x'), &words);
    }
    CHECK(code == ErrorCode::OutputFailed);
    CHECK(words.find("sheet.txt") != std::string::npos);
    CHECK(words.find("make room") != std::string::npos);
    CHECK(testing::read_all(path) == "yesterday");
    CHECK(files_in(folder.path()) == 1);  // no unfinished file left behind
}

TEST_CASE("WriteFile, NamesAFolderThatIsMissing")
{
    const testing::ScratchFolder folder;
    std::string words;
    CHECK(code_of(folder.file("none/sheet.txt"), "x", &words) == ErrorCode::OutputFailed);
    CHECK(words.find("create the folder") != std::string::npos);
    CHECK(code_of(folder.path().string(), "x") == ErrorCode::OutputFailed);
}

TEST_CASE("WriteFile, RefusesAFullDevice")
{
    CHECK(code_of("/dev/full", "something") == ErrorCode::OutputFailed);
}

TEST_CASE("WriteFile, FollowsALinkAndKeepsTheMode")
{
    const testing::ScratchFolder folder;
    const std::string real = folder.file("real.txt");
    write_file(real, "old");
    fs::permissions(real, fs::perms::owner_read | fs::perms::owner_write);
    fs::create_symlink(real, folder.file("link.txt"));
    write_file(folder.file("link.txt"), "new");
    CHECK(fs::is_symlink(folder.file("link.txt")));
    CHECK(testing::read_all(real) == "new");
    CHECK(fs::status(real).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
}

TEST_CASE("WriteFile, WhatIsMadeBesideIsMovedWholeOrGone")
{
    const nestround::test::Folder folder;
    const auto path = folder / "made.zip.gpkg";
    std::string draft;
    make_file(path, [&](const std::string& name) {
        draft = name;
        CHECK(name.ends_with(".gpkg"));
        CHECK_FALSE(fs::exists(name));
        CHECK((fs::status(fs::path{name}.parent_path()).permissions() & fs::perms::all) ==
              fs::perms::owner_all);
        std::ofstream{name} << "all of it";
    });
    CHECK(nestround::test::bytes_of(path) == "all of it");
    CHECK(files_in(fs::path{path}.parent_path()) == 1);
    CHECK_FALSE(fs::exists(draft));
    CHECK((fs::status(path).permissions() & fs::perms::group_read) != fs::perms::none);
    // It fails on the way: what was there stays, and nothing is left beside it.
    CHECK_THROWS_AS(make_file(path,
                              [&](const std::string& name) {
                                  std::ofstream{name} << "half";
                                  throw Failure{ErrorCode::OutputFailed, "no more", path};
                              }),
                    Failure);
    CHECK(nestround::test::bytes_of(path) == "all of it");
    CHECK(files_in(fs::path{path}.parent_path()) == 1);
    CHECK_THROWS_AS(make_file(folder / "missing/x.gpkg", [](const std::string&) {}), Failure);
    CHECK_THROWS_AS(make_file(folder / "x.gpkg", [](const std::string&) {}), Failure);
    CHECK_THROWS_AS(make_file(fs::path{path}.parent_path().string(), [](const std::string&) {}),
                    Failure);
}
