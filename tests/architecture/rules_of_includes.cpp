// Arrows, circles, libraries.
#include <algorithm>
#include <map>

#include "tests/architecture/house_rules.hpp"
#include "tests/architecture/source_text.hpp"

namespace nestround::house {
namespace {

Names together(std::initializer_list<Names> sets)
{
    Names all;
    for (const Names& names : sets) {
        all.insert(names.begin(), names.end());
    }
    return all;
}

/// What each room may include besides itself.
const std::map<std::string, Names>& arrows()
{
    static const Names ground{"geocore/units", "geocore/base"};
    static const Names life = together({ground, {"geocore/records", "geocore/nature"}});
    static const Names pure = together({pure_geocore(), pure_planner()});
    static const std::map<std::string, Names> allowed{
        {"geocore/units", {}},
        {"geocore/base", {"geocore/units"}},
        {"geocore/records", ground},
        {"geocore/place", ground},
        {"geocore/nature", together({ground, {"geocore/place"}})},
        {"geocore/roads", together({ground, {"geocore/place"}})},
        {"geocore/density", together({ground, {"geocore/place", "geocore/records"}})},
        {"geocore/book", pure_geocore()},
        {"geocore/intake", pure_geocore()},
        {"geocore/gazetteer", together({ground, {"geocore/place"}})},
        {"planner/yield", together({life, {"geocore/place"}})},
        {"planner/access", life},
        {"planner/rank",
         together({life, {"geocore/place", "geocore/roads", "planner/yield", "planner/access"}})},
        {"planner/tour", together({life, {"geocore/roads", "planner/rank", "planner/access"}})},
        {"planner/day", together({life,
                                  {"geocore/place", "geocore/roads", "planner/yield",
                                   "planner/access", "planner/rank", "planner/tour"}})},
        {"planner/season",
         together({life,
                   {"geocore/place", "geocore/roads", "planner/yield", "planner/access",
                    "planner/rank", "planner/tour", "planner/day"}})},
        {"planner/brood", life},
        {"planner/freezer", life},
        {"planner/partners", together({life, {"geocore/place"}})},
        {"planner/sheets", pure},
        {"planner/app",
         together(
             {pure, {"geocore/book", "geocore/intake", "geocore/gazetteer", "planner/sheets"}})},
        // Commands open the book they are told of; what is done with it is a use case.
        {"planner/commands",
         together({pure,
                   {"geocore/book", "geocore/intake", "geocore/gazetteer", "planner/sheets",
                    "planner/app", "planner/desk", "plugin/share"}})},
        {"planner/desk", together({pure,
                                   {"geocore/book", "geocore/intake", "geocore/gazetteer",
                                    "planner/sheets", "planner/app"}})},
        {"plugin/driver", together({pure, {"geocore/book", "planner/app"}})},
        {"plugin/module", together({pure, {"geocore/book", "planner/app", "plugin/driver"}})},
        {"plugin/share", together({pure,
                                   {"geocore/book", "geocore/intake", "geocore/gazetteer",
                                    "planner/sheets", "planner/app"}})},
        {"demo-region", ground},
    };
    return allowed;
}

using Graph = std::map<std::string, Names>;

/// The circles reached by walking from each node; one complaint a circle found first.
Complaints circles_in(const Graph& graph, const std::string& kind)
{
    Complaints out;
    std::map<std::string, int> state;  // 1: on the way, 2: done
    std::vector<std::string> way;
    const auto walk = [&](const auto& self, const std::string& node) -> void {
        state[node] = 1;
        way.push_back(node);
        if (const auto next = graph.find(node); next != graph.end()) {
            for (const std::string& other : next->second) {
                if (state[other] == 1) {
                    std::string circle = other;
                    for (auto i = std::find(way.begin(), way.end(), other) + 1; i != way.end();
                         ++i) {
                        circle += " -> " + *i;
                    }
                    out.push_back("circle of " + kind + ": " + circle + " -> " + other);
                } else if (state[other] == 0) {
                    self(self, other);
                }
            }
        }
        way.pop_back();
        state[node] = 2;
    };
    for (const auto& [node, next] : graph) {
        if (state[node] == 0) {
            walk(walk, node);
        }
    }
    return out;
}

/// A library's headers, by how their names begin, and the rooms that may include them.
struct Library {
    const char* name;
    std::vector<std::string> begins;
    Names rooms;           // by how their names begin
    bool any_rim = false;  // every rim room as well
};

const std::vector<Library>& libraries()
{
    static const std::vector<Library> list{
        {"SQLite",
         {"sqlite3", "spatialite"},
         {"geocore/book", "geocore/gazetteer", "plugin/share"}},
        {"GDAL",
         {"gdal", "ogr_", "ogrsf", "cpl_"},
         {"geocore/intake", "planner/sheets", "plugin/"}},
        {"cpp-httplib", {"httplib", "openssl/"}, {"planner/desk"}},
        {"JSON", {"nlohmann/"}, {}, true},
        {"TOML", {"toml"}, {}, true},
        {"libosmium", {"osmium/", "protozero/"}, {"geocore/intake", "planner/desk", "demo-region"}},
        {"Cairo and Pango", {"cairo", "pango/"}, {"planner/sheets"}},
        {"QR codes", {"qrencode"}, {"planner/sheets", "planner/desk"}},
        {"CLI11", {"CLI/"}, {"planner/commands"}},
        {"Boost", {"boost/"}, {"geocore/roads", "geocore/place", "geocore/density"}},
        {"PROJ, GEOS, GeographicLib",
         {"proj", "geos", "GeographicLib/"},
         {"geocore/place", "geocore/density"}},
        {"time zones", {"date/tz.h"}, {}, true},
        {"files and streams",
         {"iostream", "fstream", "filesystem", "cstdio", "stdio.h", "unistd.h", "sys/", "spdlog/",
          "thread", "random"},
         {"demo-region"},
         true},
    };
    return list;
}

bool may_use(const Library& library, const std::string& room)
{
    if (library.any_rim && !is_pure(room) && room != "demo-region") {
        return true;
    }
    return std::any_of(library.rooms.begin(), library.rooms.end(),
                       [&](const std::string& begin) { return starts_with(room, begin); });
}

}  // namespace

Complaints wrong_arrows(const Tree& tree)
{
    Complaints out;
    for (const File& file : tree) {
        const std::string room = room_of(file.path);
        if (room.empty() || !is_source(file.path)) {
            continue;
        }
        const auto allowed = arrows().find(room);
        if (allowed == arrows().end()) {
            out.push_back(file.path + ": the house has no room " + room);
            continue;
        }
        for (const Include& include : includes_of(file.text)) {
            const std::string other = room_of(include.name);
            if (include.ours && (starts_with(include.name, "tests/") || include.name[0] == '.')) {
                out.push_back(at(file, include.line) + ": includes " + include.name);
            } else if (include.ours && other.empty()) {
                out.push_back(at(file, include.line) + ": " + include.name +
                              " is not written from the root");
            } else if (include.ours && other != room && allowed->second.count(other) == 0) {
                out.push_back(at(file, include.line) + ": " + room + " may not include " + other);
            }
        }
    }
    return out;
}

Complaints circles(const Tree& tree)
{
    Graph rooms;
    Graph files;
    for (const File& file : tree) {
        const std::string room = room_of(file.path);
        if (room.empty() || !is_source(file.path)) {
            continue;
        }
        for (const Include& include : includes_of(file.text)) {
            const std::string other = room_of(include.name);
            if (!include.ours || other.empty()) {
                continue;
            }
            files[file.path].insert(include.name);
            if (other != room) {
                rooms[room].insert(other);
            }
        }
    }
    Complaints out = circles_in(rooms, "rooms");
    const Complaints more = circles_in(files, "files");
    out.insert(out.end(), more.begin(), more.end());
    return out;
}

Complaints foreign_headers(const Tree& tree)
{
    Complaints out;
    for (const File& file : tree) {
        const std::string room = room_of(file.path);
        if (room.empty() || !is_source(file.path)) {
            continue;
        }
        for (const Include& include : includes_of(file.text)) {
            if (include.ours) {
                continue;
            }
            for (const Library& library : libraries()) {
                const bool of_it = std::any_of(
                    library.begins.begin(), library.begins.end(),
                    [&](const std::string& begin) { return starts_with(include.name, begin); });
                if (of_it && !may_use(library, room)) {
                    out.push_back(at(file, include.line) + ": <" + include.name + "> (" +
                                  library.name + ") has no place in " + room);
                }
            }
        }
    }
    return out;
}

}  // namespace nestround::house
