// Invented call-outs: who might call in such a county, and about what.
#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "demo-region/calls.hpp"
#include "demo-region/tables.hpp"

namespace nestround::demo {
namespace {

/// One kind of call: the species, where such nests hang, how high, how large in late summer.
struct Kind {
    const char* species;
    const char* nest_kind;
    double share;
    double low_m, high_m;        ///< above where one stands
    double width_cm, length_cm;  ///< full grown
    int from_month;              ///< hardly called about earlier
    std::array<const char*, 3> place;
    std::array<const char*, 3> entrance;
};

constexpr std::array<Kind, 10> kKinds{{
    {"Vespula maculifrons",
     "ground",
     24,
     -0.3,
     0,
     28,
     28,
     6,
     {"lawn edge", "bank behind the house", "old stump"},
     {"hole in the turf", "gap under a root", "hole beside a stone"}},
    {"Vespula maculifrons",
     "void",
     8,
     0.2,
     2.6,
     30,
     32,
     6,
     {"porch step", "garden wall", "shed floor"},
     {"gap between boards", "crack in the mortar", "knot hole"}},
    {"Vespula germanica",
     "void",
     17,
     0.8,
     5.8,
     34,
     40,
     6,
     {"house wall", "attic over the kitchen", "soffit at the back"},
     {"weep hole", "gap at the soffit", "loose siding"}},
    {"Dolichovespula maculata",
     "aerial",
     17,
     1.6,
     10,
     34,
     48,
     6,
     {"maple by the drive", "gable end", "apple tree"},
     {"low on the side", "low, to the south", "bottom"}},
    {"Dolichovespula arenaria",
     "aerial",
     11,
     1.2,
     6.5,
     20,
     20,
     5,
     {"porch roof", "eaves of the garage", "under the deck"},
     {"bottom", "side, near the bottom", "bottom, off centre"}},
    {"Vespa crabro",
     "void",
     9,
     0.6,
     6.5,
     32,
     48,
     7,
     {"barn wall", "hollow oak", "attic of the stable"},
     {"knot hole", "gap under the ridge", "open louvre"}},
    {"Polistes fuscatus",
     "aerial",
     4,
     1.4,
     3.4,
     10,
     4,
     6,
     {"window frame", "porch lamp", "shed eaves"},
     {"open comb", "open comb", "open comb"}},
    {"Polistes dominula",
     "aerial",
     3,
     0.8,
     3.2,
     12,
     4,
     6,
     {"gate post", "barbecue lid", "swing frame"},
     {"open comb", "open comb", "open comb"}},
    {"",
     "ground",
     4,
     -0.2,
     0,
     25,
     25,
     6,
     {"flower bed", "compost heap", "path edge"},
     {"hole in the ground", "not seen", "under the heap"}},
    {"",
     "unknown",
     3,
     0,
     4,
     25,
     30,
     7,
     {"behind the shed", "somewhere at the roof", "hedge"},
     {"not seen", "not seen", "many at the hedge"}},
}};

constexpr std::array<const char*, 7> kHours{
    "", "", "08:00-12:00;14:00-18:00", "13:00-17:30", "07:00-11:30", "09:00-16:00", "16:00-19:00"};

const Kind& pick_kind(Random& random)
{
    double total = 0;
    for (const Kind& kind : kKinds) {
        total += kind.share;
    }
    double left = random.uniform(0, total);
    for (const Kind& kind : kKinds) {
        left -= kind.share;
        if (left < 0) {
            return kind;
        }
    }
    return kKinds.back();
}

/// Calls come in from May to October, most of them from July to September.
Day pick_day(Random& random, int year, int from_month)
{
    constexpr std::array<double, 6> kWeight{8, 8, 30, 32, 17, 5};  // May to October
    constexpr std::array<int, 6> kDays{31, 30, 31, 31, 30, 31};
    for (;;) {
        double left = random.uniform(0, 100);
        std::size_t month = 0;
        while (month + 1 < kWeight.size() && left >= kWeight[month]) {
            left -= kWeight[month++];
        }
        if (static_cast<int>(month) + 5 >= from_month) {
            const auto day = 1 + static_cast<unsigned>(random.below(kDays[month]));
            return std::chrono::year{year} / static_cast<int>(month + 5) / static_cast<int>(day);
        }
    }
}

/// A field with the quotes that a comma needs.
std::string field(const std::string& text)
{
    return text.find(',') == std::string::npos ? text : '"' + text + '"';
}

}  // namespace

DrawnCall draw_call(const County& county, Random& random, NameMaker& names, int year, bool promised)
{
    const Kind& kind = pick_kind(random);
    const Day received =
        promised ? Day{std::chrono::year{year} / 7 / static_cast<int>(27 + random.below(5))}
                 : pick_day(random, year, kind.from_month);
    const House& house = county.houses[random.below(county.houses.size())];
    // Small in June, full grown by the end of August.
    const double grown = std::clamp((day_of_year(received) - 120) / 125.0, 0.2, 1.0);
    const double height = random.chance(0.7)
                              ? random.uniform(kind.low_m, (kind.low_m + kind.high_m) / 2)
                              : random.uniform(kind.low_m, kind.high_m);
    const bool sized = random.chance(0.75) && std::string_view{kind.nest_kind} != "ground";
    const double width = kind.width_cm * grown * random.uniform(0.7, 1.25);
    const std::size_t spot = random.below(3);
    const LonLat at = on_earth(house.at);
    const bool near_door = height < 4 && random.chance(0.35);
    const bool urgent = random.chance(0.07);
    const std::string hours = kHours[promised ? 0 : random.below(kHours.size())];
    const std::string last =
        promised || random.chance(0.14)
            ? format_day(received + std::chrono::days{10 + static_cast<int>(random.below(14))})
            : "";
    const bool poisoned = random.chance(0.06) && !promised;
    const Day seen = received - std::chrono::days{1 + static_cast<int>(random.below(20))};
    const std::string client = names.person();
    const auto phone = random.below(100);
    const char* note = random.chance(0.8)   ? ""
                       : random.chance(0.5) ? "dog in the yard"
                                            : "ring first";
    const char* ladder = random.chance(0.55) ? "given" : random.chance(0.2) ? "refused" : "unknown";
    const auto yes = [](bool value) { return value ? "yes" : "no"; };
    const std::string town = nearest_town(county, house.at);
    std::string line = fmt::format("{:.6f},{:.6f},", at.lon.value(), at.lat.value());
    line += field(fmt::format("{}, {}", kind.place[spot], town)) + ',';
    line += field(fmt::format("{} {}, {}", house.number, house.street, town));
    line += fmt::format(",{},{},{:.1f},", kind.species, kind.nest_kind, height);
    line +=
        sized ? fmt::format("{:.0f},{:.0f},", width, width * kind.length_cm / kind.width_cm) : ",,";
    line += fmt::format("{},{},{},{},{},{},{},{},", format_day(seen), field(kind.entrance[spot]),
                        yes(near_door), yes(urgent), yes(poisoned), hours, ladder, yes(promised));
    line += fmt::format("{},555-01{:02},{},{}", client, phone, last, note);
    return {received, line, kind.species, kind.nest_kind, height, poisoned, {}, {}};
}

std::string calls_table(std::vector<DrawnCall>& calls, char letter)
{
    std::stable_sort(calls.begin(), calls.end(), [](const DrawnCall& a, const DrawnCall& b) {
        return a.received < b.received;
    });
    std::string out =
        "key,received,lon,lat,place,address,species,nest_kind,height_m,width_cm,length_cm,"
        "first_seen,entrance,near_door,allergic,insecticide,allowed_hours,ladder_permission,"
        "must_take,client_name,client_phone,not_after,note\n";
    int number = 0;
    for (DrawnCall& call : calls) {
        call.key = fmt::format("{}{:03}", letter, ++number);
        out += fmt::format("{},{},{}\n", call.key, format_day(call.received), call.rest);
    }
    return out;
}

std::string calls_csv(const County& county)
{
    constexpr int kCalls = 150;
    constexpr int kPromised = 3;
    Random random{county.seed ^ 0x63616c6cU};
    NameMaker names{county.seed ^ 0x70656f70U};
    std::vector<DrawnCall> calls;
    for (int i = 0; i < kCalls; ++i) {
        calls.push_back(draw_call(county, random, names, 2026, i < kPromised));
    }
    return calls_table(calls, 'C');
}

}  // namespace nestround::demo
