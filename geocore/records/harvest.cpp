#include "geocore/records/harvest.hpp"

#include <array>
#include <utility>

namespace nestround {

namespace {

constexpr std::array<std::pair<WorkMethod, std::string_view>, 5> kMethods{
    {{WorkMethod::Hand, "hand"},
     {WorkMethod::GroundPole, "ground_pole"},
     {WorkMethod::Ladder, "ladder"},
     {WorkMethod::PoleThenLadder, "pole_then_ladder"},
     {WorkMethod::NotReached, "not_reached"}}};

}  // namespace

std::string_view text(WorkMethod method)
{
    for (const auto& [value, name] : kMethods) {
        if (value == method) {
            return name;
        }
    }
    return "not_reached";
}

std::optional<WorkMethod> work_method(std::string_view text)
{
    for (const auto& [value, name] : kMethods) {
        if (name == text) {
            return value;
        }
    }
    return std::nullopt;
}

std::string_view text(CellCount count)
{
    switch (count) {
        case CellCount::Counted:
            return "counted";
        case CellCount::Estimated:
            return "estimated";
        case CellCount::Area:
            return "area";
        case CellCount::Photograph:
            return "photograph";
    }
    return "";
}

std::optional<CellCount> cell_count(std::string_view text_)
{
    for (const auto count :
         {CellCount::Counted, CellCount::Estimated, CellCount::Area, CellCount::Photograph}) {
        if (text_ == text(count)) {
            return count;
        }
    }
    return std::nullopt;
}

}  // namespace nestround
