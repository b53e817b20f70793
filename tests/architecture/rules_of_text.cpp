// Pure words, header blocks, lengths, tests, the top level, forbidden words.
#include <algorithm>
#include <array>
#include <cctype>
#include <map>

#include "tests/architecture/house_rules.hpp"
#include "tests/architecture/source_text.hpp"

namespace nestround::house {

Complaints impure_words(const Tree& tree)
{
    static constexpr std::array<std::string_view, 18> kWords{"system_clock::now",
                                                             "steady_clock::now",
                                                             "high_resolution_clock::now",
                                                             "getenv",
                                                             "std::cout",
                                                             "std::cerr",
                                                             "std::clog",
                                                             "printf",
                                                             "fmt::print",
                                                             "fopen",
                                                             "random_device",
                                                             "mt19937",
                                                             "rand",
                                                             "srand",
                                                             "time",
                                                             "thread_local",
                                                             "clock_gettime",
                                                             "localtime"};
    Complaints out;
    for (const File& file : tree) {
        if (!is_source(file.path) || !is_pure(room_of(file.path))) {
            continue;
        }
        int number = 0;
        for (const std::string& line : lines_of(code_of(file.text))) {
            ++number;
            for (const std::string_view word : kWords) {
                // These three are common names; only a call into the C library counts.
                const bool common = word == "time" || word == "rand" || word == "printf";
                const std::string sought =
                    common ? "std::" + std::string{word} + "(" : std::string{word};
                if (holds_word(line, sought)) {
                    out.push_back(at(file, number) + ": " + sought + " in a pure room");
                }
            }
        }
    }
    return out;
}

Complaints missing_blocks(const Tree& tree)
{
    Complaints out;
    for (const File& file : tree) {
        if (!ends_with(file.path, ".hpp") || room_of(file.path).empty()) {
            continue;
        }
        const std::string name = file.path.substr(file.path.rfind('/') + 1);
        const std::string head = file.text.substr(0, file.text.find("#pragma once"));
        if (head.size() == file.text.size()) {
            out.push_back(file.path + ": no #pragma once");
        }
        if (!starts_with(file.text, "/// \\file " + name + "\n")) {
            out.push_back(file.path + ": does not begin with /// \\file " + name);
        }
        for (const char* word :
             {"\\brief ", "Purpose:", "Units:", "Range:", "Errors:", "Source:"}) {
            if (head.find(std::string{"/// "} + word) == std::string::npos) {
                out.push_back(file.path + ": no line '" + word + "' at the head");
            }
        }
        if (head.find("/// Accuracy:") == std::string::npos &&
            head.find("/// Cost:") == std::string::npos &&
            head.find("/// Promise:") == std::string::npos) {
            out.push_back(file.path + ": no line 'Accuracy:', 'Cost:' or 'Promise:' at the head");
        }
    }
    return out;
}

Complaints longer_than(const Tree& tree, int most)
{
    Complaints out;
    for (const File& file : tree) {
        const auto lines = std::count(file.text.begin(), file.text.end(), '\n');
        if (is_source(file.path) && lines > most) {
            out.push_back(file.path + ": " + std::to_string(lines) + " lines, more than " +
                          std::to_string(most));
        }
    }
    return out;
}

Complaints untested_rooms(const Tree& tree)
{
    // Rooms of the outermost rim are tested from outside.
    static const std::map<std::string, Names> elsewhere{
        {"planner/commands", {"tests/cli/"}},
        {"planner/app", {"tests/planner/app/", "tests/scenario/", "tests/cli/"}},
        {"demo-region", {"tests/scenario/test_demo"}},
    };
    Names rooms;
    for (const File& file : tree) {
        if (ends_with(file.path, ".cpp") && !room_of(file.path).empty()) {
            rooms.insert(room_of(file.path));
        }
    }
    Complaints out;
    for (const std::string& room : rooms) {
        const auto special = elsewhere.find(room);
        const Names begins =
            special == elsewhere.end() ? Names{"tests/" + room + "/"} : special->second;
        const bool tested = std::any_of(tree.begin(), tree.end(), [&](const File& file) {
            const std::string name = file.path.substr(file.path.rfind('/') + 1);
            return starts_with(name, "test_") && ends_with(name, ".cpp") &&
                   std::any_of(begins.begin(), begins.end(), [&](const std::string& begin) {
                       return starts_with(file.path, begin);
                   });
        });
        if (!tested) {
            out.push_back(room + ": no test_*.cpp in " + *begins.begin());
        }
    }
    return out;
}

Complaints strange_top_level(const Tree& tree)
{
    static const Names kFolders{"geocore",     "planner", "plugin", "tests",
                                "demo-region", "docs",    ".ci"};
    static const Names kFiles{"CMakeLists.txt", "README.md",         "DEVELOPERS.md",
                              "LICENSE",        "CMakePresets.json", ".clang-format",
                              ".clang-tidy",    ".gitignore",        ".gitattributes"};
    Names found;
    for (const File& file : tree) {
        const auto slash = file.path.find('/');
        found.insert(slash == std::string::npos ? file.path : file.path.substr(0, slash) + "/");
    }
    Complaints out;
    for (const std::string& entry : found) {
        const bool known = entry.back() == '/'
                               ? kFolders.count(entry.substr(0, entry.size() - 1)) > 0
                               : kFiles.count(entry) > 0;
        if (!known) {
            out.push_back(entry + ": has no place at the top");
        }
    }
    for (const std::string& folder : kFolders) {
        if (found.count(folder + "/") == 0) {
            out.push_back(folder + "/: missing at the top");
        }
    }
    for (const std::string& file : kFiles) {
        if (found.count(file) == 0) {
            out.push_back(file + ": missing at the top");
        }
    }
    return out;
}

Complaints forbidden_words(const Tree& tree)
{
    // Written in halves, so that this file does not hold them itself.
    static const std::vector<std::string> kWords{std::string{"/wo"} + "rk/",
                                                 std::string{"/ro"} + "ot/",
                                                 std::string{"/ho"} + "me/",
                                                 std::string{"sub"} + "agent",
                                                 std::string{"language "} + "model",
                                                 std::string{"chat"} + "bot",
                                                 std::string{"coding "} + "agent",
                                                 std::string{"L"} + "LM",
                                                 std::string{"A"} + "I",
                                                 std::string{"this ses"} + "sion",
                                                 std::string{"registry.npm"} + "js",
                                                 std::string{"pypi."} + "org",
                                                 std::string{"TO"} + "DO",
                                                 std::string{"FIX"} + "ME",
                                                 std::string{"XX"} + "X"};
    Complaints out;
    for (const File& file : tree) {
        if (file.text.find('\0') != std::string::npos) {
            continue;  // no text
        }
        int number = 0;
        for (const std::string& line : lines_of(file.text)) {
            ++number;
            for (const std::string& word : kWords) {
                if (holds_word(line, word)) {
                    out.push_back(at(file, number) + ": holds " + word);
                }
            }
            // "issue" and a number: the repository stands by itself.
            for (auto i = line.find("issue "); i != std::string::npos;
                 i = line.find("issue ", i + 1)) {
                if (i + 6 < line.size() &&
                    std::isdigit(static_cast<unsigned char>(line[i + 6])) != 0) {
                    out.push_back(at(file, number) + ": names an issue by number");
                }
            }
        }
    }
    return out;
}

}  // namespace nestround::house
