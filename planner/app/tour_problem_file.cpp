#include "planner/app/tour_problem_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <map>
#include <nlohmann/json.hpp>
#include <utility>

#include "geocore/base/error.hpp"

namespace nestround::app {

namespace {

using Json = nlohmann::json;

/// Products of two 64-bit numbers; GCC and Clang have it on every 64-bit machine.
__extension__ typedef __int128 Wide;

constexpr int kPlaceDecimals = 6;
constexpr int kSpeedDecimals = 3;
constexpr double kFarthest = 1e9;  ///< of a coordinate

[[nodiscard]] std::int64_t power_of_ten(int exponent)
{
    std::int64_t value = 1;
    for (int i = 0; i < exponent; ++i) {
        value *= 10;
    }
    return value;
}

/// A value and the way to it, for messages.
class Field {
public:
    Field(const Json& value, std::string path, const std::string& source)
        : value_{value}, path_{std::move(path)}, source_{source}
    {
    }

    [[noreturn]] void refuse(const std::string& message) const
    {
        throw Failure{ErrorCode::InvalidInput, message,
                      path_.empty() ? source_ : source_ + ", " + path_};
    }

    [[nodiscard]] std::optional<Field> find(const char* key) const
    {
        const auto at = value_.find(key);
        if (at == value_.end() || at->is_null()) {
            return std::nullopt;
        }
        return Field{*at, path_.empty() ? key : path_ + "." + key, source_};
    }
    [[nodiscard]] Field need(const char* key) const
    {
        auto field = find(key);
        if (!field) {
            refuse(fmt::format("'{}' is missing", key));
        }
        return *field;
    }
    void only(std::initializer_list<const char*> keys) const
    {
        if (!value_.is_object()) {
            refuse("an object { } is needed here");
        }
        for (const auto& item : value_.items()) {
            if (std::none_of(keys.begin(), keys.end(),
                             [&](const char* key) { return item.key() == key; })) {
                refuse(fmt::format(
                    "'{}' is not known here; known are: {}", item.key(),
                    fmt::join(std::vector<std::string>(keys.begin(), keys.end()), ", ")));
            }
        }
    }
    [[nodiscard]] bool is_list() const { return value_.is_array(); }
    [[nodiscard]] std::vector<Field> list() const
    {
        if (!value_.is_array()) {
            refuse("a list [ ] is needed here");
        }
        std::vector<Field> result;
        for (std::size_t i = 0; i < value_.size(); ++i) {
            result.emplace_back(value_[i], fmt::format("{}[{}]", path_, i), source_);
        }
        return result;
    }
    [[nodiscard]] std::vector<std::pair<std::string, Field>> members() const
    {
        if (!value_.is_object()) {
            refuse("an object { } is needed here");
        }
        std::vector<std::pair<std::string, Field>> result;
        for (const auto& item : value_.items()) {
            result.emplace_back(item.key(), Field{item.value(), path_ + "." + item.key(), source_});
        }
        return result;
    }
    [[nodiscard]] std::string text() const
    {
        if (!value_.is_string()) {
            refuse("a text \"...\" is needed here");
        }
        return value_.get<std::string>();
    }
    [[nodiscard]] bool truth() const
    {
        if (!value_.is_boolean()) {
            refuse("true or false is needed here");
        }
        return value_.get<bool>();
    }
    [[nodiscard]] bool is_hole() const { return value_.is_null(); }
    [[nodiscard]] double number() const
    {
        if (!value_.is_number()) {
            refuse("a number is needed here");
        }
        return value_.get<double>();
    }
    /// A whole number of 10^-decimals.
    [[nodiscard]] std::int64_t scaled(int decimals) const
    {
        const double wanted = number() * static_cast<double>(power_of_ten(decimals));
        if (!(std::abs(wanted) < 9e15)) {
            refuse("this number is too large");
        }
        const double whole = std::round(wanted);
        if (std::abs(whole - wanted) > 1e-6 * std::max(1.0, std::abs(wanted) * 1e-6)) {
            refuse(
                fmt::format("{} has more than {} decimals; state more with 'decimals' or "
                            "'prize_decimals'",
                            number(), decimals));
        }
        return static_cast<std::int64_t>(whole);
    }
    [[nodiscard]] std::int64_t whole(std::int64_t low, std::int64_t high) const
    {
        const std::int64_t value = scaled(0);
        if (value < low || value > high) {
            refuse(fmt::format("{} lies outside {} to {}", value, low, high));
        }
        return value;
    }

private:
    const Json& value_;
    std::string path_;
    const std::string& source_;
};

class Reader {
public:
    explicit Reader(const Field& root) : root_{root} {}

