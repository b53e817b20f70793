#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

const Instant kLater = kNow + std::chrono::hours{1};

Deed deed(unsigned n, const char* who, const char* words)
{
    Deed out;
    out.id = key<DeedId>(n);
    out.who = who;
    out.words = words;
    return out;
}

struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    book::Book book = book::Book::create(path, kNow);
    CallId id;
    Scene()
    {
        fill(book);
        id = book.waiting_calls(day("2026-08-04")).front().call.id;
    }
    void note(unsigned n, const char* who, const char* words, Instant now = kLater)
    {
        auto call = book.call(id)->call;
        call.note = words;
        book::Change change{book, now};
        change.by(deed(n, who, words));
        change.update(call);
        change.commit();
    }
    [[nodiscard]] std::string note() const { return book.call(id)->call.note; }
    Deed undo(const char* who)
    {
        book::Change change{book, kLater};
        auto undone = change.undo(who);
        change.commit();
        return undone;
    }
};

}  // namespace

TEST_CASE("Deed, TheLastChangeOfAPersonIsTakenBackExactly")
{
    Scene scene;
    const auto before = scene.book.call_stamp(scene.id)->rows;
    scene.note(1, "Ada", "line one\nline \\two");
    CHECK(scene.note() == "line one\nline \\two");
    CHECK(scene.book.call_stamp(scene.id)->by == "Ada");
    CHECK(scene.undo("Ada").words == "line one\nline \\two");
    // All but the instant of change stands as before.
    const auto after = scene.book.call_stamp(scene.id)->rows;
    CHECK(after.substr(after.find('\n')) == before.substr(before.find('\n')));
    CHECK(error_of([&] { scene.undo("Ada"); }).code == ErrorCode::NotFound);
}

TEST_CASE("Deed, ThatWasOvertakenIsRefusedAndNothingIsWritten")
{
    Scene scene;
    scene.note(1, "Ada", "hers");
    scene.note(2, "Bo", "his", kLater);
    const auto error = error_of([&] { scene.undo("Ada"); });
    CHECK(error.code == ErrorCode::RuleBroken);
    CHECK(error.message.find("changed since") != std::string::npos);
    CHECK(scene.note() == "his");
    // Once the later change is taken back, the earlier can be.
    scene.undo("Bo");
    CHECK(scene.note() == "hers");
    scene.undo("Ada");
    CHECK(scene.note().empty());
}

TEST_CASE("Deed, OnlyTheLastOneOfAPersonAndWhatStoodBeforeIsForgotten")
{
    Scene scene;
    scene.note(1, "Ada", "secret one");
    scene.note(2, "Ada", "two");
    CHECK(Stranger{scene.path}.ask("SELECT count(*) FROM deed_row WHERE stands LIKE '%secret%'") ==
          "0");
    scene.undo("Ada");
    CHECK(scene.note() == "secret one");
    CHECK(error_of([&] { scene.undo("Ada"); }).code == ErrorCode::NotFound);
    CHECK(error_of([&] { scene.undo("Nobody"); }).code == ErrorCode::NotFound);
}

TEST_CASE("Deed, AnInsertedRowIsTakenOutUnlessOthersRestOnIt")
{
    Scene scene;
    const auto insert = [&](unsigned n, const char* who) {
        book::Change change{scene.book, kLater};
        change.by(deed(n, who, "a call came in"));
        change.insert(some_site(900, 9.6, 47.2));
        change.insert(some_nest(900, 900));
        change.insert(some_call(900, 900));
        change.commit();
    };
    insert(1, "Ada");
    CHECK(scene.book.call(key<CallId>(900)));
    scene.undo("Ada");
    CHECK_FALSE(scene.book.call(key<CallId>(900)));
    CHECK_FALSE(scene.book.site(key<SiteId>(900)));

    insert(2, "Ada");
    Visit visit;
    visit.id = key<VisitId>(900);
    visit.nest = key<NestId>(900);
    visit.call = key<CallId>(900);
    visit.begun = kLater;
    {
        book::Change change{scene.book, kLater};
        change.insert(visit);
        change.commit();
    }
    CHECK(error_of([&] { scene.undo("Ada"); }).code == ErrorCode::RuleBroken);
    CHECK(scene.book.call(key<CallId>(900)));
}

