#include "geocore/records/field_work.hpp"

#include <array>

namespace nestround {

namespace {

constexpr std::array<std::string_view, 7> kSteps{"arrive", "from_the_ground", "ladder", "catch",
                                                 "comb",   "clean_up",        "done"};

}  // namespace

std::string_view text(VisitStepKind kind) { return kSteps[static_cast<std::size_t>(kind)]; }

std::optional<VisitStepKind> visit_step_kind(std::string_view text)
{
    for (std::size_t i = 0; i < kSteps.size(); ++i) {
        if (kSteps[i] == text) {
            return static_cast<VisitStepKind>(i);
        }
    }
    return std::nullopt;
}

}  // namespace nestround
