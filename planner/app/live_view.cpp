#include "planner/app/live_view.hpp"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>

#include "geocore/base/error.hpp"
#include "geocore/intake/road_file.hpp"
#include "geocore/intake/time_zone.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/map_density.hpp"
#include "planner/app/plan_morning.hpp"
#include "planner/app/taxa_in_use.hpp"

namespace nestround::app {
namespace {

int season_of(const std::string& text, const std::string& typed)
{
    int year = 0;
    const auto* end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, year);
    if (read.ec != std::errc{} || read.ptr != end || year < 1900 || year > 2999) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("'{}' is no season; type 2026 or 2024..2026", typed)};
    }
    return year;
}

Day day_of(const std::string& text, const std::string& zone)
{
    if (text.empty() || text == "today" || text == "tomorrow") {
        const auto local = value_or_throw(intake::to_local(present(), zone));
        return local.day + std::chrono::days{text == "tomorrow" ? 1 : 0};
    }
    auto day = parse_day(text);
    if (!day) {
        throw Failure{ErrorCode::BadUsage, day.error().message + ", or 'today' or 'tomorrow'"};
    }
    return *day;
}

}  // namespace

struct LiveView::Parts {
    explicit Parts(LiveWishes asked)
        : wishes{std::move(asked)},
          book{book::Book::open(wishes.book, book::Mode::ReadOnly)},
          preferences{app::preferences(book.settings())}
    {
        if (!wishes.taxa.empty()) {
            preferences.taxa_folder = std::filesystem::absolute(wishes.taxa).string();
        }
        on = day_of(wishes.on, preferences.time_zone);
        roads = wishes.roads;
        if (roads.empty() && !preferences.roads.empty()) {
            const std::filesystem::path named{preferences.roads};
            roads =
                named.is_absolute() ? named.string() : (book.path().parent_path() / named).string();
        }
    }

    LiveWishes wishes;
    book::Book book;
    Preferences preferences;
    Day on{};
    std::string roads;
    std::optional<RankedMorning> ranked;
    std::optional<day::DayPlan> plan;
    std::optional<density::DensityMap> density;
    std::optional<PlannedBrood> brood;
};

LiveView::LiveView(LiveWishes wishes) : parts_{std::make_unique<Parts>(std::move(wishes))} {}
LiveView::~LiveView() = default;

const book::Book& LiveView::book() const { return parts_->book; }
Day LiveView::on() const { return parts_->on; }
bool LiveView::has_roads() const { return !parts_->roads.empty(); }

std::optional<LonLat> LiveView::depot() const
{
    const auto crews = parts_->book.crews();
    return crews.empty() ? std::nullopt : std::optional{crews.front().depot};
}

const RankedMorning& LiveView::ranked()
{
    if (!parts_->ranked) {
        parts_->ranked = rank_waiting(parts_->book, parts_->preferences, parts_->on, true);
    }
    return *parts_->ranked;
}

const day::DayPlan& LiveView::plan()
{
    if (!parts_->plan) {
        MorningWishes wishes;
        wishes.on = parts_->on;
        wishes.without_weather = true;
        parts_->plan = plan_morning(parts_->book, intake::load_roads(parts_->roads),
                                    parts_->preferences, wishes);
    }
    return *parts_->plan;
}

const density::DensityMap& LiveView::density()
{
    if (!parts_->density) {
        DensityWishes wishes;
        const auto& asked = parts_->wishes;
        std::tie(wishes.first_season, wishes.last_season) =
            asked.season.empty() ? std::pair{year_of(parts_->on), year_of(parts_->on)}
                                 : seasons_of(asked.season);
        wishes.species = asked.species;
        wishes.cell_km2 = asked.cell_km2;
        parts_->density =
            map_density(parts_->book, parts_->preferences, wishes, intake::worker_threads());
    }
    return *parts_->density;
}

const PlannedBrood& LiveView::brood()
{
    if (!parts_->brood) {
        BroodWishes wishes;
        wishes.on = parts_->on;
        parts_->brood = plan_brood(parts_->book, parts_->preferences, wishes);
    }
    return *parts_->brood;
}

std::vector<std::pair<std::string, std::string>> LiveView::taxon_names()
{
    std::vector<std::pair<std::string, std::string>> names;
    const auto taxa = taxa_in_use(parts_->book, parts_->preferences);
    for (const auto& taxon : taxa->taxa()) {
        names.emplace_back(taxon.code, taxon.name);
    }
    return names;
}

std::pair<int, int> seasons_of(const std::string& typed)
{
    const auto dots = typed.find("..");
    const int first = season_of(typed.substr(0, dots), typed);
    const int last = dots == std::string::npos ? first : season_of(typed.substr(dots + 2), typed);
    if (last < first || last - first >= 100) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("'{}' ends before it begins or spans a century", typed)};
    }
    return {first, last};
}

}  // namespace nestround::app
