// nestround heat
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "geocore/intake/places.hpp"
#include "planner/app/place_heat.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string at;
    std::string elevation;
    std::string from;
    std::string to;
    std::string known_to;
    std::string method = "single-sine";
    std::string cutoff = "horizontal";
    double low = 10;
    std::optional<double> high;
    bool fahrenheit = false;
    bool fill = false;
    bool json = false;
    std::string species;
};

app::HeatWishes wishes_of(const Words& words, const std::string& zone)
{
    app::HeatWishes wishes;
    wishes.place = value_or_throw(intake::parse_place(words.at));
    if (!words.elevation.empty()) {
        wishes.elevation = length_option("elevation", words.elevation);
    }
    wishes.from = day_option(words.from, zone);
    wishes.to = day_option(words.to, zone);
    if (!words.known_to.empty()) {
        wishes.known_to = day_option(words.known_to, zone);
    }
    const auto degrees = [&](double value) {
        return words.fahrenheit ? celsius_from_fahrenheit(value) : Celsius{value};
    };
    wishes.rule = {*nature::degree_day_method(words.method), degrees(words.low), std::nullopt,
                   *nature::cutoff(words.cutoff)};
    if (words.high) {
        wishes.rule.upper = degrees(*words.high);
    }
    wishes.fill = words.fill;
    return wishes;
}

nlohmann::ordered_json json_of(const app::PlaceHeat& heat, double unit, const char* name)
{
    const auto spread = [&](const Spread<double>& one) {
        return nlohmann::ordered_json{
            {"low", one.low * unit}, {"middle", one.middle * unit}, {"high", one.high * unit}};
    };
    nlohmann::ordered_json out;
    out["unit"] = name;
    out["sum"] = heat.sum.value() * unit;
    out["months"] = nlohmann::ordered_json::array();
    for (const auto& month : heat.months) {
        out["months"].push_back({{"month", fmt::format("{:04}-{:02}", month.year, month.month)},
                                 {"sum", month.sum.value() * unit},
                                 {"measured", month.measured},
                                 {"filled", month.filled},
                                 {"missing", month.missing},
                                 {"frosts", month.frosts},
                                 {"flight_days", month.flight_days}});
    }
    out["stations"] = nlohmann::ordered_json::array();
    for (const auto& station : heat.stations) {
        nlohmann::ordered_json row{{"name", station.name},
                                   {"away_km", station.away.value() / 1000},
                                   {"weight", station.weight},
                                   {"days", station.days}};
        row["climb_m"] = station.climb ? nlohmann::ordered_json(station.climb->value())
                                       : nlohmann::ordered_json(nullptr);
        out["stations"].push_back(std::move(row));
    }
    out["gaps"] = nlohmann::ordered_json::array();
    for (const auto& gap : heat.gaps) {
        out["gaps"].push_back({{"from", format_day(gap.from)}, {"to", format_day(gap.to)}});
    }
    out["filled_days"] = heat.filled;
    out["missing_days"] = heat.missing;
    if (heat.tail) {
        out["tail"] = spread(heat.tail->sum);
        out["tail"]["from"] = format_day(heat.tail->from);
        out["tail"]["to"] = format_day(heat.tail->to);
        out["tail"]["years"] = heat.tail->years;
    }
    if (heat.total) {
        out["total"] = spread(*heat.total);
    }
    out["notes"] = heat.notes;
    return out;
}