    TourFile run()
    {
        root_.only({"nestround_tour", "name", "decimals", "prize_decimals", "resources", "carried",
                    "shared", "traffic", "travel", "vehicles", "jobs"});
        if (root_.need("nestround_tour").whole(0, 1000) != 1) {
            root_.need("nestround_tour").refuse("only version 1 of this form is known");
        }
        file_.name = root_.find("name") ? root_.need("name").text() : "";
        if (const auto field = root_.find("decimals")) {
            file_.scale.decimals = static_cast<int>(field->whole(0, 4));
        }
        if (const auto field = root_.find("prize_decimals")) {
            file_.scale.prize_decimals = static_cast<int>(field->whole(0, 4));
        }
        if (const auto field = root_.find("resources")) {
            for (const auto& name : field->list()) {
                file_.resources.push_back(name.text());
            }
        }
        file_.input.resources = file_.resources.size();
        file_.input.resource_rules.resize(file_.resources.size());
        if (const auto field = root_.find("carried")) {
            for (const auto& name : field->list()) {
                file_.input.resource_rules[resource(name.text(), name)].carried = true;
            }
        }
        if (const auto field = root_.find("shared")) {
            for (const auto& [name, value] : field->members()) {
                file_.input.resource_rules[resource(name, value)].shared = value.scaled(0);
            }
        }
        if (const auto field = root_.find("traffic")) {
            read_traffic(*field);
        }
        read_travel(root_.need("travel"));
        for (const auto& vehicle : root_.need("vehicles").list()) {
            read_vehicle(vehicle);
        }
        const auto jobs = root_.need("jobs").list();
        for (const auto& job : jobs) {
            read_job(job);
        }
        for (std::size_t j = 0; j < jobs.size(); ++j) {
            if (const auto field = jobs[j].find("follows")) {
                file_.input.jobs[j].follows = follows(*field);
            }
        }
        return std::move(file_);
    }

private:
    [[nodiscard]] seconds time(const Field& field) const
    {
        const std::int64_t value = field.scaled(file_.scale.decimals);
        if (value < 0 || value >= tour::kLatestTime.count()) {
            field.refuse(fmt::format("a time must lie between 0 and {} with {} decimals",
                                     tour::kLatestTime.count() / power_of_ten(file_.scale.decimals),
                                     file_.scale.decimals));
        }
        return seconds{value};
    }
    [[nodiscard]] tour::Points prize(const Field& field) const
    {
        return tour::Points{field.scaled(file_.scale.prize_decimals) *
                            power_of_ten(file_.scale.decimals)};
    }
    [[nodiscard]] tour::Window window(const Field& field) const
    {
        const auto ends = field.list();
        if (ends.size() != 2) {
            field.refuse("a window is [opens, closes]");
        }
        return {time(ends[0]), time(ends[1])};
    }
    [[nodiscard]] std::size_t place(const Field& field) const
    {
        return static_cast<std::size_t>(
            field.whole(0, static_cast<std::int64_t>(file_.input.travel.rows) - 1));
    }

