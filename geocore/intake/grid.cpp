#include "geocore/intake/grid.hpp"

#include <fmt/format.h>

#include <array>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"

namespace nestround::intake {

namespace {

constexpr std::size_t kLongestCell = 65536;
constexpr std::size_t kMostColumns = 2000;

struct Line {
    std::size_t number = 0;
    std::vector<std::string> cells;
    std::string fault;
    std::string way_out;

    [[nodiscard]] bool is_blank() const
    {
        return fault.empty() && cells.size() == 1 && trimmed(cells[0]).empty();
    }
};

/// Which of the separators stands most often outside quotes in the first line.
char separator_of(std::string_view text)
{
    static constexpr std::string_view candidates = ",;\t|";
    std::array<std::size_t, candidates.size()> counts{};
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') {
            quoted = !quoted;
        } else if (!quoted && (c == '\n' || c == '\r')) {
            break;
        } else if (const auto k = candidates.find(c); !quoted && k != std::string_view::npos) {
            ++counts[k];
        }
    }
    std::size_t best = 0;
    for (std::size_t k = 1; k < counts.size(); ++k) {
        if (counts[k] > counts[best]) {
            best = k;
        }
    }
    return candidates[best];
}

/// Splits text into lines of cells; a quoted cell may hold line ends.
class Splitter {
public:
    Splitter(std::string_view text, char separator) : text_{text}, separator_{separator} {}

    [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }

    Line next()
    {
        Line line;
        line.number = line_;
        for (;;) {
            line.cells.push_back(cell(line));
            if (at_end()) {
                break;
            }
            const char c = text_[at_++];
            if (c == separator_) {
                continue;
            }
            if (c == '\r' && !at_end() && text_[at_] == '\n') {
                ++at_;
            }
            ++line_;
            break;
        }
        return line;
    }

private:
    [[nodiscard]] bool at_cell_end() const
    {
        return at_end() || text_[at_] == separator_ || text_[at_] == '\n' || text_[at_] == '\r';
    }

    std::string cell(Line& line)
    {
        std::string out;
        if (!at_end() && text_[at_] == '"') {
            out = quoted(line);
        } else {
            // A quote inside an unquoted cell is a letter: 6" nest.
            const std::size_t from = at_;
            while (!at_cell_end()) {
                ++at_;
            }
            out = text_.substr(from, at_ - from);
        }
        if (out.size() > kLongestCell) {
            note(
                line,
                fmt::format("cell {} is longer than {} bytes", line.cells.size() + 1, kLongestCell),
                "shorten it, or look for a quote that is never closed");
            out.clear();
        }
        return out;
    }

    std::string quoted(Line& line)
    {
        const std::size_t began = line_;
        std::string out;
        bool closed = false;
        ++at_;
        while (!at_end() && !closed) {
            const char c = text_[at_++];
            if (c == '"') {
                if (at_end() || text_[at_] != '"') {
                    closed = true;
                    continue;
                }
                ++at_;
            } else if (c == '\n' || (c == '\r' && (at_end() || text_[at_] != '\n'))) {
                ++line_;
            }
            out += c;
        }
        if (!closed) {
            note(line,
                 fmt::format("a quote opened on line {} is never closed; nothing after it was read",
                             began),
                 "close it, or double a quote that is part of the text");
        }
        bool stray = false;
        while (!at_cell_end()) {
            stray = stray || (text_[at_] != ' ' && text_[at_] != '\t');
            ++at_;
        }
        if (stray) {
            note(line,
                 fmt::format("text follows the closing quote of cell {}", line.cells.size() + 1),
                 "double a quote that is part of the text");
        }
        return out;
    }

    static void note(Line& line, std::string fault, std::string way_out)
    {
        if (line.fault.empty()) {
            line.fault = std::move(fault);
            line.way_out = std::move(way_out);
        }
    }

    std::string_view text_;
    char separator_;
    std::size_t at_ = 0;
    std::size_t line_ = 1;
};

void refuse(Grid& grid, const Line& line)
{
    grid.refused.push_back({line.number, {}, line.fault, line.way_out});
}

void take(Grid& grid, Line line, Header header)
{
    if (header == Header::No && line.cells.size() < grid.header.size()) {
        line.cells.resize(grid.header.size());  // no header says how many there must be
    }
    while (line.cells.size() > grid.header.size() && trimmed(line.cells.back()).empty()) {
        line.cells.pop_back();
    }
    if (line.fault.empty() && line.cells.size() != grid.header.size()) {
        line.fault = fmt::format("has {} cells where the header has {}", line.cells.size(),
                                 grid.header.size());
        line.way_out = "quote cells that hold the separator, or restore the missing cells";
    }
    if (!line.fault.empty()) {
        refuse(grid, line);
        return;
    }
    grid.rows.push_back({line.number, std::move(line.cells), {}, {}});
}

}  // namespace

Result<Grid> parse_text_grid(std::string_view text, const std::string& file, Header header)
{
    const char separator = separator_of(text);
    Splitter splitter{text, separator};
    Grid grid;
    grid.file = file;
    grid.decimal_comma = separator != ',';
    while (!splitter.at_end()) {
        Line line = splitter.next();
        if (line.is_blank()) {
            continue;
        }
        if (!grid.header.empty()) {
            take(grid, std::move(line), header);
            continue;
        }
        if (!line.fault.empty() || line.cells.size() > kMostColumns) {
            return fail(ErrorCode::InvalidInput,
                        line.fault.empty() ? fmt::format("has more than {} columns; is it a "
                                                         "table with one row a line?",
                                                         kMostColumns)
                                           : line.fault + "; " + line.way_out,
                        fmt::format("{}:{}", file, line.number));
        }
        if (header == Header::Yes) {
            for (auto& cell : line.cells) {
                // Names stand in messages of one line.
                for (char& c : cell) {
                    c = static_cast<unsigned char>(c) < ' ' ? ' ' : c;
                }
                grid.header.emplace_back(trimmed(cell));
            }
        } else {
            for (std::size_t i = 0; i < line.cells.size(); ++i) {
                grid.header.push_back(fmt::format("cell {}", i + 1));
            }
            take(grid, std::move(line), header);
        }
    }
    if (grid.header.empty()) {
        return fail(ErrorCode::InvalidInput, "holds no line with the names of columns", file);
    }
    return grid;
}

Grid read_text_grid(const std::filesystem::path& file)
{
    const FileText read = read_text(file);
    Grid grid = value_or_throw(parse_text_grid(read.text, file.string()));
    if (read.recoded) {
        grid.notes.emplace_back("the text is not UTF-8; it was read as Windows-1252 (Latin-1)");
    }
    return grid;
}

}  // namespace nestround::intake
