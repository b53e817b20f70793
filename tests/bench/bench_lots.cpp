// Trace of one lot among many: the growth with their number, and the whole command.
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "planner/app/clockwork.hpp"
#include "planner/app/freezer.hpp"
#include "planner/freezer/lot_code.hpp"
#include "planner/sheets/lot_text.hpp"

using namespace nestround;
using Clock = std::chrono::steady_clock;

namespace {

constexpr int kInOneChange = 5000;

/// `count` lots of three catches each, each of a nest of its own.
std::string fill(book::Book& book, int count)
{
    app::KeyMaker keys{3};
    Random random{4};
    const Instant now = parse_instant("2026-09-01T08:00:00Z").value();
    std::string code;
    for (int done = 0; done < count;) {
        book::Change change{book, now, book::Load::Many};
        for (int i = 0; i < kInOneChange && done < count; ++i, ++done) {
            Lot lot;
            lot.id = keys.make<LotId>(now);
            do {
                lot.code = freezer::make_lot_code(random);
            } while (book.lot_by_code(lot.code));
            lot.taxon = "VGER";
            lot.frozen_at = now;
            lot.mass = Grams{60};
            change.insert(lot);
            Site site;
            site.id = keys.make<SiteId>(now);
            site.place = {Longitude{9 + 0.00001 * done}, Latitude{47}};
            change.insert(site);
            Nest nest;
            nest.id = keys.make<NestId>(now);
            nest.site = site.id;
            nest.season = 2026;
            nest.taxon = "VGER";
            change.insert(nest);
            Call call;
            call.id = keys.make<CallId>(now);
            call.nest = nest.id;
            call.received = parse_day("2026-08-01").value();
            change.insert(call);
            Visit visit;
            visit.id = keys.make<VisitId>(now);
            visit.nest = nest.id;
            visit.call = call.id;
            visit.begun = now;
            change.insert(visit);
            for (int part = 0; part < 3; ++part) {
                CatchRecord taken;
                taken.id = keys.make<CatchId>(now);
                taken.visit = visit.id;
                taken.taxon = "VGER";
                taken.mass = Grams{20};
                taken.frozen_at = now;
                change.insert(taken);
                change.insert(
                    LotParent{keys.make<LotParentId>(now), lot.id, taken.id, std::nullopt, {}});
            }
            change.seal(lot.id, now);
            LotMove move;
            move.id = keys.make<LotMoveId>(now);
            move.lot = lot.id;
            move.at = now;
            move.who = "ada";
            move.place = {"A", "1", std::to_string(done % 200)};
            change.insert(move);
            if (done == count / 2) {
                code = lot.code;
            }
        }
        change.commit();
    }
    return code;
}

template <class Step>
double milliseconds_of(Step step)
{
    double best = 1e9;
    for (int i = 0; i < 7; ++i) {
        const auto begun = Clock::now();
        step();
        best =
            std::min(best, std::chrono::duration<double, std::milli>(Clock::now() - begun).count());
    }
    return best;
}

}  // namespace

int main(int argc, char** argv)
{
    const int most = argc > 1 ? std::atoi(argv[1]) : 100000;
    const auto folder = std::filesystem::temp_directory_path() / "nestround-bench-lots";
    double first = 0;
    for (const int count : {most / 100, most}) {
        std::filesystem::remove_all(folder);
        std::filesystem::create_directories(folder);
        const auto path = (folder / "lots.gpkg").string();
        std::string code;
        const auto begun = Clock::now();
        {
            auto book = book::Book::create(path, parse_instant("2026-09-01T08:00:00Z").value());
            code = fill(book, count);
        }
        const double filled = std::chrono::duration<double>(Clock::now() - begun).count();
        const auto open = [&] { return book::Book::open(path, book::Mode::ReadOnly); };
        const double trace = milliseconds_of([&] {
            const auto book = open();
            if (sheets::trace_text(app::story_of(book, app::find_lot(book, code))).empty()) {
                std::abort();
            }
        });
        const double recall = milliseconds_of([&] {
            const auto book = open();
            if (app::recall(book, code).lots.empty()) {
                std::abort();
            }
        });
        const std::string command =
            std::string{NESTROUND_PROGRAM} + " lot trace " + path + " " + code + " >/dev/null";
        const double whole = milliseconds_of([&] {
            if (std::system(command.c_str()) != 0) {
                std::abort();
            }
        });
        const std::string nothing = std::string{NESTROUND_PROGRAM} + " --version >/dev/null";
        const double start = milliseconds_of([&] {
            if (std::system(nothing.c_str()) != 0) {
                std::abort();
            }
        });
        first = first == 0 ? trace : first;
        fmt::print(
            "{:>7} lots (filled in {:.0f} s): trace {:.2f} ms with opening ({:.2f} x that "
            "of {}), recall {:.0f} ms; the command {:.0f} ms, of which starting the program "
            "{:.0f} ms\n",
            count, filled, trace, trace / first, most / 100, recall, whole, start);
    }
    std::filesystem::remove_all(folder);
}
