#include "geocore/intake/outline_file.hpp"

#include <expat.h>
#include <fmt/format.h>

#include <charconv>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <type_traits>

#include "geocore/base/error.hpp"
#include "geocore/intake/file_text.hpp"

namespace nestround::intake {

namespace {

using Json = nlohmann::json;

[[noreturn]] void refuse(const std::string& file, std::string words)
{
    throw Failure{ErrorCode::InvalidInput, std::move(words), file};
}

PixelLine line_of(const Json& points, const std::string& file)
{
    PixelLine line;
    for (const auto& point : points) {
        if (!point.is_array() || point.size() < 2 || !point[0].is_number() ||
            !point[1].is_number()) {
            refuse(file, "a point is two numbers, as [120, 80]");
        }
        line.emplace_back(point[0].get<double>(), point[1].get<double>());
    }
    return line;
}

void add_rings(const Json& rings, const std::string& file, std::vector<PixelLine>& out)
{
    if (!rings.is_array() || rings.size() != 1) {
        refuse(file, "an outline with holes is not read; give the parts of the comb as outlines");
    }
    out.push_back(line_of(rings[0], file));
}

void add_geojson(const Json& json, const std::string& file, std::vector<PixelLine>& out)
{
    const std::string type = json.value("type", "");
    if (type == "FeatureCollection") {
        for (const auto& feature : json.at("features")) {
            add_geojson(feature, file, out);
        }
    } else if (type == "Feature") {
        add_geojson(json.at("geometry"), file, out);
    } else if (type == "Polygon") {
        add_rings(json.at("coordinates"), file, out);
    } else if (type == "MultiPolygon") {
        for (const auto& rings : json.at("coordinates")) {
            add_rings(rings, file, out);
        }
    } else {
        refuse(file, fmt::format("a Polygon or MultiPolygon is wanted, not '{}'", type));
    }
}

std::vector<PixelLine> from_json(const std::string& text, const std::string& file)
{
    std::vector<PixelLine> out;
    try {
        const Json json = Json::parse(text);
        if (json.is_object()) {
            add_geojson(json, file, out);
        } else if (json.is_array() && !json.empty() && json[0].is_array() && !json[0].empty() &&
                   json[0][0].is_array()) {
            for (const auto& points : json) {
                out.push_back(line_of(points, file));
            }
        } else {
            out.push_back(line_of(json, file));
        }
    } catch (const Json::exception& fault) {
        refuse(file, fmt::format("this is no JSON of outlines: {}", fault.what()));
    }
    return out;
}

/// Numbers and letters of a list of points or of a path, one after the other.
class Tokens {
public:
    explicit Tokens(std::string_view text) : rest_{text} { skip(); }
    [[nodiscard]] bool done() const { return rest_.empty(); }
    [[nodiscard]] std::optional<char> letter()
    {
        if (rest_.empty() || std::isalpha(static_cast<unsigned char>(rest_.front())) == 0) {
            return std::nullopt;
        }
        const char found = rest_.front();
        rest_.remove_prefix(1);
        skip();
        return found;
    }
    [[nodiscard]] std::optional<double> number()
    {
        double value = 0;
        const char* begin = rest_.data();
        if (!rest_.empty() && rest_.front() == '+') {
            ++begin;
        }
        const auto [end, code] = std::from_chars(begin, rest_.data() + rest_.size(), value);
        if (code != std::errc{}) {
            return std::nullopt;
        }
        rest_.remove_prefix(static_cast<std::size_t>(end - rest_.data()));
        skip();
        return value;
    }

private:
    void skip()
    {
        const auto at = rest_.find_first_not_of(" \t\r\n,");
        rest_.remove_prefix(at == std::string_view::npos ? rest_.size() : at);
    }
    std::string_view rest_;
};

std::optional<PixelLine> pairs(std::string_view text)
{
    Tokens tokens{text};
    PixelLine line;
    while (!tokens.done()) {
        const auto x = tokens.number();
        const auto y = x ? tokens.number() : std::nullopt;
        if (!y) {
            return std::nullopt;
        }
        line.emplace_back(*x, *y);
    }
    return line;
}

class Drawing {
public:
    Drawing(std::string file, int width, int height)
        : file_{std::move(file)}, width_{width}, height_{height}
    {
    }

