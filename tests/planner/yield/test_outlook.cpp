#include "planner/yield/outlook.hpp"

#include <algorithm>
#include <string>

#include "tests/support/catch.hpp"

using namespace nestround;
using yield::NestOutlook;

namespace {

const LonLat kPlace{Longitude{-82.5}, Latitude{41}};
const LonLat kMirror{Longitude{172.5}, Latitude{-41}};

Nest nest_of(const std::string& taxon, NestKind kind = NestKind::Ground)
{
    Nest nest;
    nest.taxon = taxon;
    nest.kind = kind;
    return nest;
}

NestOutlook on(const Nest& nest, const char* day, LonLat place = kPlace)
{
    return yield::outlook(nature::standard_taxa(), nest, place, *parse_day(day));
}

bool says(const std::vector<std::string>& notes, std::string_view part)
{
    return std::any_of(notes.begin(), notes.end(), [&](const std::string& note) {
        return note.find(part) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("Outlook, IsOrderedForEveryTaxonAndMonth")
{
    yield::Forecaster forecaster{nature::standard_taxa()};
    for (const auto* taxon : {"", "VMAC", "VGER", "VPEN", "VVUL", "VSQU", "VVID", "VCON", "DMAC",
                              "DARE", "VCRA", "PFUS", "PDOM", "Vespula", "XXXX"}) {
        for (const NestKind kind :
             {NestKind::Unknown, NestKind::Aerial, NestKind::Ground, NestKind::Void}) {
            for (int month = 0; month < 12; ++month) {
                const auto outlook =
                    forecaster.outlook(nest_of(taxon, kind), kPlace,
                                       *parse_day("2026-01-15") + std::chrono::days{month * 30});
                CAPTURE(taxon, month);
                CHECK(outlook.workers.low <= outlook.workers.middle);
                CHECK(outlook.workers.middle <= outlook.workers.high);
                CHECK(outlook.grams.low <= outlook.grams.middle);
                CHECK(outlook.grams.middle <= outlook.grams.high);
                CHECK_FALSE(outlook.stage.empty());
                CHECK_FALSE(outlook.taxon_name.empty());
                CHECK_FALSE(outlook.notes.empty());
                // No crew catches more than is alive; an 0.6 g wasp is heavier than any worker.
                CHECK(outlook.grams.high.value() <= outlook.workers.high * 0.6);
            }
        }
    }
}

TEST_CASE("Outlook, NoWorkersBeforeTheColonyOrAfterItsEnd")
{
    for (const char* day : {"2026-01-20", "2026-02-20"}) {
        const auto early = on(nest_of("VMAC"), day);
        CHECK(early.workers == Spread<double>{});
        CHECK(early.grams.high.value() == 0);
        CHECK(early.stage == "not yet founded");
    }
    Nest last_year = nest_of("VMAC");
    last_year.season = 2025;
    const auto dead = on(last_year, "2026-07-15");
    CHECK(dead.workers == Spread<double>{});
    CHECK(dead.stage == "over");
    CHECK(on(nest_of("PFUS", NestKind::Aerial), "2026-12-20").workers == Spread<double>{});
}

TEST_CASE("Outlook, SouthMirrorsNorth")
{
    const auto north = on(nest_of("VGER"), "2026-04-01");
    // Day 91 of the northern year is 29 September of the southern season 2027.
    const auto south = on(nest_of("VGER"), "2026-09-29", kMirror);
    CHECK(north.workers == south.workers);
    CHECK(north.grams == south.grams);
    CHECK(north.stage == south.stage);
    CHECK(on(nest_of("VGER"), "2026-03-15", kMirror).workers.middle > 1000);
}

TEST_CASE("Outlook, InsecticideLeavesNothingForLaboratories")
{
    Nest nest = nest_of("VMAC");
    nest.insecticide = true;
    const auto outlook = on(nest, "2026-09-15");
    CHECK(outlook.grams == Spread<Grams>{});
    CHECK(outlook.in_7_days.value() == 0);
    CHECK_FALSE(outlook.venom);
    CHECK(outlook.workers.middle > 500);  // they are still there to be minded
    CHECK(says(outlook.notes, "insecticide"));
}

TEST_CASE("Outlook, AnUnknownWaspIsWideAndSaysSo")
{
    const auto unknown = on(nest_of("", NestKind::Aerial), "2026-08-20");
    CHECK(unknown.taxon.empty());
    CHECK(unknown.taxon_name == "unknown social wasp");
    CHECK(says(unknown.notes, "is wide"));
    for (const char* code : {"DMAC", "PFUS"}) {
        const auto known = on(nest_of(code, NestKind::Aerial), "2026-08-20");
        CAPTURE(code);
        CHECK(unknown.workers.high / unknown.workers.low > known.workers.high / known.workers.low);
    }
    const auto misspelt = on(nest_of("XXXX", NestKind::Aerial), "2026-08-20");
    CHECK(misspelt.workers == unknown.workers);
    CHECK(says(misspelt.notes, "'XXXX' is not in the table"));
    CHECK(on(nest_of("Vespula", NestKind::Ground), "2026-08-20").taxon_name ==
          "Vespula of unknown species");
}

TEST_CASE("Outlook, TheOuterSizeOfTheNestSaysLittle")
{
    Nest nest = nest_of("DMAC", NestKind::Aerial);
    const auto plain = on(nest, "2026-08-15");
    CHECK(says(plain.notes, "does not tell the size of the colony"));
    nest.width = Metres{0.6};
    CHECK(on(nest, "2026-08-15").workers == plain.workers);  // a width alone is no volume
    nest.length = Metres{0.8};
    const auto wide = on(nest, "2026-08-15");
    CHECK(wide.workers.middle > plain.workers.middle);
    CHECK(wide.workers.middle < 1.5 * plain.workers.middle);  // for eight times the volume
    CHECK(says(wide.notes, "60 cm across is wider than the 35 cm"));
    nest.width = Metres{0.3};
    CHECK_FALSE(says(on(nest, "2026-08-15").notes, "is wider than"));
}

TEST_CASE("Outlook, GrowsInSummerAndFallsInAutumn")
{
    const auto july = on(nest_of("VMAC"), "2026-07-20");
    CHECK(july.in_7_days > july.grams.middle);
    CHECK(july.in_14_days > july.in_7_days);
    const auto november = on(nest_of("VMAC"), "2026-11-05");
    CHECK(november.in_7_days < november.grams.middle);
    CHECK(november.in_14_days < november.in_7_days);
    // What a week later gives is what is forecast a week later.
    CHECK(july.in_7_days == on(nest_of("VMAC"), "2026-07-27").grams.middle);
}

TEST_CASE("Outlook, TheCatchShareOfTheCrewReplacesTheTables")
{
    yield::YieldSettings all;
    all.catch_share = Spread<double>{1, 1, 1};
    yield::YieldSettings none;
    none.catch_share = Spread<double>{0, 0, 0};
    const Day day = *parse_day("2026-09-15");
    const auto& table = nature::standard_taxa();
    const auto most = yield::outlook(table, nest_of("VGER"), kPlace, day, all);
    const auto usual = yield::outlook(table, nest_of("VGER"), kPlace, day);
    CHECK(most.grams.middle > usual.grams.middle);
    CHECK(yield::outlook(table, nest_of("VGER"), kPlace, day, none).grams.high.value() == 0);
    // All of the workers at 74.1 mg less 3 % lost in freezing.
    CHECK(most.grams.middle.value() == Approx(most.workers.middle * 0.0741 * 0.97).epsilon(0.1));
}

TEST_CASE("Outlook, FirstSeenThatCannotBeIsNotedAndNotHeeded")
{
    Nest nest = nest_of("DARE", NestKind::Aerial);
    const auto plain = on(nest, "2026-07-15");
    nest.first_seen = *parse_day("2026-02-01");
    const auto odd = on(nest, "2026-07-15");
    // Something known is wrong, and nobody knows what: no narrower, and in fact wider.
    CHECK(odd.workers.low < plain.workers.low);
    CHECK(odd.workers.high >= plain.workers.high);
    CHECK(odd.grams.high >= plain.grams.high);
    CHECK(says(odd.notes, "first seen on 2026-02-01"));
    CHECK(says(odd.notes, "widened"));
    nest.first_seen = *parse_day("2026-08-01");
    CHECK(says(on(nest, "2026-07-15").notes, "after the day of the forecast"));
    // Seen early, it was founded early and is larger now.
    nest.first_seen = *parse_day("2026-04-20");
    CHECK(on(nest, "2026-06-10").workers.middle >
          on(nest_of("DARE", NestKind::Aerial), "2026-06-10").workers.middle);
}

TEST_CASE("Outlook, OrderOfQuestionsChangesNoAnswer")
{
    yield::Forecaster one{nature::standard_taxa()};
    yield::Forecaster other{nature::standard_taxa()};
    const LonLat near{Longitude{-82.51}, Latitude{41.05}};
    const Day day = *parse_day("2026-08-20");
    const auto nest = nest_of("", NestKind::Void);
    const auto a1 = one.outlook(nest, kPlace, day);
    const auto a2 = one.outlook(nest, near, day);
    const auto b2 = other.outlook(nest, near, day);
    const auto b1 = other.outlook(nest, kPlace, day);
    CHECK(a1.workers == b1.workers);
    CHECK(a2.workers == b2.workers);
    CHECK(a1.grams == b1.grams);
    CHECK(a1.notes == b1.notes);
}

TEST_CASE("Outlook, CautionsComeFromTheTableAndNeverCallAnythingSafe")
{
    const auto hornet = on(nest_of("DMAC", NestKind::Aerial), "2026-08-20");
    CHECK(says(hornet.cautions, "goggles"));
    for (const auto& row : nature::standard_taxa().figures()) {
        CHECK(row.words.find("is safe") == std::string::npos);
    }
}

TEST_CASE("Outlook, AShiftOfTheYearMovesTheDatesAndNoneChangesNothing")
{
    const auto& table = nature::standard_taxa();
    const LonLat place{Longitude{-77}, Latitude{41}};
    Nest nest;
    nest.taxon = "VMAC";
    nest.kind = NestKind::Ground;
    const Day growing = parse_day("2026-08-05").value();
    const auto plain = yield::outlook(table, nest, place, growing);
    const auto shifted = [&](double start) {
        yield::YieldSettings settings;
        nature::SeasonShift shift;
        shift.start = {start, start, start};
        shift.words = {"the weather moved it"};
        settings.shift = std::make_shared<const nature::SeasonShift>(shift);
        return yield::outlook(table, nest, place, growing, settings);
    };
    CHECK(shifted(0).workers.middle == plain.workers.middle);
    CHECK(shifted(0).grams.high == plain.grams.high);
    CHECK(shifted(-10).workers.middle > plain.workers.middle);  // an early year is further on
    CHECK(shifted(10).workers.middle < plain.workers.middle);
    CHECK(shifted(10).notes.size() == plain.notes.size() + 1);
    // On the southern side the same half a year later.
    const LonLat south{Longitude{172}, Latitude{-41}};
    const Day there = parse_day("2026-02-05").value();
    yield::YieldSettings early;
    nature::SeasonShift shift;
    shift.start = {-10, -10, -10};
    early.shift = std::make_shared<const nature::SeasonShift>(shift);
    CHECK(yield::outlook(table, nest, south, there, early).workers.middle >
          yield::outlook(table, nest, south, there).workers.middle);
}

// The book keeps no day of measuring: a nest seen young is not taken for a giant by its later size.
TEST_CASE("Outlook, ASizeIsNotReadAsThatOfTheDayFirstSeen")
{
    Nest nest = nest_of("DMAC", NestKind::Aerial);
    nest.first_seen = *parse_day("2026-06-20");
    const auto plain = on(nest, "2026-08-04");
    nest.width = Metres{0.4};
    nest.length = Metres{0.6};
    const auto sized = on(nest, "2026-08-04");
    CHECK(sized.workers.middle >= plain.workers.middle);
    CHECK(sized.workers.middle < 1.3 * plain.workers.middle);
}
