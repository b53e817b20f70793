// The place finder on generated addresses, a letter at a time as somebody types: median, 95th
// percentile and worst of each question, in processor time of the one thread. bench_places
// [ADDRESSES]
#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/gazetteer/place_file.hpp"

using namespace nestround;

namespace {

double now_ms()
{
    const auto now = std::chrono::steady_clock::now().time_since_epoch();
    return std::chrono::duration<double, std::milli>(now).count();
}

/// Of this thread: what others do on the machine is not in it.
double processor_ms()
{
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) / 1e6;
}

struct Asked {
    double ms = 0;
    std::string words;
};

std::string name(Random& random)
{
    static const char* const kParts[] = {"bar", "kel", "mor", "tun", "ves", "lo", "dri", "hap",
                                         "sen", "gol", "wid", "pra", "ost", "ul", "fen", "qui"};
    std::string out;
    for (int i = 0; i < 3; ++i) {
        out += kParts[random.below(16)];
    }
    out[0] = static_cast<char>(out[0] - 'a' + 'A');
    return out;
}

void report(const char* what, std::vector<Asked> asked)
{
    std::sort(asked.begin(), asked.end(), [](const auto& a, const auto& b) { return a.ms < b.ms; });
    fmt::print("{:<34} median {:7.2f} ms   95th {:7.2f} ms   worst {:7.2f} ms   ({} questions)\n",
               what, asked[asked.size() / 2].ms, asked[asked.size() * 95 / 100].ms, asked.back().ms,
               asked.size());
    std::string slowest;
    for (std::size_t i = asked.size() - std::min<std::size_t>(asked.size(), 5); i < asked.size();
         ++i) {
        slowest += fmt::format("   '{}' {:.1f}", asked[i].words, asked[i].ms);
    }
    fmt::print("    slowest, ms:{}\n", slowest);
}

}  // namespace

int main(int argc, char** argv)
{
    const std::size_t wanted = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 1'000'000;
    static const char* const kKinds[] = {"Street", "Road", "Lane", "Avenue", "Court", "Drive"};
    Random random{11};
    place::RawAddresses raw;
    std::vector<std::string> common;
    for (int i = 0; i < 400; ++i) {
        common.push_back(name(random) + " " + kKinds[random.below(6)]);
    }
    while (raw.houses.size() < wanted) {
        const LonLat town{Longitude{random.uniform(-80, -74)}, Latitude{random.uniform(39, 42)}};
        const std::string city = name(random);
        raw.settlements.push_back({city, "village", town});
        for (int s = 0; s < 40 && raw.houses.size() < wanted; ++s) {
            const std::string street = random.chance(0.4)
                                           ? common[random.below(common.size())]
                                           : name(random) + " " + kKinds[random.below(6)];
            const LonLat from{town.lon + Longitude{random.uniform(-0.02, 0.02)},
                              town.lat + Latitude{random.uniform(-0.02, 0.02)}};
            for (int h = 1; h <= 25; ++h) {
                raw.houses.push_back({{from.lon + Longitude{h * 2e-4}, from.lat},
                                      std::to_string(2 * h - h % 2),
                                      street,
                                      city,
                                      std::to_string(17000 + raw.settlements.size())});
            }
        }
    }
    const double began = now_ms();
    const auto list = place::join_addresses(raw);
    const double joined = now_ms();
    const auto path = (std::filesystem::temp_directory_path() / "bench.places").string();
    gazetteer::save_places(path, list, "bench", "");
    fmt::print(
        "{} houses, {} streets and settlements: joined in {:.1f} s, written in {:.1f} s, "
        "{:.0f} MB\n",
        list.houses.size(), list.spots.size(), (joined - began) / 1000, (now_ms() - joined) / 1000,
        static_cast<double>(std::filesystem::file_size(path)) / 1e6);

    const gazetteer::PlaceFile file{path};
    std::vector<Asked> typed;
    std::vector<Asked> whole;
    std::vector<Asked> misspelt;
    std::size_t missed = 0;
    std::size_t missed_misspelt = 0;
    for (int i = 0; i < 300; ++i) {
        const auto& house = raw.houses[random.below(raw.houses.size())];
        const std::string text = house.number + " " + house.street + ", " + house.city;
        const auto ask = [&](const std::string& words, bool typing, std::vector<Asked>& times) {
            const double start = processor_ms();
            auto answers = file.find({words, house.at, typing});
            times.push_back({processor_ms() - start, words});
            return answers;
        };
        for (std::size_t length = 1; length < text.size(); ++length) {
            (void)ask(text.substr(0, length), true, typed);
        }
        const auto shown = [&](const std::vector<gazetteer::Answer>& answers) {
            return !answers.empty() && answers[0].shown == text;
        };
        missed += shown(ask(text, false, whole)) ? 0 : 1;
        std::string wrong = text;
        const auto at = text.find(' ') + 2 + random.below(4);
        std::swap(wrong[at], wrong[at + 1]);
        missed_misspelt += shown(ask(wrong, false, misspelt)) ? 0 : 1;
    }
    // What fits most streets, and what fits none.
    std::vector<Asked> hard;
    std::vector<std::string> texts{"street",
                                   "st",
                                   "strete",
                                   "road lane",
                                   "12 street",
                                   "1 2 3 4 5",
                                   "drive of the streets avenue lane court road street"};
    for (char a = 'a'; a <= 'z'; ++a) {
        texts.emplace_back(1, a);
        texts.push_back(std::string{"1 "} + a);
        texts.push_back(std::string{"1 street "} + a);
        for (char b = 'a'; b <= 'z'; ++b) {
            texts.push_back({a, b});
            texts.push_back({'1', '7', ' ', a, b});
        }
    }
    for (int n = 0; n < 200; ++n) {
        texts.push_back(std::to_string(n));
        texts.push_back(name(random) + " " + name(random) + " steet, " + name(random));
    }
    for (const auto& text : texts) {
        for (const bool typing : {true, false}) {
            const double start = processor_ms();
            (void)file.find({text, raw.houses.front().at, typing});
            hard.push_back({processor_ms() - start, text});
        }
    }
    report("every letter typed", typed);
    report("one and two letters, words of all", hard);
    report("the whole address", whole);
    report("two letters exchanged", misspelt);
    fmt::print("not first: {} of 300 whole, {} of 300 misspelt\n", missed, missed_misspelt);
    std::filesystem::remove(path);
    return 0;
}
