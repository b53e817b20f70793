/// \file day_sheet.hpp
/// \brief The morning sheet as values: what stands on the day's page and on each stop's.
///
/// Purpose:  one content for paper and for the phone; sheet_pdf and sheet_html only show it.
/// Units:    words in the user's units; clock times local to the depot.
/// Range:    any plan, one without stops too.
/// Accuracy: as the plan; steps are those of the way that the plan chose, with its minutes.
/// Errors:   a missing row of the table of sentences throws Failure naming it.
/// Source:   own; sentences with their marks in planner/sheets/practice.csv.
///
/// Private words are in it only when they were asked for by name: addresses by `with_addresses`,
/// names and phones by being handed over in `clients`.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "planner/day/day_plan.hpp"
#include "planner/sheets/access_drawing.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

/// Private.
struct ClientWords {
    std::string name;
    std::string phone;
};

struct DaySheetOptions {
    UnitStyle units = UnitStyle::Metric;
    bool with_addresses = false;
    std::map<CallId, ClientWords> clients;  ///< empty unless asked for by name
};

struct SheetFact {
    std::string name;  ///< "nest"
    std::string words;
};

struct SheetStep {
    std::string title;
    std::string time;  ///< "8 min"; may be empty
    std::vector<std::string> words;
};

/// A line of the day's table: a stop, or leaving, a break, home.
struct SheetRow {
    std::string mark;  ///< "A1"; empty: no stop
    std::string arrive;
    std::string leave;
    std::string place;
    std::string more;  ///< "about 42 g (25 to 70); 12 min, 4.3 km"
};

struct StopSheet {
    std::string mark;
    std::string place;
    std::string key;
    std::string arrive;
    std::string leave;
    bool promised = false;
    std::vector<SheetFact> facts;
    std::vector<SheetStep> steps;
    std::vector<std::string> clean_up;
    std::vector<std::string> tell_client;
    std::vector<std::string> mind;
    AccessPage drawing;
};

struct CrewSheet {
    std::string letter;
    std::string name;
    std::string summary;
    std::vector<SheetRow> rows;
    std::vector<std::string> load;
    std::vector<StopSheet> stops;
};

/// A box to fill in with a pen.
struct SheetBox {
    std::string_view name;
    std::string_view unit;
};

struct DaySheet {
    std::string title;  ///< "Tuesday 4 August 2026"
    std::string region;
    std::string instant;  ///< of the plan, for the file's own dates
    UnitStyle units = UnitStyle::Metric;
    std::vector<CrewSheet> crews;
    std::vector<std::string> mind;  ///< today, and at every nest
    std::string attribution;
};

[[nodiscard]] DaySheet day_sheet(const day::DayPlan& plan, const DaySheetOptions& options);

/// What the crew writes down at each stop, in the order of the work.
[[nodiscard]] const std::vector<SheetBox>& boxes_to_fill();
/// At the foot of each page.
[[nodiscard]] std::string_view sheet_caution();
/// A sentence of planner/sheets/practice.csv.
[[nodiscard]] std::string practice_words(std::string_view subject, std::string_view parameter);
/// Whether the plan leaves the comb of that stop where it is.
[[nodiscard]] bool comb_stays(const day::PlannedStop& stop);

}  // namespace nestround::sheets
