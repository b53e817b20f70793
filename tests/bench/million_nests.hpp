// An invented book of a million nests, made once and kept beside the benchmark; and a run of a
// program in a process of its own, with the time and memory it took.
#pragma once

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/base/random.hpp"
#include "geocore/book/book.hpp"

namespace nestround::bench {

inline constexpr int kNests = 1'000'000;
inline constexpr int kWaiting = 2'000;

inline void fill_million(book::Book& book)
{
    constexpr std::array kTaxa{"VMAC", "VGER", "DMAC", "VFLA", "VCRA", ""};
    constexpr int kFirstSeason = 2007;
    constexpr int kSeasons = 20;
    const Instant now{std::chrono::sys_days{std::chrono::year{2026} / 8 / 4}};
    Random random{9};
    book::Change change{book, now, book::Load::Many};
    std::vector<SiteId> sites;
    for (int i = 0; i < kNests; ++i) {
        // Three nests in ten hang where one hung before.
        SiteId at;
        if (!sites.empty() && random.below(10) < 3) {
            at = sites[random.below(sites.size())];
        } else {
            Site site;
            site.id = SiteId{Uuid::make(now, random)};
            site.place = {Longitude{random.uniform(-79, -75)}, Latitude{random.uniform(40, 43)}};
            if (random.below(2) == 0) {
                site.place_uncertainty = Metres{random.uniform(3, 60)};
            }
            site.label = fmt::format("invented place {}", i);
            site.address = fmt::format("{} Invented Lane", i % 900);
            change.insert(site);
            sites.push_back(site.id);
            at = site.id;
        }
        Nest nest;
        nest.id = NestId{Uuid::make(now, random)};
        nest.site = at;
        nest.season = kFirstSeason + i * kSeasons / kNests;
        nest.taxon = kTaxa[std::min<std::size_t>(random.below(9), kTaxa.size() - 1)];
        nest.kind = static_cast<NestKind>(random.below(4));
        nest.height = Metres{random.uniform(0, 9)};
        change.insert(nest);
        Call call;
        call.id = CallId{Uuid::make(now, random)};
        call.nest = nest.id;
        const int day_of_year = 150 + static_cast<int>(random.below(66));
        call.received =
            Day{std::chrono::year{nest.season} / 1 / 1} + std::chrono::days{day_of_year};
        call.source_key = fmt::format("invented:{}", i);
        const bool waits = i >= kNests - kWaiting;
        const bool taken = !waits && random.below(3) == 0;
        call.state = waits ? CallState::Waiting : taken ? CallState::Taken : CallState::GivenUp;
        if (!waits) {
            call.closed = call.received + std::chrono::days{3};
        }
        change.insert(call);
        if (taken) {
            Visit visit;
            visit.id = VisitId{Uuid::make(now, random)};
            visit.nest = nest.id;
            visit.call = call.id;
            visit.begun = Instant{*call.closed} + std::chrono::hours{14};
            change.insert(visit);
            CatchRecord caught;
            caught.id = CatchId{Uuid::make(now, random)};
            caught.visit = visit.id;
            caught.taxon = nest.taxon;
            caught.mass = Grams{random.uniform(20, 900)};
            caught.frozen_at = visit.begun;
            change.insert(caught);
        }
    }
    change.set_setting("region.name", "an invented region");
    for (const char* tier : {"exact", "grid", "cells"}) {
        change.set_setting(fmt::format("partners.{}.tier", tier), tier);
    }
    change.commit();
}

/// The book, made unless one of this schema lies in `folder`.
inline std::string million_book(const std::filesystem::path& folder)
{
    const auto path = folder / "million_nests.gpkg";
    try {
        if (book::Book::open(path, book::Mode::ReadOnly).nest_count() == kNests) {
            return path.string();
        }
    } catch (const Failure&) {
        // Not there, or of another schema.
    }
    fmt::print("making {} (some minutes, once)\n", path.string());
    std::fflush(stdout);
    std::filesystem::remove(path);
    std::filesystem::create_directories(folder);
    const auto began = std::chrono::steady_clock::now();
    {
        auto book = book::Book::create(
            path, Instant{std::chrono::sys_days{std::chrono::year{2026} / 8 / 4}});
        fill_million(book);
    }
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - began;
    fmt::print("made in {:.0f} s, {:.0f} MB\n", taken.count(),
               double(std::filesystem::file_size(path)) / 1e6);
    return path.string();
}

struct Taken {
    int code = -1;
    double wall = 0;       ///< seconds
    double processor = 0;  ///< seconds of all its threads, user and system
    double memory = 0;     ///< greatest resident set, megabytes
};

/// Its words go nowhere unless `quiet` is false.
inline Taken run_apart(const std::vector<std::string>& words, bool quiet = true)
{
    std::vector<char*> list;
    for (const auto& word : words) {
        list.push_back(const_cast<char*>(word.c_str()));
    }
    list.push_back(nullptr);
    std::fflush(stdout);
    const auto began = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) {
        if (quiet) {
            const int nowhere = ::open("/dev/null", O_WRONLY);
            ::dup2(nowhere, STDOUT_FILENO);
        }
        ::execvp(list.front(), list.data());
        ::_exit(127);
    }
    Taken taken;
    int status = 0;
    rusage used{};
    if (child < 0 || ::wait4(child, &status, 0, &used) != child) {
        return taken;
    }
    const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - began;
    const auto seconds = [](const timeval& time) {
        return double(time.tv_sec) + double(time.tv_usec) / 1e6;
    };
    taken.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
    taken.wall = wall.count();
    taken.processor = seconds(used.ru_utime) + seconds(used.ru_stime);
    taken.memory = double(used.ru_maxrss) * 1024 / 1e6;
    return taken;
}

}  // namespace nestround::bench
