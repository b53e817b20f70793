#include "geocore/place/address_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <utility>

namespace nestround::place {

namespace {

using Pair = std::pair<std::string_view, std::string_view>;

constexpr std::array kAbbreviations{
    Pair{"alley", "aly"},     Pair{"apartment", "apt"},   Pair{"av", "ave"},
    Pair{"avenue", "ave"},    Pair{"boulevard", "blvd"},  Pair{"circle", "cir"},
    Pair{"close", "cl"},      Pair{"county", "co"},       Pair{"court", "ct"},
    Pair{"crescent", "cres"}, Pair{"crossing", "xing"},   Pair{"drive", "dr"},
    Pair{"east", "e"},        Pair{"expressway", "expy"}, Pair{"fort", "ft"},
    Pair{"freeway", "fwy"},   Pair{"gardens", "gdns"},    Pair{"grove", "grv"},
    Pair{"heights", "hts"},   Pair{"highway", "hwy"},     Pair{"hill", "hl"},
    Pair{"lane", "ln"},       Pair{"mount", "mt"},        Pair{"mountain", "mtn"},
    Pair{"north", "n"},       Pair{"northeast", "ne"},    Pair{"northwest", "nw"},
    Pair{"parkway", "pkwy"},  Pair{"place", "pl"},        Pair{"platz", "pl"},
    Pair{"plaza", "plz"},     Pair{"road", "rd"},         Pair{"route", "rte"},
    Pair{"rt", "rte"},        Pair{"saint", "st"},        Pair{"sainte", "ste"},
    Pair{"sankt", "st"},      Pair{"south", "s"},         Pair{"southeast", "se"},
    Pair{"southwest", "sw"},  Pair{"square", "sq"},       Pair{"strasse", "str"},
    Pair{"street", "st"},     Pair{"terrace", "ter"},     Pair{"township", "twp"},
    Pair{"turnpike", "tpke"}, Pair{"valley", "vly"},      Pair{"village", "vlg"},
    Pair{"way", "wy"},        Pair{"west", "w"}};

/// Of Latin-1 from U+00C0 and Latin Extended-A from U+0100 on: a letter for each. A dot divides
/// words, a star has two letters and is dealt with by itself.
constexpr std::string_view kLatin1 =
    "aaaaaa*ceeeeiiiidnooooo.ouuuuy**aaaaaa*ceeeeiiiidnooooo.ouuuuy*y";
constexpr std::string_view kExtendedA =
    "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiii**jjkkklllllll"
    "lllnnnnnnnnnoooooo**rrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

/// The code point at `i`, moved past; 0xFFFD for bytes that are none.
std::uint32_t next_point(std::string_view text, std::size_t& i)
{
    const auto byte = [&](std::size_t at) { return static_cast<unsigned char>(text[at]); };
    const auto lead = byte(i++);
    if (lead < 0x80) {
        return lead;
    }
    const int more = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : lead >= 0xC2 ? 1 : 0;
    std::uint32_t point = lead & (0x3FU >> more);
    for (int k = 0; k < more; ++k) {
        if (i >= text.size() || (byte(i) & 0xC0U) != 0x80) {
            return 0xFFFD;
        }
        point = (point << 6U) | (byte(i++) & 0x3FU);
    }
    return more == 0 ? 0xFFFD : point;
}

void append_point(std::string& out, std::uint32_t point)
{
    const auto put = [&](std::uint32_t bits) { out += static_cast<char>(bits); };
    if (point < 0x800) {
        put(0xC0U | (point >> 6U));
    } else if (point < 0x10000) {
        put(0xE0U | (point >> 12U));
        put(0x80U | ((point >> 6U) & 0x3FU));
    } else {
        put(0xF0U | (point >> 18U));
        put(0x80U | ((point >> 12U) & 0x3FU));
        put(0x80U | ((point >> 6U) & 0x3FU));
    }
    put(0x80U | (point & 0x3FU));
}

/// The folded letters of a point beyond ASCII; "." where it divides words.
std::string folded_point(std::uint32_t point)
{
    if (point >= 0x300 && point <= 0x36F) {
        return {};  // a combining mark
    }
    if (point == 0x2019 || point == 0x2BC) {
        return {};  // apostrophes
    }
    if (point == 0xDF || point == 0x1E9E) {
        return "ss";
    }
    if (point == 0xC6 || point == 0xE6) {
        return "ae";
    }
    if (point == 0xDE || point == 0xFE) {
        return "th";
    }
    if (point == 0x132 || point == 0x133) {
        return "ij";
    }
    if (point == 0x152 || point == 0x153) {
        return "oe";
    }
    if (point >= 0xC0 && point <= 0xFF) {
        return std::string{kLatin1[point - 0xC0]};
    }
    if (point >= 0x100 && point < 0x100 + kExtendedA.size()) {
        return std::string{kExtendedA[point - 0x100]};
    }
    if (point < 0xC0 || point == 0xFFFD || (point >= 0x2000 && point <= 0x206F) ||
        (point >= 0x3000 && point <= 0x303F)) {
        return ".";
    }
    if ((point >= 0x391 && point <= 0x3A9) || (point >= 0x410 && point <= 0x42F)) {
        point += 0x20;
    }
    std::string out;
    append_point(out, point);
    return out;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

}  // namespace

std::vector<std::string> folded_words(std::string_view text)
{
    std::vector<std::string> words;
    std::string word;
    const auto end_word = [&] {
        while (!word.empty() && (word.back() == '-' || word.back() == '/')) {
            word.pop_back();
        }
        if (!word.empty()) {
            words.push_back(std::exchange(word, {}));
        }
    };
    for (std::size_t i = 0; i < text.size();) {
        const auto point = next_point(text, i);
        if (point >= 0x80) {
            const auto folded = folded_point(point);
            folded == "." ? end_word() : void(word += folded);
            continue;
        }
        const char c = static_cast<char>(point);
        if (c >= 'A' && c <= 'Z') {
            word += static_cast<char>(c - 'A' + 'a');
        } else if ((c >= 'a' && c <= 'z') || is_digit(c)) {
            word += c;
        } else if ((c == '-' || c == '/') && !word.empty() && is_digit(word[0]) &&
                   i < text.size() && is_digit(text[i])) {
            word += c;
        } else if (c != '\'') {
            end_word();
        }
    }
    end_word();
    return words;
}

std::string canonical_word(std::string_view word)
{
    const auto found = std::find_if(kAbbreviations.begin(), kAbbreviations.end(),
                                    [&](const Pair& pair) { return pair.first == word; });
    if (found != kAbbreviations.end()) {
        return std::string{found->second};
    }
    constexpr std::string_view kCompound = "strasse";
    if (word.ends_with(kCompound)) {
        return std::string{word.substr(0, word.size() - kCompound.size())} + "str";
    }
    return std::string{word};
}

int edit_distance(std::string_view a, std::string_view b, int most)
{
    const auto n = static_cast<int>(a.size());
    const auto m = static_cast<int>(b.size());
    if (std::abs(n - m) > most) {
        return most + 1;
    }
    std::vector<int> before(m + 1);
    std::vector<int> last(m + 1);
    std::vector<int> now(m + 1);
    for (int j = 0; j <= m; ++j) {
        last[j] = j;
    }
    for (int i = 1; i <= n; ++i) {
        now[0] = i;
        int least = i;
        for (int j = 1; j <= m; ++j) {
            now[j] = std::min(
                {last[j] + 1, now[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                now[j] = std::min(now[j], before[j - 2] + 1);
            }
            least = std::min(least, now[j]);
        }
        if (least > most) {
            return most + 1;
        }
        std::swap(before, last);
        std::swap(last, now);
    }
    return std::min(last[m], most + 1);
}

std::optional<HouseNumber> house_number(std::string_view word)
{
    HouseNumber number;
    const auto* const end = word.data() + word.size();
    const auto first = std::from_chars(word.data(), end, number.first);
    if (first.ec != std::errc{} || first.ptr - word.data() > 6) {
        return std::nullopt;
    }
    number.last = number.first;
    const std::string_view rest{first.ptr, static_cast<std::size_t>(end - first.ptr)};
    if (rest.starts_with('-')) {
        int last = 0;
        const auto second = std::from_chars(rest.data() + 1, end, last);
        if (second.ec != std::errc{} || second.ptr != end) {
            return std::nullopt;
        }
        // "12-14" is a span; "12-3" a flat, and so is what stretches too far for one plot.
        if (last > number.first && last <= number.first + 50) {
            number.last = last;
        } else {
            number.rest = rest;
        }
        return number;
    }
    const bool letter = rest.size() == 1 && rest[0] >= 'a' && rest[0] <= 'z';
    if (!rest.empty() && !letter && !rest.starts_with('/')) {
        return std::nullopt;
    }
    number.rest = rest;
    return number;
}

}  // namespace nestround::place
