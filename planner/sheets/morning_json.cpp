#include "planner/sheets/morning_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "planner/sheets/show.hpp"

namespace nestround::sheets {

namespace {

using Json = nlohmann::ordered_json;

/// JSON knows no NaN.
Json finite(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

double to_1e7(double degrees) { return std::round(degrees * 1e7) / 1e7; }

Json place(LonLat place)
{
    return {{"lon_deg", finite(to_1e7(place.lon.value()))},
            {"lat_deg", finite(to_1e7(place.lat.value()))}};
}

/// `name` as on the clock and, with _s, since midnight.
void put_time(Json& into, const std::string& name, ClockTime time)
{
    into[name] = format_clock(time);
    into[name + "_s"] = time.since_midnight().count();
}

void put_spread(Json& into, const std::string& name, double low, double middle, double high)
{
    into[name + "_p10"] = finite(low);
    into[name + "_p50"] = finite(middle);
    into[name + "_p90"] = finite(high);
}

void put_grams(Json& into, const Spread<Grams>& grams)
{
    put_spread(into, "grams", grams.low.value(), grams.middle.value(), grams.high.value());
}

Json or_null(const std::optional<Metres>& length)
{
    return length ? finite(length->value()) : Json(nullptr);
}

Json or_null(const std::optional<Day>& day) { return day ? Json(format_day(*day)) : Json(nullptr); }

Json texts(const std::vector<std::string>& list)
{
    Json out = Json::array();
    for (const std::string& text : list) {
        out.push_back(clean(text));
    }
    return out;
}

Json nest_of(const Nest& nest)
{
    return {{"kind", text(nest.kind)},
            {"height_m", or_null(nest.height)},
            {"width_m", or_null(nest.width)},
            {"length_m", or_null(nest.length)},
            {"first_seen", or_null(nest.first_seen)},
            {"entrance", clean(nest.entrance)},
            {"insecticide", nest.insecticide}};
}

Json outlook_of(const yield::NestOutlook& outlook)
{
    Json out;
    out["taxon"] = outlook.taxon.empty() ? Json(nullptr) : Json(clean(outlook.taxon));
    out["taxon_name"] = clean(outlook.taxon_name);
    out["stage"] = clean(outlook.stage);
    Json chances = Json::array();
    for (std::size_t i = 0; i < nature::kStages; ++i) {
        chances.push_back({{"stage", nature::text(static_cast<nature::Stage>(i))},
                           {"chance", finite(outlook.stages[i])}});
    }
    out["stage_chances"] = chances;
    out["sexuals_out_chance"] = finite(outlook.sexuals_out);
    const auto put = [&](const char* name, const Spread<double>& spread) {
        put_spread(out, name, spread.low, spread.middle, spread.high);
    };
    put("sealed_workers", outlook.sealed_workers);
    put("sealed_sexuals", outlook.sealed_sexuals);
    put("gynes", outlook.gynes);
    put("males", outlook.males);
    put_spread(out, "workers", outlook.workers.low, outlook.workers.middle, outlook.workers.high);
    put_grams(out, outlook.grams);
    out["grams_in_7_days_p50"] = finite(outlook.in_7_days.value());
    out["grams_in_14_days_p50"] = finite(outlook.in_14_days.value());
    out["venom"] = outlook.venom;
    out["notes"] = texts(outlook.notes);
    out["cautions"] = texts(outlook.cautions);
    return out;
}

Json call_of(const rank::RankedCall& ranked, const JsonOptions& options)
{
    const Call& call = ranked.sheet.call;
    Json out;
    out["call_id"] = call.id.text();
    out["call_key"] = call_key(call.id);
    out["label"] = clean(ranked.sheet.site.label);
    if (options.with_addresses) {
        out["address"] = clean(ranked.sheet.site.address);
    }
    out["place"] = place(ranked.sheet.site.place);
    out["place_uncertainty_m"] = or_null(ranked.sheet.site.place_uncertainty);
    out["score"] = finite(ranked.score);
    out["reasons"] = texts(ranked.reasons);
    out["must_take"] = call.must_take;
    out["received"] = format_day(call.received);
    out["not_before"] = or_null(call.not_before);
    out["not_after"] = or_null(call.not_after);
    Json allowed = Json::array();
    for (const ClockSpan& span : call.allowed) {
        allowed.push_back(format_clock_span(span));
    }
    out["allowed"] = allowed;
    out["ladder"] = text(call.ladder);
    out["near_door"] = call.near_door;
    out["allergic"] = call.allergic;
    out["nest"] = nest_of(ranked.sheet.nest);
    out["outlook"] = outlook_of(ranked.outlook);
    return out;
}

Json stop_of(const day::PlannedStop& stop, std::size_t number, const JsonOptions& options)
{
    Json out;
    out["stop"] = number;
    out["drive_s"] = stop.drive.count();
    out["road_m"] = finite(stop.drive_length.value());
    put_time(out, "arrive", stop.arrive);
    put_time(out, "begin", stop.begin);
    put_time(out, "leave", stop.leave);
    out["access"] = {{"method", text(stop.access.method)},
                     {"words", clean(stop.access.words)},
                     {"service_s", stop.access.service.count()},
                     {"gear", texts(stop.access.gear)},
                     {"cautions", texts(stop.access.cautions)}};
    out["bound_by"] = texts(stop.bound_by);
    out["second_visit"] = stop.is_second;
    out["call"] = call_of(stop.call, options);
    return out;
}

Json crew_of(const day::CrewDay& crew, const JsonOptions& options)
{
    Json out;
    out["crew_id"] = crew.crew.id.text();
    out["name"] = clean(crew.crew.name);
    out["people"] = crew.crew.people;
    out["depot"] = place(crew.crew.depot);
    out["sets_off_from"] = crew.sets_off_from ? place(*crew.sets_off_from) : Json(nullptr);
    put_time(out, "depart", crew.depart);
    put_time(out, "home", crew.home);
    out["drive_home_s"] = crew.drive_home.count();
    out["road_home_m"] = finite(crew.drive_home_length.value());
    out["drive_total_s"] = crew.driving.count();
    out["road_total_m"] = finite(crew.driven.value());
    put_grams(out, crew.grams);
    out["pause"] = nullptr;
    if (crew.pause) {
        Json pause;
        pause["after_stops"] = crew.pause->after_stops;
        put_time(pause, "begin", crew.pause->begin);
        pause["length_s"] = crew.pause->length.count();
        out["pause"] = pause;
    }
    out["stops"] = Json::array();
    for (std::size_t at = 0; at < crew.stops.size(); ++at) {
        out["stops"].push_back(stop_of(crew.stops[at], at + 1, options));
    }
    out["load"] = texts(crew.load);
    out["uses"] = texts(crew.uses);
    return out;
}

std::string_view text(day::PlanChangeKind kind)
{
    switch (kind) {
        case day::PlanChangeKind::Dropped:
            return "dropped";
        case day::PlanChangeKind::Later:
            return "later";
        case day::PlanChangeKind::Sooner:
            return "sooner";
        case day::PlanChangeKind::OtherCrew:
            return "other_crew";
        case day::PlanChangeKind::Added:
            return "added";
        case day::PlanChangeKind::Kept:
            return "kept";
    }
    return "kept";
}

Json change_of(const day::PlanChange& change)
{
    Json out;
    out["call_id"] = change.call.sheet.call.id.text();
    out["call_key"] = call_key(change.call.sheet.call.id);
    out["label"] = clean(change.call.sheet.site.label);
    out["change"] = text(change.kind);
    out["was"] = change.was ? Json(format_clock(*change.was)) : Json(nullptr);
    out["now"] = change.now ? Json(format_clock(*change.now)) : Json(nullptr);
    out["crew"] = change.crew.empty() ? Json(nullptr) : Json(clean(change.crew));
    out["words"] = clean(change.words);
    return out;
}

std::string written(const Json& json)
{
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string morning_json(const day::DayPlan& plan, const JsonOptions& options)
{
    Json out;
    out["form"] = "nestround-morning";
    out["form_version"] = 1;
    out["day"] = format_day(plan.day);
    out["region"] = clean(plan.region);
    out["time_zone"] = clean(plan.time_zone);
    out["seed"] = plan.seed;
    out["total_score"] = finite(plan.total_score);
    out["held_to"] = clean(plan.held_to);
    out["not_in_plan"] = texts(plan.not_in_plan);
    out["checked"] = plan.checked;
    out["within_percent_of_best"] =
        plan.within_percent ? Json(finite(*plan.within_percent)) : Json(nullptr);
    out["crews"] = Json::array();
    for (const day::CrewDay& crew : plan.crews) {
        out["crews"].push_back(crew_of(crew, options));
    }
    out["left_out"] = Json::array();
    for (const day::LeftOut& left : plan.left_out) {
        out["left_out"].push_back(
            {{"reason", clean(left.reason)}, {"call", call_of(left.call, options)}});
    }
    out["from"] = nullptr;
    out["changes"] = Json::array();
    if (plan.from) {
        put_time(out, "from", *plan.from);
        for (const day::PlanChange& change : plan.changes) {
            out["changes"].push_back(change_of(change));
        }
    }
    out["explained"] = Json::array();
    for (const day::Explained& explained : plan.explained) {
        out["explained"].push_back({{"call_id", explained.call.sheet.call.id.text()},
                                    {"label", clean(explained.call.sheet.site.label)},
                                    {"why", texts(explained.words)}});
    }
    out["cautions"] = texts(plan.cautions);
    out["road_attribution"] = clean(plan.road_attribution);
    return written(out);
}

std::string rank_json(std::span<const rank::RankedCall> calls, Day on, const JsonOptions& options)
{
    Json out;
    out["form"] = "nestround-rank";
    out["form_version"] = 1;
    out["day"] = format_day(on);
    out["calls"] = Json::array();
    for (std::size_t at = 0; at < calls.size(); ++at) {
        Json call;
        call["rank"] = at + 1;
        call["call"] = call_of(calls[at], options);
        out["calls"].push_back(call);
    }
    return written(out);
}

}  // namespace nestround::sheets
