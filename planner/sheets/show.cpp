#include "planner/sheets/show.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace nestround::sheets {

namespace {

constexpr std::string_view kNotKnown = "not known";

bool known(double value) { return std::isfinite(value); }

/// Two figures; whole numbers below ten. More would be more than any forecast knows.
std::string two_figures(double value)
{
    return number(value,
                  value < 9.95 ? 1 : std::pow(10.0, std::floor(std::log10(value) + 1e-12) - 1));
}

bool known(const Spread<double>& s) { return known(s.low) && known(s.middle) && known(s.high); }

Spread<double> bare(const Spread<Grams>& spread)
{
    return {spread.low.value(), spread.middle.value(), spread.high.value()};
}

}  // namespace

std::string number(double value, double step)
{
    if (!known(value)) {
        return std::string{kNotKnown};
    }
    const int places = step >= 1 ? 0 : static_cast<int>(std::ceil(-std::log10(step) - 1e-9));
    std::string text = fmt::format("{:.{}f}", std::round(value / step) * step, places);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    if (text == "-0") {
        return "0";
    }
    const std::size_t first = text.front() == '-' ? 1 : 0;
    const std::size_t end = std::min(text.find('.'), text.size());
    for (std::size_t at = end; at > first + 3; at -= 3) {
        text.insert(at - 3, ",");
    }
    return text;
}

std::string about(double value)
{
    if (!known(value)) {
        return std::string{kNotKnown};
    }
    if (value < 0.5) {
        return "none";
    }
    return (value < 9.5 ? "" : "about ") + two_figures(value);
}

std::string about(const Spread<double>& spread, std::string_view unit)
{
    if (!known(spread)) {
        return std::string{kNotKnown};
    }
    if (spread.high <= 0) {
        return "none";
    }
    const std::string gap = unit.empty() ? "" : " ";
    if (spread.high < 0.5) {
        return fmt::format("under 1{}{}", gap, unit);
    }
    return fmt::format("about {}{}{} ({} to {})", two_figures(spread.middle), gap, unit,
                       two_figures(spread.low), two_figures(spread.high));
}

std::string about(const Spread<Grams>& spread) { return about(bare(spread), "g"); }

std::string middle_of(const Spread<Grams>& spread)
{
    return known(bare(spread)) ? two_figures(spread.middle.value()) : std::string{"?"};
}

std::string bounds_of(const Spread<Grams>& spread)
{
    if (!known(bare(spread))) {
        return "?";
    }
    const std::string low = two_figures(spread.low.value());
    const std::string high = two_figures(spread.high.value());
    return low == high ? low : fmt::format("{}-{}", low, high);
}

std::string duration(seconds length)
{
    if (length.count() <= 0) {
        return "none";
    }
    if (length.count() < 30) {
        return "under 1 min";
    }
    const auto minutes = (length.count() + 30) / 60;
    return minutes < 60 ? fmt::format("{} min", minutes)
                        : fmt::format("{} h {:02}", minutes / 60, minutes % 60);
}

std::string distance(Metres length, UnitStyle units)
{
    if (!known(length.value())) {
        return std::string{kNotKnown};
    }
    const double metres = std::max(0.0, length.value());
    if (units == UnitStyle::Us) {
        const double ft = feet(Metres{metres});
        if (ft < 975) {
            return number(ft, 50) + " ft";
        }
        const double mi = miles(Metres{metres});
        return mi < 9.95 ? fmt::format("{:.1f} mi", mi) : number(mi) + " mi";
    }
    if (metres < 995) {
        return number(metres, 10) + " m";
    }
    const double km = metres / 1000;
    return km < 9.95 ? fmt::format("{:.1f} km", km) : number(km) + " km";
}

std::string height(Metres above_ground, UnitStyle units)
{
    if (!known(above_ground.value())) {
        return "height not known";
    }
    const bool us = units == UnitStyle::Us;
    const double amount = us ? feet(above_ground) : above_ground.value();
    const double size = std::abs(amount);
    const std::string text = us ? number(size) : number(size, size < 9.95 ? 0.1 : 1);
    if (text == "0") {
        return "at ground level";
    }
    return fmt::format("{} {} {}", text, us ? "ft" : "m", amount < 0 ? "below the surface" : "up");
}

std::string nest_size(Metres size, UnitStyle units)
{
    if (!known(size.value())) {
        return std::string{kNotKnown};
    }
    return units == UnitStyle::Us ? number(inches(size)) + " in"
                                  : number(size.value() * 100) + " cm";
}

std::string clock(ClockTime time)
{
    constexpr seconds kDay{24 * 3600};
    // Rounded first, so that 23:59:40 is the next day's 00:00.
    const ClockTime minute{seconds{(time.since_midnight().count() + 30) / 60 * 60}};
    if (minute.since_midnight() < kDay) {
        return format_clock(minute);
    }
    return format_clock(ClockTime{minute.since_midnight() - kDay}) + " next day";
}

std::string call_key(const CallId& id)
{
    const std::string text = id.text();
    return text.substr(text.size() - 6);
}

std::string place_name(const CallSheet& sheet)
{
    std::string label = clean(sheet.site.label);
    return label.empty() ? "call " + call_key(sheet.call.id) : label;
}

std::string nest_words(const Nest& nest, UnitStyle units)
{
    std::string words;
    switch (nest.kind) {
        case NestKind::Aerial:
            words = "hung free";
            break;
        case NestKind::Ground:
            words = "in the ground";
            break;
        case NestKind::Void:
            words = "in a hollow";
            break;
        case NestKind::Unknown:
            words = "kind of nest not known";
            break;
    }
    words += ", " + (nest.height ? height(*nest.height, units) : std::string{"height not known"});
    if (nest.width && nest.length) {
        words += fmt::format(", {} by {}", nest_size(*nest.width, units),
                             nest_size(*nest.length, units));
    } else if (nest.width) {
        words += ", " + nest_size(*nest.width, units) + " across";
    } else if (nest.length) {
        words += ", " + nest_size(*nest.length, units) + " top to bottom";
    }
    return words;
}

std::string colony_words(const yield::NestOutlook& outlook)
{
    const std::string name = clean(outlook.taxon_name);
    const std::string stage = clean(outlook.stage);
    return (name.empty() ? "unknown social wasp" : name) + (stage.empty() ? "" : ", " + stage);
}

std::string brood_words(const yield::NestOutlook& outlook)
{
    std::string words;
    // Said only where it is not all but sure.
    if (outlook.stage_chance > 0 && outlook.stage_chance < 0.9) {
        words = fmt::format("{:.0f} % that stage", outlook.stage_chance * 100);
    }
    const auto add = [&](const Spread<double>& spread, const char* unit) {
        if (spread.middle >= 1) {
            words += (words.empty() ? "" : "; ") + about(spread, unit);
        }
    };
    add(outlook.sealed_workers, "sealed workers");
    add(outlook.sealed_sexuals, "sealed queens and males");
    if (outlook.sexuals_out >= 0.1) {
        words += fmt::format("{}queens or males out: {:.0f} %", words.empty() ? "" : "; ",
                             outlook.sexuals_out * 100);
    }
    return words;
}

std::string yield_words(const yield::NestOutlook& outlook)
{
    const std::string workers = about(outlook.workers, "workers");
    const std::string grams = about(outlook.grams);
    if (outlook.workers.high <= 0) {
        return "nothing: no workers expected on this day";
    }
    if (!outlook.venom) {
        return fmt::format("nothing for laboratories (insecticide was used); {}", workers);
    }
    return fmt::format("{} from {}", grams, workers);
}

}  // namespace nestround::sheets
