/// \file keys.hpp
/// \brief The key types of the book's rows.
///
/// Purpose:  one type a kind of row; see geocore/base/identifier.hpp.
/// Units:    none.
/// Range:    a default-made key is nil and means "not set".
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "geocore/base/identifier.hpp"

namespace nestround {

using SiteId = Id<struct SiteRow>;
using ClientId = Id<struct ClientRow>;
using NestId = Id<struct NestRow>;
using CallId = Id<struct CallRow>;
using VisitId = Id<struct VisitRow>;
using CatchId = Id<struct CatchRow>;
using CombId = Id<struct CombRow>;
using CollectionId = Id<struct CollectionRow>;
using LotId = Id<struct LotRow>;
using LotParentId = Id<struct LotParentRow>;
using LotCorrectionId = Id<struct LotCorrectionRow>;
using LotMoveId = Id<struct LotMoveRow>;
using ExcursionId = Id<struct ExcursionRow>;
using OrderId = Id<struct OrderRow>;
using ShipmentId = Id<struct ShipmentRow>;
using CrewId = Id<struct CrewRow>;
using GearId = Id<struct GearRow>;
using StationId = Id<struct StationRow>;
using HabitatId = Id<struct HabitatRow>;
using PhotoId = Id<struct PhotoRow>;
using StepId = Id<struct StepRow>;
using DeedId = Id<struct DeedRow>;
using PartnerImportId = Id<struct PartnerImportRow>;
using PartnerNestId = Id<struct PartnerNestRow>;

}  // namespace nestround
