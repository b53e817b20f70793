/// \file morning_papers.hpp
/// \brief Use case: the morning on paper, in the calendar and as texts.
///
/// Purpose:  one place that takes private words out of the book, and only those asked for by name.
/// Units:    minutes.
/// Range:    any plan of this book.
/// Accuracy: as the plan.
/// Promise:  all is made before the first file is written; each file is whole or as it was.
/// Errors:   Failure: BadUsage for an ending or a paper that is not known, OutputFailed when a file
///           cannot be written.
/// Source:   own.
#pragma once

#include <chrono>
#include <string>

#include "geocore/book/book.hpp"
#include "geocore/roads/network.hpp"
#include "planner/day/day_plan.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::app {

struct PaperWishes {
    std::string sheet;     ///< .pdf or .html; empty: none
    std::string calendar;  ///< .ics
    std::string texts;
    std::string paper = "a4";
    std::chrono::minutes window{0};  ///< 0: the table's
    bool with_clients = false;
    bool with_addresses = false;
};

/// Before long work: throws what write_papers would throw for the words alone.
void check_papers(const PaperWishes& wishes);
void write_papers(const book::Book& book, const day::DayPlan& plan,
                  const roads::RoadNetwork& network, sheets::UnitStyle units,
                  const PaperWishes& wishes);

}  // namespace nestround::app
