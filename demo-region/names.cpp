#include "demo-region/names.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace nestround::demo {
namespace {

// Chosen so that what they compose is hardly a word of any language.
constexpr std::array<std::string_view, 34> kFirst{
    "ba",  "bri", "dro", "du",  "fe", "fli", "ga",  "gru", "hu",  "ji",  "kro", "lu",
    "ma",  "mo",  "ni",  "ol",  "pe", "plu", "quo", "ra",  "sci", "sku", "sni", "ta",
    "tro", "ul",  "va",  "vri", "wo", "wru", "yo",  "za",  "zhu", "thru"};
constexpr std::array<std::string_view, 22> kMiddle{
    "bble", "dra", "dvo", "fka", "gwe", "jo",  "kte", "lmo", "mpu", "ndri", "ngo",
    "plo",  "quu", "rbi", "rvo", "ska", "ssa", "tke", "vna", "wve", "xu",   "zzo"};
constexpr std::array<std::string_view, 20> kLast{"b",  "ck", "d",   "ft", "gg",  "k", "lk",
                                                 "lm", "m",  "mf",  "n",  "nk",  "p", "rb",
                                                 "rg", "rl", "rsk", "t",  "vel", "zz"};
constexpr std::array<std::string_view, 18> kPlainWords{
    "Street", "Avenue", "Lane", "Road",  "Court", "Drive", "Way",    "Close", "Place",
    "Loop",   "Alley",  "Hill", "Ferry", "River", "Pike",  "Square", "Mill",  "Highway"};

bool starts(std::string_view text, std::string_view with)
{
    return text.substr(0, with.size()) == with;
}

bool is_stem(std::string_view word)
{
    std::string lower{word};
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const std::string_view text{lower};
    for (const auto first : kFirst) {
        if (!starts(text, first)) {
            continue;
        }
        for (const auto middle : kMiddle) {
            const auto rest = text.substr(first.size());
            if (!starts(rest, middle)) {
                continue;
            }
            const auto tail = rest.substr(middle.size());
            if (tail.empty() || std::find(kLast.begin(), kLast.end(), tail) != kLast.end()) {
                return true;
            }
            for (const auto more : kMiddle) {
                if (starts(tail, more) && std::find(kLast.begin(), kLast.end(),
                                                    tail.substr(more.size())) != kLast.end()) {
                    return true;
                }
            }
        }
    }
    return false;
}

}  // namespace

std::string NameMaker::stem()
{
    for (;;) {
        std::string word{kFirst[random_.below(kFirst.size())]};
        word += kMiddle[random_.below(kMiddle.size())];
        if (random_.chance(0.25)) {
            word += kMiddle[random_.below(kMiddle.size())];
        }
        word += kLast[random_.below(kLast.size())];
        word[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(word[0])));
        if (given_.insert(word).second) {
            return word;
        }
    }
}

std::string NameMaker::place() { return stem(); }

std::string NameMaker::street(std::string_view kind) { return stem() + " " + std::string{kind}; }

std::string NameMaker::person()
{
    std::string first{kFirst[random_.below(kFirst.size())]};
    first += kMiddle[random_.below(kMiddle.size())];
    first[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(first[0])));
    return first + " " + stem();
}

bool is_invented(std::string_view name)
{
    while (!name.empty()) {
        const auto space = name.find(' ');
        const auto word = name.substr(0, space);
        if (std::find(kPlainWords.begin(), kPlainWords.end(), word) == kPlainWords.end() &&
            !is_stem(word)) {
            return false;
        }
        name = space == std::string_view::npos ? std::string_view{} : name.substr(space + 1);
    }
    return true;
}

}  // namespace nestround::demo
