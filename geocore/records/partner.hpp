/// \file partner.hpp
/// \brief What partners sent: a file that was read, and the nests in it.
///
/// Purpose:  plain records as the book holds them. They are the partner's word, not ours: no call,
///           visit or forecast rests on them.
/// Units:    in the types.
/// Range:    a row is of its partner for ever; what the crew thinks of it is its decision.
/// Accuracy: as sent; an uncertainty or date that was not sent is empty, never made up.
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

/// One layer of one file, read once.
struct PartnerImport {
    PartnerImportId id;
    std::string partner;  ///< as the crew calls them
    std::string file;     ///< its name, without folders
    std::string sha256;   ///< of its bytes, 64 hexadecimal digits
    std::string layer;
    std::string crs;  ///< of the layer, as "EPSG:25833"
    Day read_on{};
    int rows_read = 0;  ///< taken or already there
    int rows_refused = 0;
};

/// What a place is: somewhere around a point, or anywhere in an area whose middle the point is.
enum class PlaceForm { Point, Cell };

[[nodiscard]] std::string_view text(PlaceForm form);
[[nodiscard]] std::optional<PlaceForm> place_form(std::string_view text);

/// Open; the same colony as one of ours; known and not ours; not a nest worth keeping.
enum class PartnerDecision { Open, Same, Other, Refused };

[[nodiscard]] std::string_view text(PartnerDecision decision);
[[nodiscard]] std::optional<PartnerDecision> partner_decision(std::string_view text);

struct PartnerNest {
    PartnerNestId id;
    PartnerImportId import;  ///< that last wrote it
    LonLat place{};
    PlaceForm form = PlaceForm::Point;
    std::optional<Metres> uncertainty;  ///< within which the nest lies
    int row = 0;                        ///< in the file, from 1
    std::string source_key;             ///< the sender's own id
    std::string taxon;                  ///< our code; empty when not known here
    std::string taxon_as_sent;
    std::string date_as_sent;
    std::optional<Day> first;  ///< of the days that the date may mean
    std::optional<Day> last;
    std::optional<int> season;  ///< year in which the colony peaks, where it was sent
    std::optional<int> count;   ///< of nests; empty when not sent: one
    std::string note;           ///< what was left out or understood otherwise
    PartnerDecision decision = PartnerDecision::Open;
    std::optional<NestId> nest;  ///< of ours, with the decision Same
    std::string decided_by;
    std::optional<Instant> decided_at;
};

}  // namespace nestround
