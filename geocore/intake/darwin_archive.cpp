#include "geocore/intake/darwin_archive.hpp"

#include <expat.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <memory>
#include <optional>

#include "geocore/base/error.hpp"
#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"

namespace nestround::intake {

namespace {

constexpr std::size_t kMostMeta = std::size_t{4} << 20U;
constexpr std::size_t kLongestCell = 65536;

[[noreturn]] void refuse(const std::string& file, std::string why)
{
    throw Failure{ErrorCode::InvalidInput, std::move(why), file};
}

using Attributes = std::map<std::string, std::string>;

/// "occurrence" of "http://rs.tdwg.org/dwc/terms/occurrence", "a:location" and the like.
std::string last_part(std::string_view name)
{
    const auto at = name.find_last_of("/#:|");
    return std::string{at == std::string_view::npos ? name : name.substr(at + 1)};
}

char separator_of(const std::string& words)
{
    if (words == "\\t" || words == "\t") {
        return '\t';
    }
    return words.size() == 1 ? words.front() : ',';
}

int number_in(const Attributes& attributes, const char* name, int otherwise)
{
    const auto found = attributes.find(name);
    int value = otherwise;
    if (found != attributes.end()) {
        std::from_chars(found->second.data(), found->second.data() + found->second.size(), value);
    }
    return value;
}

/// Keeps the first table of occurrences, core before extensions as they stand.
class MetaReader {
public:
    void begin(const std::string& element, const Attributes& attributes)
    {
        text_.clear();
        if (element == "core" || element == "extension") {
            table_ = ArchiveTable{};
            const auto row = attributes.find("rowType");
            occurrences_ = row != attributes.end() && last_part(row->second) == "Occurrence";
            if (const auto by = attributes.find("fieldsTerminatedBy"); by != attributes.end()) {
                table_.separator = separator_of(by->second);
            }
            const auto quote = attributes.find("fieldsEnclosedBy");
            table_.quote = quote == attributes.end()   ? '"'
                           : quote->second.size() == 1 ? quote->second.front()
                                                       : '\0';
            table_.heading_lines = number_in(attributes, "ignoreHeaderLines", 0);
            return;
        }
        if (element == "field") {
            const auto term = attributes.find("term");
            if (term == attributes.end()) {
                return;
            }
            const int index = number_in(attributes, "index", -1);
            const auto constant = attributes.find("default");
            if (index >= 0) {
                table_.columns.emplace_back(index, last_part(term->second));
            } else if (constant != attributes.end()) {
                table_.constants.emplace_back(last_part(term->second), constant->second);
            }
        }
    }
    void end(const std::string& element)
    {
        if (element == "location" && table_.location.empty()) {
            table_.location = std::string{trimmed(text_)};
        } else if ((element == "core" || element == "extension") && occurrences_ && !found) {
            found = table_;
        }
    }
    void hear(std::string_view text)
    {
        if (text_.size() < 4096) {
            text_ += text;
        }
    }
    std::optional<ArchiveTable> found;

private:
    ArchiveTable table_;
    bool occurrences_ = false;
    std::string text_;
};

void on_begin(void* user, const XML_Char* name, const XML_Char** attributes)
{
    Attributes read;
    for (std::size_t i = 0; attributes[i] != nullptr; i += 2) {  // NOLINT
        read[last_part(attributes[i])] = attributes[i + 1];      // NOLINT
    }
    static_cast<MetaReader*>(user)->begin(last_part(name), read);
}

void on_end(void* user, const XML_Char* name)
{
    static_cast<MetaReader*>(user)->end(last_part(name));
}

void on_text(void* user, const XML_Char* text, int size)
{
    static_cast<MetaReader*>(user)->hear({text, static_cast<std::size_t>(size)});
}

struct FreeParser {
    void operator()(XML_Parser parser) const { XML_ParserFree(parser); }
};

/// The cells of the line at `at`, which is moved behind it.
std::vector<std::string> next_line(std::string_view text, std::size_t& at, const ArchiveTable& meta)
{
    std::vector<std::string> cells(1);
    bool quoted = false;
    while (at < text.size()) {
        const char c = text[at++];
        if (meta.quote != '\0' && c == meta.quote) {
            if (quoted && at < text.size() && text[at] == meta.quote) {
                cells.back() += c;
                ++at;
            } else if (quoted || cells.back().empty()) {
                quoted = !quoted;
            } else {
                cells.back() += c;
            }
        } else if (!quoted && c == meta.separator) {
            cells.emplace_back();
        } else if (!quoted && c == '\n') {
            break;
        } else if (c != '\r' || quoted) {
            cells.back() += c;
        }
    }
    return cells;
}

}  // namespace

ArchiveTable read_archive_meta(std::string_view xml, const std::string& shown_file)
{
    MetaReader reader;
    const std::unique_ptr<std::remove_pointer_t<XML_Parser>, FreeParser> parser{
        XML_ParserCreate(nullptr)};
    XML_SetUserData(parser.get(), &reader);
    XML_SetElementHandler(parser.get(), on_begin, on_end);
    XML_SetCharacterDataHandler(parser.get(), on_text);
    if (XML_Parse(parser.get(), xml.data(), static_cast<int>(xml.size()), 1) != XML_STATUS_OK) {
        refuse(shown_file, fmt::format("its meta.xml is no whole XML (line {}); ask for it again",
                                       XML_GetCurrentLineNumber(parser.get())));
    }
    if (!reader.found) {
        refuse(shown_file,
               "its meta.xml names no table of occurrences; ask for an archive that has one");
    }
    auto& table = *reader.found;
    if (table.location.empty() || table.location.find_first_of("/\\:") != std::string::npos ||
        table.location.starts_with("..")) {
        refuse(shown_file,
               fmt::format("its meta.xml names the file '{}', which is not in the archive",
                           shown(table.location)));
    }
    const auto largest = std::max_element(table.columns.begin(), table.columns.end());
    if (largest != table.columns.end() &&
        static_cast<std::size_t>(largest->first) >= kMostForeignColumns) {
        refuse(shown_file, fmt::format("its meta.xml names column {}; more than {} are not read",
                                       largest->first, kMostForeignColumns));
    }
    return table;
}

Grid archive_grid(std::string_view text, const ArchiveTable& meta, const std::string& shown_file)
{
    Grid grid;
    grid.file = shown_file;
    for (const auto& [index, term] : meta.columns) {
        grid.header.push_back(term);
    }
    for (const auto& [term, value] : meta.constants) {
        grid.header.push_back(term);
    }
    std::size_t at = 0;
    std::size_t line = 0;
    while (at < text.size()) {
        ++line;
        const auto cells = next_line(text, at, meta);
        if (static_cast<int>(line) <= meta.heading_lines ||
            (cells.size() == 1 && cells[0].empty())) {
            continue;
        }
        GridRow row;
        row.number = line;
        bool short_line = false;
        for (const auto& [index, term] : meta.columns) {
            const auto place = static_cast<std::size_t>(index);
            short_line = short_line || place >= cells.size();
            row.cells.push_back(place < cells.size() ? cells[place] : std::string{});
        }
        for (const auto& [term, value] : meta.constants) {
            row.cells.push_back(value);
        }
        const bool too_long =
            std::any_of(row.cells.begin(), row.cells.end(),
                        [](const std::string& cell) { return cell.size() > kLongestCell; });
        if (short_line || too_long) {
            grid.refused.push_back(
                {line, "",
                 short_line ? fmt::format("has {} cells, fewer than meta.xml names", cells.size())
                            : "has a cell longer than 65536 bytes",
                 "ask for the archive again"});
            continue;
        }
        grid.rows.push_back(std::move(row));
    }
    return grid;
}

Grid read_darwin_archive(const ForeignFile& archive)
{
    const auto meta = read_archive_meta(
        bytes_of_foreign(archive.in("meta.xml"), kMostMeta, archive.shown), archive.shown);
    if (!archive.holds(meta.location)) {
        refuse(archive.shown, fmt::format("its meta.xml names the file '{}', which is not in the "
                                          "archive",
                                          shown(meta.location)));
    }
    const auto read =
        decode_text(bytes_of_foreign(archive.in(meta.location), kMostForeignBytes, archive.shown),
                    archive.shown);
    return archive_grid(read.text, meta, archive.shown);
}

}  // namespace nestround::intake
