/// \file field_work.hpp
/// \brief What is entered on the spot: photos, the steps of a visit, and who did what.
///
/// Purpose:  plain records as the book holds them.
/// Units:    in the types; pixels.
/// Range:    the place and time of a photo are the camera's, where it wrote them.
/// Accuracy: as entered.
/// Errors:   none; the book's CHECKs refuse bad values.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

namespace nestround {

/// Private: leaves the book only when asked for by name. The picture itself is asked for apart.
struct Photo {
    PhotoId id;
    std::optional<CallId> call;
    std::optional<NestId> nest;
    std::optional<VisitId> visit;
    std::optional<Instant> taken;
    std::optional<LonLat> place;  ///< of the camera
    int width = 0;
    int height = 0;
    std::string who;
    std::string note;
    std::string content_type;  ///< "image/jpeg", "image/png" or "image/webp"
};

enum class VisitStepKind { Arrive, FromTheGround, Ladder, Catch, Comb, CleanUp, Done };

[[nodiscard]] std::string_view text(VisitStepKind kind);  ///< "arrive", "from_the_ground", ...
[[nodiscard]] std::optional<VisitStepKind> visit_step_kind(std::string_view text);

/// Its key is made where it is entered, so that a step that is sent twice is there once.
struct VisitStep {
    StepId id;
    CallId call;
    VisitId visit;
    VisitStepKind step = VisitStepKind::Arrive;
    Instant at{};
    std::string who;
    std::string figures;       ///< JSON as it was entered
    std::optional<Uuid> made;  ///< the catch or comb that it made
};

/// One change by one person.
struct Deed {
    DeedId id;
    Instant at{};
    std::string who;
    std::string words;   ///< "call 3f7a2c changed"
    bool final = false;  ///< cannot be taken back
};

}  // namespace nestround