TEST_CASE("Deed, OfASettingIsFinal")
{
    Scene scene;
    {
        book::Change change{scene.book, kLater};
        change.by(deed(1, "Ada", "a setting"));
        change.set_setting("region.name", "elsewhere");
        change.commit();
    }
    CHECK(error_of([&] { scene.undo("Ada"); }).code == ErrorCode::RuleBroken);
    CHECK(scene.book.settings().at("region.name") == "elsewhere");
}

TEST_CASE("Deed, FromABookOfStrangersWritesToNoTableButItsOwn")
{
    Scene scene;
    scene.note(1, "Ada", "hers");
    Stranger{scene.path}.run(
        "UPDATE deed_row SET row_table = 'app_meta', stands = 'key tformat' || char(10)");
    CHECK(error_of([&] { scene.undo("Ada"); }).code == ErrorCode::RuleBroken);
}

TEST_CASE("Photo, ComesBackByteForByteAndIsHeldToItsRules")
{
    Scene scene;
    Photo photo;
    photo.id = key<PhotoId>(1);
    photo.call = scene.id;
    photo.taken = kNow;
    photo.place = LonLat{Longitude{9.5}, Latitude{47.1}};
    photo.width = 40;
    photo.height = 30;
    photo.content_type = "image/png";
    photo.who = "Ada";
    const std::vector<std::uint8_t> bytes{0x89, 'P', 'N', 'G', 0, 255};
    {
        book::Change change{scene.book, kNow};
        change.by(deed(1, "Ada", "a photo"));
        change.insert(photo, bytes);
        change.commit();
    }
    CHECK(scene.book.picture(photo.id) == bytes);
    const auto read = scene.book.photos_of(scene.id);
    REQUIRE(read.size() == 1);
    CHECK(read.front().place->lon.value() == 9.5);
    CHECK(read.front().taken == kNow);
    // The relation that other programs follow.
    CHECK(Stranger{scene.path}.ask(
              "SELECT count(*) FROM call_photo m JOIN call c ON c.fid = m.base_id JOIN photo p ON "
              "p.fid = m.related_id WHERE c.id = '" +
              scene.id.text() + "'") == "1");
    scene.undo("Ada");
    CHECK(scene.book.photos().empty());

    photo.content_type = "text/html";
    {
        book::Change change{scene.book, kNow};
        CHECK(error_of([&] { change.insert(photo, bytes); }).code == ErrorCode::RuleBroken);
    }
    photo.content_type = "image/png";
    book::Change change{scene.book, kNow};
    CHECK(error_of([&] { change.insert(photo, {}); }).code == ErrorCode::RuleBroken);
}

TEST_CASE("VisitStep, SentTwiceIsRefusedTheSecondTime")
{
    Scene scene;
    Visit visit;
    visit.id = key<VisitId>(800);
    visit.nest = scene.book.call(scene.id)->nest.id;
    visit.call = scene.id;
    visit.begun = kNow;
    VisitStep step;
    step.id = key<StepId>(1);
    step.call = scene.id;
    step.visit = visit.id;
    step.at = kNow;
    step.figures = "{}";
    book::Change change{scene.book, kNow};
    change.insert(visit);
    change.insert(step);
    CHECK(error_of([&] { change.insert(step); }).code == ErrorCode::RuleBroken);
    change.commit();
    REQUIRE(scene.book.visit_steps(scene.id).size() == 1);
    CHECK(scene.book.visit_step(step.id)->step == VisitStepKind::Arrive);
    CHECK_FALSE(scene.book.visit_step(key<StepId>(2)));
}
