#include "geocore/intake/settings_file.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <sstream>

#include "geocore/intake/file_text.hpp"

namespace nestround::intake {

namespace {

constexpr std::string_view kBareKey =
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-";

/// What is wrong and where; thrown inside this file only.
struct Fault {
    std::string message;
    std::uint32_t line = 0;
};

std::uint32_t line_of(const toml::node& node) { return node.source().begin.line; }

std::string number_text(double value)
{
    std::string text = fmt::format("{}", value);
    if (text.find_first_of(".en") == std::string::npos) {
        text += ".0";  // stays a float when written back
    }
    return text;
}

std::string scalar_text(const toml::node& node, const std::string& name)
{
    if (const auto* text = node.as_string()) {
        return text->get();
    }
    if (const auto* whole = node.as_integer()) {
        return fmt::format("{}", whole->get());
    }
    if (const auto* number = node.as_floating_point()) {
        return number_text(number->get());
    }
    if (const auto* truth = node.as_boolean()) {
        return truth->get() ? "true" : "false";
    }
    std::ostringstream out;
    if (const auto* date = node.as_date()) {
        out << date->get();
    } else if (const auto* time = node.as_time()) {
        out << time->get();
    } else if (const auto* moment = node.as_date_time()) {
        out << moment->get();
    } else {
        throw Fault{fmt::format("'{}' is a list of lists or tables; write plain values", name),
                    line_of(node)};
    }
    return out.str();
}

std::string list_text(const toml::array& list, const std::string& name)
{
    std::string out;
    for (const auto& item : list) {
        const std::string part = scalar_text(item, name);
        if (part.find(';') != std::string::npos) {
            throw Fault{
                fmt::format("an entry of '{}' holds a semicolon, which parts the entries", name),
                line_of(item)};
        }
        out += (out.empty() ? "" : ";") + part;
    }
    return out;
}

void flatten(const toml::table& table, const std::string& prefix, Settings& out)
{
    for (const auto& [key, node] : table) {
        const std::string_view part = key.str();
        if (part.empty() || part.find_first_not_of(kBareKey) != std::string_view::npos) {
            throw Fault{fmt::format("the name '{}' may hold letters, digits, _ and - only", part),
                        line_of(node)};
        }
        const std::string name = prefix + std::string{part};
        if (const auto* inner = node.as_table()) {
            flatten(*inner, name + ".", out);
        } else if (const auto* list = node.as_array()) {
            out[name] = list_text(*list, name);
        } else {
            out[name] = scalar_text(node, name);
        }
    }
}

std::string in_quotes(std::string_view text)
{
    std::string out = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            out += '\\';
            out += c;
        } else if (c == '\n') {
            out += "\\n";
        } else if (c == '\t') {
            out += "\\t";
        } else if (byte < 0x20 || byte == 0x7f) {
            out += fmt::format("\\u{:04X}", byte);
        } else {
            out += c;
        }
    }
    return out + "\"";
}

/// `text` without quotes where TOML reads a number or yes/no that is written the same again.
std::string value_text(const std::string& text)
{
    if (text == "true" || text == "false") {
        return text;
    }
    const bool plain = !text.empty() && text.size() < 18 &&
                       text.find_first_not_of("0123456789.-") == std::string::npos;
    if (plain) {
        try {
            const auto parsed = toml::parse("x = " + text);
            const auto* node = parsed.get("x");
            if (node != nullptr && (node->is_integer() || node->is_floating_point()) &&
                scalar_text(*node, "x") == text) {
                return text;
            }
        } catch (const toml::parse_error&) {
            // "1.2.3" and "08" are text.
        }
    }
    return in_quotes(text);
}

/// A name that is both a value and the table of another cannot be written.
void require_no_nesting(const Settings& settings)
{
    for (const auto& [name, value] : settings) {
        for (auto dot = name.find('.'); dot != std::string::npos; dot = name.find('.', dot + 1)) {
            if (settings.contains(name.substr(0, dot))) {
                throw Failure{ErrorCode::InvalidInput,
                              fmt::format("'{}' is a value and has parts as well ('{}'); remove "
                                          "one",
                                          name.substr(0, dot), name),
                              "settings"};
            }
        }
    }
}

}  // namespace

Result<Settings> parse_settings(std::string_view toml, std::string_view name)
{
    try {
        Settings out;
        flatten(toml::parse(toml), "", out);
        return out;
    } catch (const toml::parse_error& error) {
        std::string words{error.description()};
        std::replace_if(
            words.begin(), words.end(), [](unsigned char c) { return c < ' '; }, ' ');
        return fail(ErrorCode::InvalidInput,
                    words + "; mend this line (TOML: name = value, text in quotes)",
                    fmt::format("{}:{}", name, error.source().begin.line));
    } catch (const Fault& fault) {
        return fail(ErrorCode::InvalidInput, fault.message, fmt::format("{}:{}", name, fault.line));
    }
}

Settings read_settings(const std::filesystem::path& file)
{
    return value_or_throw(parse_settings(read_text(file).text, file.string()));
}

std::string settings_toml(const Settings& settings)
{
    require_no_nesting(settings);
    std::string top;
    std::map<std::string, std::string> tables;
    for (const auto& [name, value] : settings) {
        const auto dot = name.find('.');
        if (dot == std::string::npos) {
            top += fmt::format("{} = {}\n", name, value_text(value));
        } else {
            tables[name.substr(0, dot)] +=
                fmt::format("{} = {}\n", name.substr(dot + 1), value_text(value));
        }
    }
    std::string out = top;
    for (const auto& [table, lines] : tables) {
        out += fmt::format("{}[{}]\n{}", out.empty() ? "" : "\n", table, lines);
    }
    return out;
}

}  // namespace nestround::intake
