// The colony by age against an independent simulation of single wasps (colony_simulation.py: NumPy
// and SciPy, Debian: python3-scipy), which draws each egg's and each worker's days and reads the
// published days of brood (S35, S76) from the tables by itself. Allowed on every day: 4 % of the
// part's greatest number, which holds what chance leaves at that size of colony; for the whole
// season 2 % of wasp-days.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <fstream>
#include <sstream>
#include <vector>

#include "geocore/nature/colony.hpp"
#include "geocore/nature/conversions.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

constexpr std::array kParts7{Part::Eggs,    Part::Larvae, Part::SealedSmall, Part::SealedLarge,
                             Part::Workers, Part::Gynes,  Part::Males};
constexpr double kOfAnyDay = 0.04;
constexpr double kOfTheSeason = 0.02;

using Days = std::vector<std::array<double, kParts7.size()>>;

ColonyParameters middle_colony(const char* code, double peak, double switch_on, double end_on)
{
    const auto brood = brood_stages(standard_taxa(), code);
    ColonyParameters colony;
    colony.egg_days = brood.egg_days;
    colony.larva_days = brood.larva_days;
    colony.sealed_days = brood.pupa_days;
    colony.first_workers_on = std::round(brood.days());
    colony.switch_on = switch_on;
    colony.fade_on = switch_on + 5;
    colony.end_on = end_on;
    colony.decline_on = end_on - 40;
    colony.stop_on = end_on - 55;
    colony.queen_most = 1.15 * peak / colony.worker_life;
    (void)calibrate_colony(colony, peak);
    return colony;
}

Days ours(const ColonyParameters& parameters)
{
    Days days;
    Colony colony{parameters};
    for (int day = 1; day <= static_cast<int>(std::ceil(parameters.end_on)); ++day) {
        colony.step();
        auto& row = days.emplace_back();
        for (std::size_t i = 0; i < kParts7.size(); ++i) {
            row.at(i) = colony.state().of(kParts7.at(i));
        }
    }
    return days;
}

bool has_scipy()
{
    return testing::run_shell("/usr/bin/python3 -c 'import numpy, scipy'").code == 0;
}

Days single_wasps(const char* code, const ColonyParameters& p)
{
    const testing::ScratchFolder folder;
    std::ofstream{folder.file("given")} << fmt::format(
        "tables {}/geocore/nature/taxa\ntaxon {}\npeak {}\nlarge_ratio {}\nbrood_loss {}\n"
        "worker_life {}\nfirst_workers_on {}\nfirst_workers {}\nfounding_eggs {}\n"
        "founding_cells {}\neggs_per_worker {}\nqueen_most {}\nswitch_on {}\nfade_on {}\nkept {}\n"
        "stop_on {}\ndecline_on {}\nend_on {}\nlarge_per_small {}\nfill_days {}\ngyne_share {}\n"
        "leave_days {}\nspare_cells {}\ncells_per_worker {}\n",
        NESTROUND_SOURCE_DIR, code, colony_peak(p).workers, p.large_ratio, p.brood_loss,
        p.worker_life, p.first_workers_on, p.first_workers, p.founding_eggs, p.founding_cells,
        p.eggs_per_worker, p.queen_most, p.switch_on, p.fade_on, p.kept, p.stop_on, p.decline_on,
        p.end_on, p.large_per_small, p.fill_days, p.gyne_share, p.leave_days, p.spare_cells,
        p.cells_per_worker);
    const auto said = testing::run_shell(
        fmt::format("/usr/bin/python3 '{}/tests/published/nature/colony_simulation.py' < '{}'",
                    NESTROUND_SOURCE_DIR, folder.file("given")));
    INFO(said.words);
    REQUIRE(said.code == 0);
    std::istringstream words{said.words};
    Days days;
    for (int day = 0; words >> day;) {
        REQUIRE(day == static_cast<int>(days.size()) + 1);
        for (auto& one : days.emplace_back()) {
            words >> one;
        }
    }
    REQUIRE(days.size() == static_cast<std::size_t>(std::ceil(p.end_on)));
    return days;
}

/// How far the two are apart, of each part's greatest number and of its sum.
struct Apart {
    double day = 0;
    double season = 0;
    std::string where;
};

Apart apart(const Days& one, const Days& other)
{
    constexpr std::array words{"eggs",    "larvae", "sealed small", "sealed large",
                               "workers", "gynes",  "males"};
    Apart worst;
    for (std::size_t part = 0; part < kParts7.size(); ++part) {
        double most = 0;
        double sum = 0;
        double other_sum = 0;
        for (std::size_t day = 0; day < other.size(); ++day) {
            most = std::max(most, other[day].at(part));
            sum += one[day].at(part);
            other_sum += other[day].at(part);
        }
        worst.season = std::max(worst.season, std::abs(sum / other_sum - 1));
        double of_part = 0;
        std::size_t when = 0;
        for (std::size_t day = 0; day < other.size(); ++day) {
            const double off = std::abs(one[day].at(part) - other[day].at(part)) / most;
            when = off > of_part ? day : when;
            of_part = std::max(of_part, off);
        }
        worst.day = std::max(worst.day, of_part);
        worst.where += fmt::format("{} {:.3f} on day {}, sum {:.4f}; ", words.at(part), of_part,
                                   when + 1, sum / other_sum);
    }
    return worst;
}

}  // namespace

TEST_CASE("Published, AColonyOfSingleWaspsTakesTheSameCourse")
{
    if (!has_scipy()) {
        WARN("SKIPPED: /usr/bin/python3 has no SciPy (Debian: python3-scipy)");
        return;
    }
    struct Case {
        const char* code;
        double peak, switch_on, end_on;
    };
    for (const auto& one :
         {Case{"VVUL", 1500, 120, 215}, Case{"VMAC", 2900, 125, 220}, Case{"DMAC", 400, 75, 160}}) {
        CAPTURE(one.code);
        const auto colony = middle_colony(one.code, one.peak, one.switch_on, one.end_on);
        REQUIRE(colony_peak(colony).workers == Approx(one.peak).epsilon(0.05));
        const auto theirs = single_wasps(one.code, colony);
        const auto off = apart(ours(colony), theirs);
        INFO(off.where);
        CHECK(off.day < kOfAnyDay);
        CHECK(off.season < kOfTheSeason);

        // That the check can fail: brood a tenth slower, or workers that live a tenth longer.
        auto slow = colony;
        slow.sealed_days *= 1.1;
        CHECK(apart(ours(slow), theirs).day > 2 * kOfAnyDay);
        auto old = colony;
        old.worker_life *= 1.1;
        CHECK(apart(ours(old), theirs).day > 1.5 * kOfAnyDay);
    }
}
