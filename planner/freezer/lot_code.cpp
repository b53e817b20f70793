#include "planner/freezer/lot_code.hpp"

#include <fmt/format.h>

namespace nestround::freezer {

namespace {

constexpr std::string_view kAlphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::string_view kClear = "34679ACDEFHJKMNPQRTWXY";
constexpr std::size_t kPayload = 6;
constexpr std::size_t kHyphen = 4;

}  // namespace

std::optional<char> check_character(std::string_view payload)
{
    int p = 36;
    for (const char c : payload) {
        const auto value = kAlphabet.find(c);
        if (value == std::string_view::npos) {
            return std::nullopt;
        }
        int s = (p + static_cast<int>(value)) % 36;
        s = s == 0 ? 36 : s;
        p = 2 * s % 37;
    }
    return kAlphabet[static_cast<std::size_t>((37 - p) % 36)];
}

bool is_checked(std::string_view text)
{
    return text.size() > 1 && check_character(text.substr(0, text.size() - 1)) == text.back();
}

std::string make_lot_code(Random& random)
{
    for (;;) {
        std::string code;
        while (code.size() < kPayload) {
            code += kClear[random.below(kClear.size())];
        }
        const char check = check_character(code).value_or('0');
        if (kClear.find(check) != std::string_view::npos) {
            code += check;
            return code.insert(kHyphen, 1, '-');
        }
    }
}

Result<std::string> read_lot_code(std::string_view text)
{
    std::string code;
    for (const char c : text) {
        if (c != ' ' && c != '-') {
            code += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
        }
    }
    if (code.size() != kPayload + 1) {
        return fail(
            ErrorCode::InvalidInput,
            fmt::format("'{}' is no code of a lot: it has seven characters, as K7F4-TQ7", text));
    }
    for (const char c : code) {
        if (kClear.find(c) == std::string_view::npos) {
            return fail(
                ErrorCode::InvalidInput,
                fmt::format("'{}' is no code of a lot: no code has the character '{}'", text, c));
        }
    }
    if (!is_checked(code)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is no code of a lot: its check character does not fit, so "
                                "one character is wrong or two are swapped",
                                text));
    }
    return code.insert(kHyphen, 1, '-');
}

}  // namespace nestround::freezer
