/// \file desk_scene.hpp
/// \brief A desk over a new book in a folder of its own, asked without a socket.
#pragma once

#include <string>

#include "planner/desk/routes.hpp"
#include "tests/support/program.hpp"

namespace nestround::test {

struct DeskScene {
    Folder folder;
    desk::DeskOptions options;
    std::unique_ptr<desk::Desk> desk;

    explicit DeskScene(bool open = true)
    {
        options.book = folder / "book.gpkg";
        options.version = "test";
        options.on = *parse_day("2026-08-04");
        const auto book = book::Book::create(options.book, *parse_instant("2026-01-01T00:00:00Z"));
        if (open) {
            desk = std::make_unique<desk::Desk>(options);
        }
    }

    desk::Answer ask(desk::Method method, const std::string& path, const desk::Json& body = {},
                     const std::multimap<std::string, std::string>& query = {})
    {
        desk::Request request;
        request.method = method;
        request.path = path;
        request.query = query;
        if (!body.is_null()) {
            request.headers["content-type"] = "application/json; charset=utf-8";
            request.body = body.dump();
        }
        return desk::answer(*desk, request);
    }
    desk::Answer get(const std::string& path,
                     const std::multimap<std::string, std::string>& query = {})
    {
        return ask(desk::Method::Get, path, {}, query);
    }
};

inline desk::Json body_of(const desk::Answer& answer) { return desk::Json::parse(answer.body); }

}  // namespace nestround::test
