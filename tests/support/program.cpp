#include "tests/support/program.hpp"

#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <fstream>
#include <sstream>

namespace nestround::test {

namespace {

std::string quoted(const std::string& word)
{
    std::string result = "'";
    for (const char c : word) {
        result += c == '\'' ? std::string{"'\\''"} : std::string{c};
    }
    return result + "'";
}

}  // namespace

std::string bytes_of(const std::string& path)
{
    std::ifstream file{path, std::ios::binary};
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

Outcome run_program(const std::vector<std::string>& words, const std::string& limits)
{
    const Folder folder;
    std::string command = limits + " " + quoted(NESTROUND_PROGRAM);
    for (const auto& word : words) {
        command += " " + quoted(word);
    }
    command += " >" + quoted(folder / "out") + " 2>" + quoted(folder / "err") + " </dev/null";
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status),
            bytes_of(folder / "out"), bytes_of(folder / "err")};
}

Folder::Folder()
{
    static std::atomic<int> made{0};
    path_ = std::filesystem::temp_directory_path() /
            fmt::format("nestround-test-{}-{}", getpid(), made++);
    std::filesystem::create_directories(path_);
}

Folder::~Folder()
{
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string Folder::write(const std::string& name, const std::string& text) const
{
    const auto path = (path_ / name).string();
    std::ofstream{path, std::ios::binary} << text;
    return path;
}

std::string small_town_osm()
{
    std::string osm = "<?xml version='1.0'?>\n<osm version='0.6' generator='test'>\n";
    const auto node = [](int row, int column) { return 1 + row * 5 + column; };
    for (int row = 0; row < 5; ++row) {
        for (int column = 0; column < 5; ++column) {
            osm += fmt::format("<node id='{}' version='1' lat='{:.4f}' lon='{:.4f}'/>\n",
                               node(row, column), 41.2 + row * 0.01, -77.0 + column * 0.01);
        }
    }
    for (int line = 0; line < 5; ++line) {
        std::string across;
        std::string along;
        for (int i = 0; i < 5; ++i) {
            across += fmt::format("<nd ref='{}'/>", node(line, i));
            along += fmt::format("<nd ref='{}'/>", node(i, line));
        }
        osm += fmt::format("<way id='{}' version='1'>{}<tag k='highway' v='residential'/></way>\n",
                           101 + line, across);
        osm += fmt::format("<way id='{}' version='1'>{}<tag k='highway' v='tertiary'/></way>\n",
                           201 + line, along);
    }
    return osm + "</osm>\n";
}

}  // namespace nestround::test
