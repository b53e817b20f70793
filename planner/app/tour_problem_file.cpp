#include "planner/app/tour_problem_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <utility>

#include "geocore/base/error.hpp"
#include "planner/app/tour_fields.hpp"
#include "planner/app/tour_travel.hpp"

namespace nestround::app {

namespace {

using Json = nlohmann::json;

constexpr int kSpeedDecimals = 3;

using Field = TourField;

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
        file_.input.travel = read_tour_travel(root_.need("travel"), file_.scale.decimals);
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
        return tour_time(field, file_.scale.decimals);
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
