/// \file harvest.hpp
/// \brief What one visit would bring: workers, brood that still emerges, queens, males, venom.
///
/// Purpose:  the whole yield of a nest, of which the frozen grams of the outlook are a part.
/// Units:    counts, grams, micrograms of venom protein.
/// Range:    low <= middle <= high; a nest without workers yields none; open brood counts as none.
/// Accuracy: drawn over the forecaster's weighed courses, a few hundred. Venom is a floor: the
///           protein of one sting of each worker, until a buyer's assay is set.
/// Cost:     some microseconds a course.
/// Errors:   none: what is not known is a note and a wide figure.
/// Source:   rows away.*, catch_share.*, emergence.*, freezing_loss, venom.* of the taxa table;
///           docs/science/season-and-yield.md.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "planner/yield/outlook.hpp"

namespace nestround::yield {

/// Light at the nest; it rules how many workers are out.
enum class Light { Day, Twilight, Night };

/// "day", "twilight", "night".
[[nodiscard]] std::string_view text(Light light);

struct HarvestConditions {
    Light light = Light::Day;
    std::optional<Celsius> air;  ///< below the limits of flight nobody is out
};

struct HarvestSettings {
    /// Micrograms of venom protein from one worker, by a buyer's assay, by taxon.
    std::map<std::string, double> assay_ug;
};

struct Harvest {
    Spread<double> workers_caught;
    Spread<double> workers_missed;  ///< alive, and not in the container
    Spread<double> brood_workers;   ///< that will still emerge in a warm habitat
    Spread<double> brood_sexuals;   ///< new queens and males that will
    Spread<double> gynes;           ///< adult, in the nest
    Spread<double> males;
    Spread<Grams> frozen;      ///< of workers caught
    Spread<Grams> later;       ///< of workers that emerge
    Spread<Micrograms> venom;  ///< protein, of both
    Spread<double> doses;      ///< of `venom.per_dose`
    bool by_assay = false;     ///< venom by a buyer's assay, no floor
    std::vector<std::string> notes;
};

/// Share of a taxon's workers that are out of the nest, 10/50/90 %, with the row it rests on.
[[nodiscard]] Spread<double> away(const nature::TaxaTable& table, std::string_view taxon,
                                  const HarvestConditions& conditions);

/// `courses` is what the forecaster gives for the nest and day.
[[nodiscard]] Harvest harvest(const nature::TaxaTable& table, const NestCourses& courses,
                              bool insecticide, const HarvestConditions& conditions = {},
                              const HarvestSettings& settings = {});

}  // namespace nestround::yield
