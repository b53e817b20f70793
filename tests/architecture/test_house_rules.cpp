// Each rule of the house fires on a small tree that breaks it, and on nothing in the real one.
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <sstream>

#include "tests/architecture/house_rules.hpp"
#include "tests/support/catch.hpp"

using namespace nestround::house;

namespace {

/// Paths that git knows or would add; without git, all that is not built.
std::vector<std::string> paths_of_repository()
{
    const std::string root = NESTROUND_SOURCE_DIR;
    std::vector<std::string> paths;
    const std::string command = "git -c safe.directory='*' -C '" + root +
                                "' ls-files --cached --others --exclude-standard 2>/dev/null";
    if (FILE* listing = popen(command.c_str(), "r")) {
        std::string all;
        std::array<char, 4096> some{};
        for (std::size_t n = 0; (n = fread(some.data(), 1, some.size(), listing)) > 0;) {
            all.append(some.data(), n);
        }
        if (pclose(listing) == 0) {
            paths = lines_of(all);
        }
    }
    if (paths.empty()) {
        namespace fs = std::filesystem;
        for (auto i = fs::recursive_directory_iterator{root};
             i != fs::recursive_directory_iterator{}; ++i) {
            const auto name = fs::relative(i->path(), root).generic_string();
            if (name == ".git" || name == "build" || name == "demo-region/out") {
                i.disable_recursion_pending();
            } else if (i->is_regular_file()) {
                paths.push_back(name);
            }
        }
    }
    return paths;
}

const Tree& repository()
{
    static const Tree tree = [] {
        Tree files;
        for (const std::string& path : paths_of_repository()) {
            std::ifstream in{std::string{NESTROUND_SOURCE_DIR} + "/" + path, std::ios::binary};
            if (in) {  // a file taken away but not yet committed is no longer there
                std::ostringstream text;
                text << in.rdbuf();
                files.push_back({path, text.str()});
            }
        }
        return files;
    }();
    return tree;
}

const Complaints kNone;

const std::string kBlock =
    "/// \\file x.hpp\n/// \\brief X.\n///\n/// Purpose:  x.\n/// Units:    x.\n/// Range:    x.\n"
    "/// Accuracy: x.\n/// Errors:   x.\n/// Source:   x.\n#pragma once\n";

}  // namespace

TEST_CASE("House, TheRepositoryIsSeen")
{
    // Else every rule below would pass by looking at nothing.
    CHECK(repository().size() > 100);
}

TEST_CASE("House, IncludesFollowTheArrows")
{
    CHECK(wrong_arrows(repository()) == kNone);

    const auto one = [](const char* path, const char* include) {
        return wrong_arrows({{path, std::string{"#include \""} + include + "\"\n"}});
    };
    CHECK(one("geocore/units/a.hpp", "geocore/base/error.hpp").size() == 1);
    CHECK(one("geocore/nature/a.cpp", "planner/yield/outlook.hpp").size() == 1);
    CHECK(one("planner/rank/a.cpp", "geocore/book/book.hpp").size() == 1);
    CHECK(one("planner/sheets/a.cpp", "planner/app/plan_morning.hpp").size() == 1);
    CHECK(one("planner/tour/a.cpp", "planner/day/day_plan.hpp").size() == 1);
    CHECK(one("planner/app/a.cpp", "planner/commands/commands.hpp").size() == 1);
    CHECK(one("geocore/book/a.cpp", "geocore/intake/calls.hpp").size() == 1);
    CHECK(one("planner/attic/a.cpp", "geocore/base/error.hpp").size() == 1);
    CHECK(one("planner/day/a.cpp", "tests/support/catch.hpp").size() == 1);
    CHECK(one("planner/day/a.cpp", "day_plan.hpp").size() == 1);
    CHECK(one("planner/app/a.cpp", "geocore/book/book.hpp").empty());
    CHECK(one("planner/day/a.cpp", "planner/rank/rank.hpp").empty());
}

TEST_CASE("House, NoCircles")
{
    CHECK(circles(repository()) == kNone);

    CHECK(circles({{"geocore/base/a.hpp", "#include \"geocore/units/b.hpp\"\n"},
                   {"geocore/units/b.hpp", "#include \"geocore/records/c.hpp\"\n"},
                   {"geocore/records/d.hpp", "#include \"geocore/base/e.hpp\"\n"}}) ==
          Complaints{"circle of rooms: geocore/base -> geocore/units -> geocore/records -> "
                     "geocore/base"});
    CHECK(circles({{"geocore/base/a.hpp", "#include \"geocore/base/b.hpp\"\n"},
                   {"geocore/base/b.hpp", "#  include \"geocore/base/a.hpp\"\n"}})
              .size() == 1);
}