    void read_travel(const Field& field)
    {
        field.only({"times", "lengths", "points"});
        if (field.find("points").has_value() == field.find("times").has_value()) {
            field.refuse("either 'times' or 'points' is needed, not both");
        }
        field.find("points") ? read_points(field.need("points")) : read_matrix(field);
    }

    void read_points(const Field& field)
    {
        std::vector<std::pair<std::int64_t, std::int64_t>> at;
        for (const auto& point : field.list()) {
            const auto xy = point.list();
            if (xy.size() != 2) {
                point.refuse("a point is [x, y]");
            }
            if (std::abs(xy[0].number()) > kFarthest || std::abs(xy[1].number()) > kFarthest) {
                point.refuse("a coordinate lies beyond a thousand million");
            }
            at.emplace_back(xy[0].scaled(kPlaceDecimals), xy[1].scaled(kPlaceDecimals));
        }
        auto& travel = file_.input.travel;
        travel.rows = travel.columns = at.size();
        const std::int64_t unit = power_of_ten(kPlaceDecimals - file_.scale.decimals);
        for (std::size_t a = 0; a < at.size(); ++a) {
            for (std::size_t b = 0; b < at.size(); ++b) {
                const auto dx = static_cast<Wide>(at[a].first - at[b].first);
                const auto dy = static_cast<Wide>(at[a].second - at[b].second);
                const Wide square = dx * dx + dy * dy;
                // The largest whole t with (t unit)^2 <= square; the root is only a first guess.
                auto t = static_cast<std::int64_t>(std::sqrt(static_cast<long double>(square)) /
                                                   static_cast<long double>(unit));
                const auto reaches = [&](std::int64_t value) {
                    const auto length = static_cast<Wide>(value) * unit;
                    return length * length <= square;
                };
                while (!reaches(t)) {
                    --t;
                }
                while (reaches(t + 1)) {
                    ++t;
                }
                if (t >= tour::kLatestTime.count()) {
                    field.refuse(fmt::format("points {} and {} are too far apart", a, b));
                }
                travel.duration_s.push_back(static_cast<std::uint32_t>(t));
                travel.length_m.push_back(static_cast<std::uint32_t>(t));
            }
        }
    }

    void read_matrix(const Field& field)
    {
        auto& travel = file_.input.travel;
        const auto rows = field.need("times").list();
        travel.rows = travel.columns = rows.size();
        travel.duration_s = read_rows(field.need("times"), rows.size(), true);
        travel.length_m = field.find("lengths")
                              ? read_rows(field.need("lengths"), rows.size(), false)
                              : travel.duration_s;
    }

    [[nodiscard]] std::vector<std::uint32_t> read_rows(const Field& field, std::size_t size,
                                                       bool is_time) const
    {
        std::vector<std::uint32_t> values;
        const auto rows = field.list();
        if (rows.size() != size) {
            field.refuse(fmt::format("{} rows for {} places", rows.size(), size));
        }
        for (const auto& row : rows) {
            const auto cells = row.list();
            if (cells.size() != size) {
                row.refuse(fmt::format("the matrix has a hole: {} values for {} places",
                                       cells.size(), size));
            }
            for (const auto& cell : cells) {
                if (cell.is_hole()) {
                    values.push_back(roads::kUnreachable);
                    continue;
                }
                const std::int64_t value = is_time ? time(cell).count() : cell.scaled(0);
                if (value < 0 || value >= static_cast<std::int64_t>(roads::kUnreachable)) {
                    cell.refuse("a length must be a whole number from 0 on; null where no road is");
                }
                values.push_back(static_cast<std::uint32_t>(value));
            }
        }
        return values;
    }

    [[nodiscard]] std::uint64_t skills(const Field& field)
    {
        std::uint64_t bits = 0;
        for (const auto& name : field.list()) {
            const auto known = skill_.try_emplace(name.text(), skill_.size()).first;
            if (known->second >= 64) {
                name.refuse("more than 64 skills are not possible");
            }
            bits |= std::uint64_t{1} << known->second;
        }
        return bits;
    }

