#include "planner/desk/routes.hpp"

#include <algorithm>
#include <set>

#include "planner/desk/rooms.hpp"
#include "planner/desk/server_routes.hpp"

namespace nestround::desk {
namespace {

std::string_view first_piece(std::string_view& path)
{
    const auto slash = path.find('/');
    const auto piece = path.substr(0, slash);
    path = slash == std::string_view::npos ? std::string_view{} : path.substr(slash + 1);
    return piece;
}

Answer of_failure(const Error& error)
{
    switch (error.code) {
        case ErrorCode::BadUsage:
            return refuse({400, "bad_request", error.text(), error.where});
        case ErrorCode::InvalidInput:
            return refuse({422, "invalid", error.text(), error.where});
        case ErrorCode::NotFound:
            return refuse({404, "not_found", error.text(), error.where});
        case ErrorCode::Infeasible:
            return refuse({409, "infeasible", error.text(), error.where});
        case ErrorCode::RuleBroken:
            return refuse({409, "rule_broken", error.text(), error.where});
        case ErrorCode::WrongVersion:
        case ErrorCode::BookFailed:
        case ErrorCode::OutputFailed:
        case ErrorCode::Internal:
            break;
    }
    return refuse({500, "failed", "the book or the disk refused: " + error.message, {}});
}

}  // namespace

bool fits(std::string_view pattern, std::string_view path,
          std::map<std::string, std::string>& parameters)
{
    std::map<std::string, std::string> found;
    if (std::count(pattern.begin(), pattern.end(), '/') !=
        std::count(path.begin(), path.end(), '/')) {
        return false;
    }
    while (!pattern.empty() || !path.empty()) {
        const auto wanted = first_piece(pattern);
        auto piece = first_piece(path);
        const auto opens = wanted.find('{');
        const auto closes = wanted.find('}');
        if (opens == std::string_view::npos || closes == std::string_view::npos) {
            if (wanted != piece) {
                return false;
            }
            continue;
        }
        const auto before = wanted.substr(0, opens);
        const auto after = wanted.substr(closes + 1);
        if (piece.size() <= before.size() + after.size() || !piece.starts_with(before) ||
            !piece.ends_with(after)) {
            return false;
        }
        piece.remove_prefix(before.size());
        piece.remove_suffix(after.size());
        found[std::string{wanted.substr(opens + 1, closes - opens - 1)}] = std::string{piece};
    }
    parameters = std::move(found);
    return true;
}

const Tables& all_tables()
{
    static const Tables tables = [] {
        Tables all = room_tables();
        for (const auto& own : {server_routes(), tile_routes(), ogc_routes()}) {
            all.push_back(own);
        }
        return all;
    }();
    return tables;
}

Answer answer(Desk& desk, const Request& request) { return answer(desk, request, all_tables()); }

Answer answer(Desk& desk, const Request& request, const Tables& tables)
{
    const Route* best = nullptr;
    auto filled = request;
    std::set<std::string> methods;
    for (const auto& table : tables) {
        for (const Route& route : table) {
            std::map<std::string, std::string> parameters;
            if (!fits(route.path, request.path, parameters)) {
                continue;
            }
            methods.emplace(text(route.method));
            const bool more_exact =
                best == nullptr || parameters.size() < filled.path_parameters.size();
            if (route.method == request.method && more_exact) {
                best = &route;
                filled.path_parameters = std::move(parameters);
            }
        }
    }
    if (best == nullptr && methods.empty()) {
        return refuse({404, "no_such_path", "the desk has nothing there", {}});
    }
    if (best == nullptr) {
        std::string allowed;
        for (const auto& method : methods) {
            allowed += (allowed.empty() ? "" : ", ") + method;
        }
        auto refused = refuse({405, "wrong_method", "that path answers " + allowed, {}});
        refused.headers["Allow"] = allowed;
        return refused;
    }
    try {
        return best->handler(desk, filled);
    } catch (const Refusal& refusal) {
        return refuse(refusal);
    } catch (const Failure& failure) {
        return of_failure(failure.error());
    } catch (const nlohmann::json::exception&) {
        return refuse({422, "invalid", "a value of the body has another type than expected", {}});
    } catch (const std::exception& problem) {
        return refuse({500, "internal", std::string{"internal error: "} + problem.what(), {}});
    }
}

}  // namespace nestround::desk