    void start(const std::string& name, const char** attributes)
    {
        const auto find = [&](const char* wanted) -> std::optional<std::string> {
            for (const char** at = attributes; at[0] != nullptr; at += 2) {
                if (std::string_view{at[0]} == wanted) {
                    return at[1];
                }
            }
            return std::nullopt;
        };
        if (find("transform")) {
            fault_ = fmt::format(
                "<{}> has a transform, which is not read; apply it in the drawing "
                "program",
                name);
        }
        if (name == "svg") {
            if (const auto box = find("viewBox")) {
                const auto four = pairs(*box);
                if (!four || four->size() != 2 || !((*four)[1].first > 0) ||
                    !((*four)[1].second > 0)) {
                    fault_ = "the viewBox is not four numbers";
                } else {
                    left_ = (*four)[0].first;
                    top_ = (*four)[0].second;
                    scale_x_ = width_ / (*four)[1].first;
                    scale_y_ = height_ / (*four)[1].second;
                }
            }
        } else if (name == "polygon" || name == "polyline") {
            const auto line = pairs(find("points").value_or(""));
            if (!line) {
                fault_ = "the points of a polygon are not pairs of numbers";
            } else {
                keep(*line);
            }
        } else if (name == "path") {
            path(find("d").value_or(""));
        }
    }

    std::string fault_;
    std::vector<PixelLine> lines_;

private:
    void keep(const PixelLine& line)
    {
        PixelLine scaled;
        for (const auto& [x, y] : line) {
            scaled.emplace_back((x - left_) * scale_x_, (y - top_) * scale_y_);
        }
        if (!scaled.empty()) {
            lines_.push_back(std::move(scaled));
        }
    }

    void path(const std::string& text)
    {
        Tokens tokens{text};
        PixelLine line;
        double x = 0;
        double y = 0;
        char command = 'M';
        while (!tokens.done()) {
            if (const auto letter = tokens.letter()) {
                command = *letter;
                if (command == 'Z' || command == 'z') {
                    if (!line.empty()) {
                        x = line.front().first;
                        y = line.front().second;
                    }
                    keep(line);
                    line.clear();
                    continue;
                }
                if (std::string_view{"MmLlHhVv"}.find(command) == std::string_view::npos) {
                    fault_ = fmt::format("a path bends ('{}'); draw the outline of straight lines",
                                         command);
                    return;
                }
                if ((command == 'M' || command == 'm') && !line.empty()) {
                    keep(line);
                    line.clear();
                }
            }
            const bool relative = std::islower(static_cast<unsigned char>(command)) != 0;
            const char kind = static_cast<char>(std::toupper(command));
            const auto first = tokens.number();
            const auto second =
                first && kind != 'H' && kind != 'V' ? tokens.number() : std::optional{0.0};
            if (!first || !second) {
                fault_ = "a path is not read to its end";
                return;
            }
            if (kind == 'H') {
                x = relative ? x + *first : *first;
            } else if (kind == 'V') {
                y = relative ? y + *first : *first;
            } else {
                x = relative ? x + *first : *first;
                y = relative ? y + *second : *second;
            }
            line.emplace_back(x, y);
        }
        keep(line);
    }

    std::string file_;
    int width_;
    int height_;
    double left_ = 0;
    double top_ = 0;
    double scale_x_ = 1;
    double scale_y_ = 1;
};

std::vector<PixelLine> from_svg(const std::string& text, const std::string& file, int width,
                                int height)
{
    Drawing drawing{file, width, height};
    const std::unique_ptr<std::remove_pointer_t<XML_Parser>, decltype(&XML_ParserFree)> parser{
        XML_ParserCreate(nullptr), XML_ParserFree};
    XML_SetUserData(parser.get(), &drawing);
    XML_SetStartElementHandler(
        parser.get(), [](void* data, const char* name, const char** attributes) {
            const std::string_view whole{name};
            const auto colon = whole.rfind(':');
            static_cast<Drawing*>(data)->start(
                std::string{colon == std::string_view::npos ? whole : whole.substr(colon + 1)},
                attributes);
        });
    if (XML_Parse(parser.get(), text.data(), static_cast<int>(text.size()), 1) ==
        XML_STATUS_ERROR) {
        refuse(file, fmt::format("line {}: this is no whole SVG: {}",
                                 XML_GetCurrentLineNumber(parser.get()),
                                 XML_ErrorString(XML_GetErrorCode(parser.get()))));
    }
    if (!drawing.fault_.empty()) {
        refuse(file, drawing.fault_);
    }
    return drawing.lines_;
}

}  // namespace

std::vector<PixelLine> read_outlines(const std::filesystem::path& file, int width, int height)
{
    const std::string text = read_text(file).text;
    const std::string name = file.string();
    const auto first = text.find_first_not_of(" \t\r\n");
    std::vector<PixelLine> lines;
    if (first != std::string::npos && (text[first] == '[' || text[first] == '{')) {
        lines = from_json(text, name);
    } else if (first != std::string::npos && text[first] == '<') {
        lines = from_svg(text, name, width, height);
    } else {
        refuse(name, "this is neither JSON, GeoJSON nor SVG");
    }
    if (lines.empty()) {
        refuse(name, "there is no outline in it");
    }
    return lines;
}

PixelLine typed_outline(std::string_view text)
{
    const auto line = pairs(text);
    if (!line || line->empty()) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("'{}' are no points; write \"120,80 400,95 380,300\"", text)};
    }
    return *line;
}

}  // namespace nestround::intake