TEST_CASE("House, LibrariesStayInTheirRooms")
{
    CHECK(foreign_headers(repository()) == kNone);

    const auto one = [](const char* path, const char* include) {
        return foreign_headers({{path, std::string{"#include <"} + include + ">\n"}}).size();
    };
    CHECK(one("planner/app/a.cpp", "sqlite3.h") == 1);
    CHECK(one("geocore/book/a.cpp", "sqlite3.h") == 0);
    CHECK(one("geocore/book/a.cpp", "gdal_priv.h") == 1);
    CHECK(one("planner/app/a.cpp", "ogrsf_frmts.h") == 1);
    CHECK(one("geocore/intake/a.cpp", "ogrsf_frmts.h") == 0);
    CHECK(one("planner/app/a.cpp", "httplib.h") == 1);
    CHECK(one("planner/desk/a.cpp", "httplib.h") == 0);
    CHECK(one("planner/day/a.cpp", "nlohmann/json.hpp") == 1);
    CHECK(one("planner/sheets/a.cpp", "nlohmann/json.hpp") == 0);
    CHECK(one("geocore/records/a.cpp", "iostream") == 1);
    CHECK(one("geocore/roads/a.cpp", "fstream") == 1);
    CHECK(one("planner/tour/a.cpp", "filesystem") == 1);
    CHECK(one("geocore/base/a.cpp", "date/tz.h") == 1);
    CHECK(one("planner/tour/a.cpp", "boost/graph/dijkstra_shortest_paths.hpp") == 1);
    CHECK(one("planner/app/a.cpp", "CLI/CLI.hpp") == 1);
    CHECK(one("planner/app/a.cpp", "cairo.h") == 1);
    CHECK(one("planner/commands/a.cpp", "iostream") == 0);
}

TEST_CASE("House, PureRoomsTouchNothing")
{
    CHECK(impure_words(repository()) == kNone);

    const auto one = [](const char* code) {
        return impure_words({{"planner/day/a.cpp", code}}).size();
    };
    CHECK(one("auto t = std::chrono::system_clock::now();\n") == 1);
    CHECK(one("const char* home = std::getenv(\"HOME\");\n") == 1);
    CHECK(one("std::cerr << 1;\n") == 1);
    CHECK(one("fmt::print(\"x\");\n") == 1);
    CHECK(one("std::random_device d;\n") == 1);
    CHECK(one("srand(1);\n") == 1);
    CHECK(one("std::time(nullptr);\n") == 1);
    // Words in comments and texts are no deeds.
    CHECK(one("// never getenv here\nconst char* t = \"getenv\"; /* getenv */\n") == 0);
    CHECK(one("auto t = R\"(getenv)\"; const int n = 1'000; char c = '\"';\n") == 0);
    CHECK(one("auto t = R\"(x)\"; getenv(\"a\");\n") == 1);
    CHECK(impure_words({{"planner/app/a.cpp", "std::getenv(\"HOME\");\n"}}).empty());
}

TEST_CASE("House, PublicHeadersCarryTheirBlock")
{
    CHECK(missing_blocks(repository()) == kNone);

    CHECK(missing_blocks({{"geocore/base/x.hpp", kBlock}}).empty());
    CHECK(missing_blocks({{"geocore/base/y.hpp", kBlock}}).size() == 1);  // another file's name
    for (const char* line :
         {"/// \\brief X.\n", "/// Purpose:  x.\n", "/// Units:    x.\n", "/// Range:    x.\n",
          "/// Accuracy: x.\n", "/// Errors:   x.\n", "/// Source:   x.\n", "#pragma once\n"}) {
        CAPTURE(line);
        std::string text = kBlock;
        text.erase(text.find(line), std::string{line}.size());
        CHECK(missing_blocks({{"geocore/base/x.hpp", text}}).size() == 1);
    }
    CHECK(missing_blocks({{"tests/support/x.hpp", "#pragma once\n"}}).empty());
}

TEST_CASE("House, FilesStayShort")
{
    constexpr int kWarn = 400;
    constexpr int kRefuse = 800;
    for (const std::string& warning : longer_than(repository(), kWarn)) {
        WARN(warning << ": has it more than one reason to exist?");
    }
    CHECK(longer_than(repository(), kRefuse) == kNone);

    const File long_file{"geocore/base/a.cpp", std::string(801, '\n')};
    CHECK(longer_than({long_file}, kRefuse).size() == 1);
    CHECK(longer_than({{"geocore/base/a.cpp", std::string(800, '\n')}}, kRefuse).empty());
}

TEST_CASE("House, EveryRoomHasTests")
{
    CHECK(untested_rooms(repository()) == kNone);

    const Tree bare{{"geocore/place/a.cpp", ""}, {"tests/geocore/place/notes.md", ""}};
    CHECK(untested_rooms(bare).size() == 1);
    const Tree tested{{"geocore/place/a.cpp", ""}, {"tests/geocore/place/test_a.cpp", ""}};
    CHECK(untested_rooms(tested).empty());
    CHECK(untested_rooms({{"planner/commands/a.cpp", ""}, {"tests/cli/test_a.cpp", ""}}).empty());
}

TEST_CASE("House, TheTopIsAsListed")
{
    CHECK(strange_top_level(repository()) == kNone);

    Tree more = repository();
    more.push_back({"scratch/a.txt", ""});
    more.push_back({"notes.md", ""});
    CHECK(strange_top_level(more).size() == 2);
    Tree less;
    for (const File& file : repository()) {
        if (file.path != "LICENSE") {
            less.push_back(file);
        }
    }
    CHECK(strange_top_level(less) == Complaints{"LICENSE: missing at the top"});
}

TEST_CASE("House, TheRepositorySpeaksOfItselfAlone")
{
    CHECK(forbidden_words(repository()) == kNone);

    const auto one = [](const std::string& line) {
        return forbidden_words({{"docs/a.md", line + "\n"}}).size();
    };
    CHECK(one(std::string{"see /wo"} + "rk/main") == 1);
    CHECK(one(std::string{"/ho"} + "me/somebody/nests") == 1);
    CHECK(one(std::string{"as iss"} + "ue 2 says") == 1);
    CHECK(one(std::string{"an A"} + "I did it") == 1);
    CHECK(one("AIM, MAIN and a tissue of 3 layers") == 0);
    CHECK(one(std::string{"a\0b /wo", 7} + "rk/") == 0);  // no text
}
