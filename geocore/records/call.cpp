#include "geocore/records/call.hpp"

#include <array>
#include <utility>

namespace nestround {

namespace {

template <class Value, std::size_t N>
using Names = std::array<std::pair<Value, std::string_view>, N>;

constexpr Names<NestKind, 4> kNestKinds{{{NestKind::Unknown, "unknown"},
                                         {NestKind::Aerial, "aerial"},
                                         {NestKind::Ground, "ground"},
                                         {NestKind::Void, "void"}}};
constexpr Names<CallState, 3> kCallStates{{{CallState::Waiting, "waiting"},
                                           {CallState::Taken, "taken"},
                                           {CallState::GivenUp, "given_up"}}};
constexpr Names<LadderPermission, 3> kPermissions{{{LadderPermission::Unknown, "unknown"},
                                                   {LadderPermission::Given, "given"},
                                                   {LadderPermission::Refused, "refused"}}};

constexpr Names<Structure, 8> kStructures{{{Structure::Unknown, "unknown"},
                                           {Structure::Gable, "gable"},
                                           {Structure::Soffit, "soffit"},
                                           {Structure::Wall, "wall"},
                                           {Structure::Tree, "tree"},
                                           {Structure::Ground, "ground"},
                                           {Structure::Void, "void"},
                                           {Structure::Other, "other"}}};
constexpr Names<PowerLines, 3> kPowerLines{{{PowerLines::Unknown, "unknown"},
                                            {PowerLines::NoneSeen, "none_seen"},
                                            {PowerLines::Near, "near"}}};

template <class Table, class Value>
std::string_view name_in(const Table& table, Value value)
{
    for (const auto& [v, name] : table) {
        if (v == value) {
            return name;
        }
    }
    return "unknown";
}

template <class Value, std::size_t N>
std::optional<Value> value_in(const Names<Value, N>& table, std::string_view text)
{
    for (const auto& [v, name] : table) {
        if (name == text) {
            return v;
        }
    }
    return std::nullopt;
}

}  // namespace

std::string_view text(NestKind kind) { return name_in(kNestKinds, kind); }
std::string_view text(CallState state) { return name_in(kCallStates, state); }
std::string_view text(LadderPermission value) { return name_in(kPermissions, value); }
std::optional<NestKind> nest_kind(std::string_view text) { return value_in(kNestKinds, text); }
std::optional<CallState> call_state(std::string_view text) { return value_in(kCallStates, text); }
std::optional<LadderPermission> ladder_permission(std::string_view text)
{
    return value_in(kPermissions, text);
}
std::string_view text(Structure value) { return name_in(kStructures, value); }
std::string_view text(PowerLines value) { return name_in(kPowerLines, value); }
std::optional<Structure> structure(std::string_view text) { return value_in(kStructures, text); }
std::optional<PowerLines> power_lines(std::string_view text) { return value_in(kPowerLines, text); }

}  // namespace nestround