    [[nodiscard]] std::size_t resource(const std::string& name, const Field& field) const
    {
        const auto at = std::find(file_.resources.begin(), file_.resources.end(), name);
        if (at == file_.resources.end()) {
            field.refuse(fmt::format("'{}' is not one of 'resources'", name));
        }
        return static_cast<std::size_t>(at - file_.resources.begin());
    }

    /// Slots as [from, speed], the matrix's own speed being 1.
    void read_traffic(const Field& field)
    {
        field.only({"slots", "period"});
        for (const auto& slot : field.need("slots").list()) {
            const auto pair = slot.list();
            if (pair.size() != 2) {
                slot.refuse("a slot is [from, speed]");
            }
            file_.input.traffic.push_back(
                {time(pair[0]), static_cast<int>(pair[1].scaled(kSpeedDecimals))});
        }
        if (const auto period = field.find("period")) {
            file_.input.traffic_period = time(*period);
        }
    }

    [[nodiscard]] tour::Follows follows(const Field& field) const
    {
        field.only({"job", "least", "most", "same_vehicle"});
        const Field who = field.need("job");
        tour::Follows result;
        const auto& jobs = file_.input.jobs;
        const auto named = [&](const auto& job) { return job.name == who.text(); };
        const auto at = std::find_if(jobs.begin(), jobs.end(), named);
        if (at == jobs.end()) {
            who.refuse(fmt::format("no job is called '{}'", who.text()));
        }
        if (std::count_if(jobs.begin(), jobs.end(), named) > 1) {
            who.refuse(fmt::format("more than one job is called '{}'", who.text()));
        }
        result.job = static_cast<std::size_t>(at - jobs.begin());
        if (const auto least = field.find("least")) {
            result.least = time(*least);
        }
        if (const auto most = field.find("most")) {
            result.most = time(*most);
        }
        if (const auto same = field.find("same_vehicle")) {
            result.same_vehicle = same->truth();
        }
        return result;
    }

    [[nodiscard]] std::vector<std::int64_t> amounts(const Field& field, std::int64_t other) const
    {
        std::vector<std::int64_t> result(file_.resources.size(), other);
        for (const auto& [name, value] : field.members()) {
            result[resource(name, field)] = value.scaled(0);
        }
        return result;
    }

    void read_vehicle(const Field& field)
    {
        field.only({"name", "start", "end", "shift", "capacity", "skills", "pause", "cost_per_time",
                    "overtime", "fixed_cost"});
        tour::Vehicle vehicle;
        vehicle.name = field.find("name") ? field.need("name").text()
                                          : fmt::format("vehicle {}", file_.input.vehicles.size());
        vehicle.start_place = field.find("start") ? place(field.need("start")) : 0;
        vehicle.end_place = field.find("end") ? place(field.need("end")) : vehicle.start_place;
        vehicle.shift = window(field.need("shift"));
        if (const auto capacity = field.find("capacity")) {
            vehicle.capacity = amounts(*capacity, tour::kMostPoints.value());
        }
        if (const auto list = field.find("skills")) {
            vehicle.skills = skills(*list);
        }
        if (const auto pause = field.find("pause")) {
            pause->only({"begins", "length"});
            vehicle.pause = tour::Pause{window(pause->need("begins")), time(pause->need("length"))};
        }
        if (const auto cost = field.find("cost_per_time")) {
            // Points for the last decimal of a time: the scale of points makes it whole.
            vehicle.cost_per_second = tour::Points{cost->scaled(file_.scale.prize_decimals)};
        }
        if (const auto overtime = field.find("overtime")) {
            overtime->only({"until", "cost_per_time"});
            vehicle.overtime = tour::Overtime{time(overtime->need("until")), {}};
            if (const auto cost = overtime->find("cost_per_time")) {
                vehicle.overtime->cost_per_second =
                    tour::Points{cost->scaled(file_.scale.prize_decimals)};
            }
        }
        if (const auto cost = field.find("fixed_cost")) {
            vehicle.fixed_cost = prize(*cost);
        }
        if (std::any_of(file_.input.vehicles.begin(), file_.input.vehicles.end(),
                        [&](const auto& other) { return other.name == vehicle.name; })) {
            field.refuse(fmt::format("two vehicles are called '{}'", vehicle.name));
        }
        file_.input.vehicles.push_back(std::move(vehicle));
    }