void print(const app::PlaceHeat& heat, const app::HeatWishes& wishes, double unit, const char* name)
{
    std::cout << fmt::format("{} from {} to {}, {}, {} cutoff, above {:.1f} C", name,
                             format_day(wishes.from), format_day(wishes.to),
                             text(wishes.rule.method), text(wishes.rule.cutoff),
                             wishes.rule.lower.value());
    std::cout << (wishes.rule.upper
                      ? fmt::format(" and below {:.1f} C\n", wishes.rule.upper->value())
                      : std::string{"\n"});
    std::cout << "\nstation                    away km   climb m   weight   days\n";
    for (const auto& station : heat.stations) {
        std::cout << fmt::format(
            "{:<24}  {:>8.1f}  {:>8}  {:>6.0f} %  {:>5}\n", station.name,
            station.away.value() / 1000,
            station.climb ? fmt::format("{:+.0f}", station.climb->value()) : std::string{"?"},
            station.weight * 100, station.days);
    }
    std::cout << "\nmonth        sum   measured  filled  missing  frosts  flight days\n";
    for (const auto& month : heat.months) {
        std::cout << fmt::format("{:04}-{:02}  {:>8.1f}   {:>8}  {:>6}  {:>7}  {:>6}  {:>11.1f}\n",
                                 month.year, month.month, month.sum.value() * unit, month.measured,
                                 month.filled, month.missing, month.frosts, month.flight_days);
    }
    std::cout << fmt::format("sum      {:>8.1f}\n", heat.sum.value() * unit);
    for (const auto& gap : heat.gaps) {
        std::cout << fmt::format("gap      {} to {}\n", format_day(gap.from), format_day(gap.to));
    }
    if (heat.tail) {
        const auto& tail = heat.tail->sum;
        std::cout << fmt::format("tail     {:>8.1f}   ({:.1f} to {:.1f}), {} to {}\n",
                                 tail.middle * unit, tail.low * unit, tail.high * unit,
                                 format_day(heat.tail->from), format_day(heat.tail->to));
        std::cout << fmt::format("total    {:>8.1f}   ({:.1f} to {:.1f})\n",
                                 heat.total->middle * unit, heat.total->low * unit,
                                 heat.total->high * unit);
    }
    show_notes(heat.notes);
}

void heat(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    const auto taxa = app::taxa_in_use(book, preferences);
    auto wishes = wishes_of(words, preferences.time_zone);
    if (!words.species.empty()) {
        const auto* taxon = taxa->recognise(words.species);
        if (taxon == nullptr) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("--species: no taxon '{}' in the table; see 'nestround taxa "
                                      "list'",
                                      words.species)};
        }
        wishes.taxon = taxon->code;
    }
    const auto result = app::place_heat(book, *taxa, wishes);
    const double unit = words.fahrenheit ? 1.8 : 1;
    const char* name = words.fahrenheit ? "Fahrenheit degree-days" : "Celsius degree-days";
    if (words.json) {
        std::cout << json_of(result, unit, name).dump(2) << '\n';
    } else {
        print(result, wishes, unit, name);
    }
}

}  // namespace

void add_heat(CLI::App& app)
{
    auto* command = app.add_subcommand("heat", "Degree-days of a place from the stations around");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--at", words->at, "Place: \"41.2,-77.1\"")->required();
    command->add_option("--elevation", words->elevation,
                        "Of the place above the sea: 320m, 1050ft");
    command->add_option("--from", words->from, "First day")->required();
    command->add_option("--to", words->to, "Last day")->required();
    command->add_option("--known-to", words->known_to, "Look at no reading after this day");
    command->add_option("--method", words->method, "Shape of a day")
        ->check(CLI::IsMember({"average", "clipped-average", "single-triangle", "double-triangle",
                               "single-sine", "double-sine"}))
        ->capture_default_str();
    command->add_option("--low", words->low, "Lower threshold, degrees")->capture_default_str();
    command->add_option("--high", words->high, "Upper threshold, degrees; none when left out");
    command->add_option("--cutoff", words->cutoff, "What heat above the upper threshold does")
        ->check(CLI::IsMember({"horizontal", "intermediate", "vertical"}))
        ->capture_default_str();
    command->add_flag("--fahrenheit", words->fahrenheit, "Thresholds and sums in Fahrenheit");
    command->add_option("--species", words->species, "Whose flight limits count");
    command->add_flag("--fill", words->fill, "Fill gaps, and mark what was filled");
    command->add_flag("--json", words->json, "JSON on standard output");
    command->callback([words] { heat(*words); });
}

}  // namespace nestround::commands
