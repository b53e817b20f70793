#include "tests/architecture/source_text.hpp"

#include <algorithm>
#include <cctype>

namespace nestround::house {
namespace {

bool is_word_char(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

}  // namespace

bool starts_with(std::string_view text, std::string_view with)
{
    return text.substr(0, with.size()) == with;
}
bool ends_with(std::string_view text, std::string_view with)
{
    return text.size() >= with.size() && text.substr(text.size() - with.size()) == with;
}
bool is_source(const std::string& path)
{
    return ends_with(path, ".cpp") || ends_with(path, ".hpp");
}

std::string room_of(const std::string& path)
{
    if (starts_with(path, "demo-region/")) {
        return "demo-region";
    }
    for (const char* part : {"geocore/", "planner/", "plugin/"}) {
        if (starts_with(path, part)) {
            const auto slash = path.find('/', std::string_view{part}.size());
            return slash == std::string::npos ? "" : path.substr(0, slash);
        }
    }
    return "";
}

const Names& pure_geocore()
{
    static const Names rooms{"geocore/units", "geocore/base",    "geocore/nature", "geocore/place",
                             "geocore/roads", "geocore/density", "geocore/records"};
    return rooms;
}

const Names& pure_planner()
{
    static const Names rooms{"planner/yield", "planner/access",  "planner/rank",
                             "planner/tour",  "planner/day",     "planner/season",
                             "planner/brood", "planner/freezer", "planner/partners"};
    return rooms;
}

bool is_pure(const std::string& room)
{
    return pure_geocore().count(room) > 0 || pure_planner().count(room) > 0;
}

std::vector<Include> includes_of(const std::string& text)
{
    std::vector<Include> found;
    int number = 0;
    for (const std::string& line : lines_of(text)) {
        ++number;
        std::size_t at = line.find_first_not_of(" \t");
        if (at == std::string::npos || line[at] != '#') {
            continue;
        }
        at = line.find_first_not_of(" \t", at + 1);
        if (at == std::string::npos || !starts_with(std::string_view{line}.substr(at), "include")) {
            continue;
        }
        const auto open = line.find_first_of("<\"", at);
        if (open == std::string::npos) {
            continue;
        }
        const auto close = line.find(line[open] == '<' ? '>' : '"', open + 1);
        if (close != std::string::npos) {
            found.push_back({line.substr(open + 1, close - open - 1), line[open] == '"', number});
        }
    }
    return found;
}

std::string at(const File& file, int line) { return file.path + ":" + std::to_string(line); }

bool holds_word(std::string_view text, std::string_view word)
{
    for (auto i = text.find(word); i != std::string_view::npos; i = text.find(word, i + 1)) {
        const auto end = i + word.size();
        const bool free_before =
            i == 0 || !is_word_char(word.front()) || !is_word_char(text[i - 1]);
        const bool free_after =
            end == text.size() || !is_word_char(word.back()) || !is_word_char(text[end]);
        if (free_before && free_after) {
            return true;
        }
    }
    return false;
}

std::vector<std::string> lines_of(const std::string& text)
{
    std::vector<std::string> lines;
    std::size_t from = 0;
    while (from < text.size()) {
        const auto end = std::min(text.find('\n', from), text.size());
        lines.push_back(text.substr(from, end - from));
        from = end + 1;
    }
    return lines;
}

std::string code_of(const std::string& text)
{
    std::string out = text;
    enum { Code, LineComment, BlockComment, String, Character, Raw } state = Code;
    std::string raw_end;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const char next = i + 1 < text.size() ? text[i + 1] : '\0';
        switch (state) {
            case Code:
                if (c == '/' && next == '/') {
                    state = LineComment;
                } else if (c == '/' && next == '*') {
                    state = BlockComment;
                } else if (c == '"' && i > 0 && text[i - 1] == 'R') {
                    const auto open = text.find('(', i);
                    raw_end = ")" + text.substr(i + 1, open - i - 1) + "\"";
                    state = Raw;
                } else if (c == '"') {
                    state = String;
                } else if (c == '\'' && !(i > 0 && is_word_char(text[i - 1]))) {
                    state = Character;  // else a digit separator
                }
                break;
            case LineComment:
                if (c == '\n') {
                    state = Code;
                }
                break;
            case BlockComment:
                if (c == '/' && i > 0 && text[i - 1] == '*') {
                    state = Code;
                    out[i] = ' ';
                    continue;
                }
                break;
            case String:
            case Character:
                if (c == '\\') {
                    out[i] = ' ';
                    if (++i < text.size() && text[i] != '\n') {
                        out[i] = ' ';
                    }
                    continue;
                }
                if (c == (state == String ? '"' : '\'')) {
                    state = Code;
                    continue;
                }
                break;
            case Raw:
                if (text.compare(i, raw_end.size(), raw_end) == 0) {
                    i += raw_end.size() - 1;
                    state = Code;
                    continue;
                }
                break;
        }
        if (state != Code && c != '\n') {
            out[i] = ' ';
        }
    }
    return out;
}

}  // namespace nestround::house