    /// One for all vehicles, or a list with one a vehicle.
    template <class Read>
    [[nodiscard]] auto one_or_each(const Field& field, Read&& read) const
    {
        std::vector<decltype(read(field))> values;
        if (!field.is_list()) {
            values.push_back(read(field));
            return values;
        }
        for (const auto& value : field.list()) {
            values.push_back(read(value));
        }
        return values;
    }

    void read_job(const Field& field)
    {
        field.only({"name", "place", "prize", "service", "windows", "must_take", "starts_at",
                    "not_by", "needs", "demand", "ride_limit", "follows"});
        tour::Job job;
        job.name = field.find("name") ? field.need("name").text()
                                      : fmt::format("job {}", file_.input.jobs.size());
        job.place = place(field.need("place"));
        job.prize = one_or_each(field.need("prize"), [&](const Field& f) { return prize(f); });
        job.service = {seconds{0}};
        if (const auto service = field.find("service")) {
            job.service = one_or_each(*service, [&](const Field& f) { return time(f); });
        }
        if (const auto windows = field.find("windows")) {
            for (const auto& each : windows->list()) {
                job.windows.push_back(window(each));
            }
            if (job.windows.empty()) {
                windows->refuse("an empty list leaves no time at all; leave 'windows' out for any");
            }
        }
        if (const auto must = field.find("must_take")) {
            job.must_take = must->truth();
        }
        if (const auto pin = field.find("starts_at")) {
            job.pinned_start = time(*pin);
        }
        if (const auto list = field.find("not_by")) {
            for (const auto& name : list->list()) {
                job.forbidden.push_back(vehicle_called(name));
            }
        }
        if (const auto list = field.find("needs")) {
            job.needs = skills(*list);
        }
        if (const auto demand = field.find("demand")) {
            job.demand = amounts(*demand, 0);
        }
        if (const auto limit = field.find("ride_limit")) {
            job.ride_limit = time(*limit);
        }
        file_.input.jobs.push_back(std::move(job));
    }

    [[nodiscard]] std::size_t vehicle_called(const Field& field) const
    {
        const auto& vehicles = file_.input.vehicles;
        const auto at = std::find_if(vehicles.begin(), vehicles.end(), [&](const auto& vehicle) {
            return vehicle.name == field.text();
        });
        if (at == vehicles.end()) {
            field.refuse(fmt::format("no vehicle is called '{}'", field.text()));
        }
        return static_cast<std::size_t>(at - vehicles.begin());
    }

    const Field& root_;
    TourFile file_;
    std::map<std::string, std::size_t> skill_;
};

}  // namespace

double TourScale::time(seconds t) const
{
    return static_cast<double>(t.count()) / static_cast<double>(power_of_ten(decimals));
}

double TourScale::prize(std::int64_t points) const
{
    return static_cast<double>(points) / static_cast<double>(power_of_ten(decimals)) /
           static_cast<double>(power_of_ten(prize_decimals));
}

TourFile parse_tour_file(std::string_view text, const std::string& source)
{
    Json json;
    try {
        json = Json::parse(text);
    } catch (const Json::parse_error& error) {
        const std::size_t at = std::min(error.byte, text.size());
        const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<long>(at), '\n');
        throw Failure{ErrorCode::InvalidInput,
                      "this is not JSON (NaN and comments are not JSON either); mend it near here",
                      fmt::format("{}:{}", source, line)};
    }
    return Reader{Field{json, "", source}}.run();
}

}  // namespace nestround::app
