#include "planner/app/preferences_work.hpp"

#include <algorithm>
#include <array>

#include "planner/app/carry_comb.hpp"
#include "planner/app/settings_reader.hpp"

namespace nestround::app {

namespace {

using access::AccessSettings;
using access::Derating;
using access::HeatClass;

constexpr std::array kLimits{"limits.light",
                             "limits.wind_m_s",
                             "limits.thunder",
                             "limits.thunder_wait_min",
                             "limits.heat",
                             "limits.humidity_percent",
                             "limits.noise_criterion",
                             "limits.vacuum_db",
                             "limits.protector_nrr",
                             "limits.protector_kind",
                             "limits.dose_percent",
                             "limits.two_people",
                             "limits.bottles",
                             "limits.cold_box_kg",
                             "limits.nests_per_comb_box"};

constexpr std::array<std::pair<const char*, Metres AccessSettings::*>, 6> kLengths{
    {{"access.hand_reach_m", &AccessSettings::hand_reach},
     {"access.grip_height_m", &AccessSettings::grip_height},
     {"access.stand_off_m", &AccessSettings::stand_off},
     {"access.above_feet_m", &AccessSettings::above_feet},
     {"access.two_stage_from_m", &AccessSettings::two_stage_from},
     {"access.two_people_from_m", &AccessSettings::two_people_from}}};

constexpr std::array<std::pair<const char*, seconds AccessSettings::*>, 10> kMinutes{
    {{"access.arriving_min", &AccessSettings::arriving},
     {"access.suiting_min", &AccessSettings::suiting},
     {"access.hand_work_min", &AccessSettings::hand_work},
     {"access.pole_work_min", &AccessSettings::pole_work},
     {"access.ladder_work_min", &AccessSettings::ladder_work},
     {"access.two_stage_ground_min", &AccessSettings::two_stage_ground},
     {"access.two_stage_climb_min", &AccessSettings::two_stage_climb},
     {"access.setting_ladder_min", &AccessSettings::setting_ladder},
     {"access.void_extra_min", &AccessSettings::void_extra},
     {"access.cleaning_up_min", &AccessSettings::cleaning_up}}};

constexpr auto kBend = "access.pole_bend_percent";
constexpr auto kClimber = "access.climber_kg";

/// A number between two, both included.
void bounded(const Reader& read, const std::string& name, double& value, double low, double high)
{
    read.number(name, value, low);
    if (const auto* found = read.find(name); found != nullptr && value > high) {
        refuse(name, *found, fmt::format("a number between {:g} and {:g}", low, high).c_str());
    }
}

void read_weather_limits(const Reader& read, day::LimitSettings& limits)
{
    read.word(
        "limits.light", limits.light,
        {{"sun", day::Light::Sun}, {"civil", day::Light::CivilTwilight}, {"off", day::Light::Off}});
    if (const auto* wind = read.find("limits.wind_m_s")) {
        if (*wind == "off") {
            limits.wind.reset();
        } else {
            double speed = 0;
            bounded(read, "limits.wind_m_s", speed, 0, 40);
            limits.wind = MetresPerSecond{speed};
        }
    }
    read.on_off("limits.thunder", limits.thunder);
    read.minutes("limits.thunder_wait_min", limits.thunder_wait);
    read.word("limits.heat", limits.heat,
              {{"below_caution", HeatClass::Cool},
               {"caution", HeatClass::Caution},
               {"extreme_caution", HeatClass::ExtremeCaution},
               {"danger", HeatClass::Danger},
               {"extreme_danger", HeatClass::ExtremeDanger},
               {"off", HeatClass::Unknown}});
    if (read.find("limits.humidity_percent") != nullptr) {
        double percent = 0;
        bounded(read, "limits.humidity_percent", percent, 0, 100);
        limits.humidity = Fraction{percent / 100};
    }
}

void read_noise(const Reader& read, day::LimitSettings& limits)
{
    read.word("limits.noise_criterion", limits.criterion,
              {{"niosh", access::NoiseCriterion::Niosh}, {"osha", access::NoiseCriterion::Osha}});
    bounded(read, "limits.dose_percent", limits.dose_percent, 0, 1000);
    if (read.find("limits.vacuum_db") == nullptr) {
        if (const auto* rating = read.find("limits.protector_nrr")) {
            refuse("limits.protector_nrr", *rating,
                   "of use without limits.vacuum_db, the level measured at the ear");
        }
        return;
    }
    double level = 0;
    bounded(read, "limits.vacuum_db", level, 40, 140);
    auto kind = Derating::MuffNiosh;
    read.word("limits.protector_kind", kind,
              {{"muff", Derating::MuffNiosh},
               {"formed_plug", Derating::FormedPlugNiosh},
               {"other_plug", Derating::OtherPlugNiosh},
               {"half", Derating::Half},
               {"whole", Derating::Whole}});
    double rating = 0;
    bounded(read, "limits.protector_nrr", rating, 0, 50);
    limits.vacuum_level = rating > 0 ? access::behind_protector(level, rating, kind) : level;
}

void read_loads(const Reader& read, day::LimitSettings& limits)
{
    read.on_off("limits.two_people", limits.two_people);
    if (read.find("limits.bottles") != nullptr) {
        int bottles = 0;
        read.whole("limits.bottles", bottles);
        limits.bottles = bottles;
    }
    if (read.find("limits.cold_box_kg") != nullptr) {
        double kilograms = 0;
        bounded(read, "limits.cold_box_kg", kilograms, 0, 1000);
        limits.cold_box = Grams{kilograms * 1000};
    }
    read.whole("limits.nests_per_comb_box", limits.nests_per_comb_box);
}

void read_access(const Reader& read, AccessSettings& access)
{
    for (const auto& [name, member] : kLengths) {
        double metres = (access.*member).value();
        bounded(read, name, metres, 0, 20);
        access.*member = Metres{metres};
    }
    for (const auto& [name, member] : kMinutes) {
        read.minutes(name, access.*member);
        if (access.*member > std::chrono::hours{8}) {
            refuse(name, *read.find(name), "a number between 0 and 480");
        }
    }
    double bend = access.pole_bend.value() * 100;
    bounded(read, kBend, bend, 0, 50);
    access.pole_bend = Fraction{bend / 100};
    double climber = access.climber.value() / 1000;
    bounded(read, kClimber, climber, 20, 400);
    access.climber = Grams{climber * 1000};
    if (access.two_stage_climb < access.setting_ladder ||
        access.ladder_work < access.setting_ladder) {
        throw Failure{ErrorCode::InvalidInput,
                      "is longer than the work it is a part of: access.two_stage_climb_min and "
                      "access.ladder_work_min hold it",
                      "setting access.setting_ladder_min"};
    }
}

}  // namespace

bool is_work_setting(const std::string& name)
{
    const auto has = [&](const auto& each) { return name == each.first; };
    return is_cargo_setting(name) || name == kBend || name == kClimber ||
           std::find(kLimits.begin(), kLimits.end(), name) != kLimits.end() ||
           std::any_of(kLengths.begin(), kLengths.end(), has) ||
           std::any_of(kMinutes.begin(), kMinutes.end(), has);
}

void read_work(const std::map<std::string, std::string>& settings, Preferences& into)
{
    const Reader read{settings};
    read_weather_limits(read, into.limits);
    read_noise(read, into.limits);
    read_loads(read, into.limits);
    read_access(read, into.access);
    (void)cargo_settings(settings);  // refuse a wrong value wherever settings are read
}

}  // namespace nestround::app
