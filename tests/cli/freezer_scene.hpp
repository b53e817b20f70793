/// \file freezer_scene.hpp
/// \brief A book with five catches, made by the program itself, and a freezer to put them in.
#pragma once

#include <sqlite3.h>

#include <array>
#include <string>
#include <vector>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

namespace nestround::test {

/// K1 22 g, K2 30 g (no count), K3 41 g of VGER; K4 50 g of VMAC; K5 60 g of VGER, poisoned.
struct FreezerScene {
    Folder folder;
    std::string book = folder / "a.gpkg";

    FreezerScene()
    {
        REQUIRE(run_program({"book", "create", book}).code == 0);
        const auto calls = folder.write(
            "calls.csv",
            "key,received,lon,lat,place,species,nest_kind,client_name,client_phone,insecticide\n"
            "K1,2025-07-20,-77.1,41.2,mill,Vespula germanica,void,Rosalind,555-0100,no\n"
            "K2,2025-07-25,-77.1,41.2,barn,Vespula germanica,void,Rosalind,555-0100,no\n"
            "K3,2025-08-02,-77.1,41.2,shed,Vespula germanica,void,,,no\n"
            "K4,2025-08-02,-77.1,41.2,eaves,Vespula maculifrons,void,,,no\n"
            "K5,2025-08-02,-77.1,41.2,wall,Vespula germanica,void,,,yes\n");
        REQUIRE(run_program({"call", "import", book, calls}).code == 0);
        const auto catches = folder.write("catches.csv",
                                          "call,taken,method,species,mass_g,count\n"
                                          "K1,2025-08-01,hand,VGER,22,300\n"
                                          "K2,2025-08-08,ladder,VGER,30,\n"
                                          "K3,2025-08-15,hand,VGER,41,\n"
                                          "K4,2025-08-16,hand,VMAC,50,\n"
                                          "K5,2025-08-17,hand,VGER,60,\n");
        REQUIRE(run_program({"catch", "import", book, catches}).code == 0);
    }

    [[nodiscard]] Outcome run(const std::vector<std::string>& words) const
    {
        return run_program(words);
    }
    [[nodiscard]] std::vector<std::string> seal_words(
        const std::string& calls, const std::string& at = "2025-08-30T10:00:00Z") const
    {
        std::vector<std::string> words{"lot",     "seal",     book,      "--freezer", "A",
                                       "--shelf", "2",        "--box",   "7",         "--who",
                                       "ada",     "--method", "dry_ice", "--at",      at};
        if (!calls.empty()) {
            words.insert(words.end(), {"--call", calls});
        }
        return words;
    }
    /// "K7F4-TQ7" out of "sealed lot K7F4-TQ7: ...".
    [[nodiscard]] static std::string code_in(const std::string& out)
    {
        const auto at = out.find("lot ");
        REQUIRE(at != std::string::npos);
        return out.substr(at + 4, 8);
    }
    [[nodiscard]] std::string seal(const std::string& calls,
                                   const std::string& at = "2025-08-30T10:00:00Z") const
    {
        const auto words = seal_words(calls, at);
        const auto done = run(words);
        INFO(done.err);
        REQUIRE(done.code == 0);
        return code_in(done.out);
    }
    [[nodiscard]] std::string ask(const std::string& sql) const
    {
        sqlite3* handle = nullptr;
        REQUIRE(sqlite3_open_v2(book.c_str(), &handle, SQLITE_OPEN_READONLY, nullptr) == SQLITE_OK);
        std::string out;
        const auto take = [](void* to, int, char** values, char**) {
            *static_cast<std::string*>(to) += values[0] == nullptr ? "" : values[0];
            return 0;
        };
        REQUIRE(sqlite3_exec(handle, sql.c_str(), take, &out, nullptr) == SQLITE_OK);
        sqlite3_close(handle);
        return out;
    }
    [[nodiscard]] int count(const std::string& table) const
    {
        return std::stoi(ask("SELECT count(*) FROM " + table));
    }
    /// The end of the key of the catch that answered this call.
    [[nodiscard]] std::string key_of_catch(const std::string& call) const
    {
        return ask(
            "SELECT substr(c.id, -6) FROM catch c JOIN visit v ON v.id = c.visit_id JOIN "
            "call k ON k.id = v.call_id WHERE k.source_key = '" +
            call + "'");
    }
};

}  // namespace nestround::test
