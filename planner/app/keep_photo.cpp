#include "planner/app/keep_photo.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"
#include "geocore/intake/photo_file.hpp"

namespace nestround::app {

PhotoKept keep_photo(book::Book& book, std::span<const std::uint8_t> picture,
                     const PhotoEntry& entry, const Deed& deed, Instant now, KeyMaker& keys)
{
    const auto facts = value_or_throw(intake::read_photo(picture));
    if (entry.id) {
        if (auto known = book.photo(*entry.id)) {
            const auto there = book.picture(*entry.id);
            if (!std::equal(there.begin(), there.end(), picture.begin(), picture.end())) {
                throw Failure{ErrorCode::RuleBroken, "another photo has that key"};
            }
            return {std::move(*known), true};
        }
    }
    Photo photo;
    photo.id = entry.id ? *entry.id : keys.make<PhotoId>(now);
    photo.content_type = facts.content_type;
    photo.width = facts.width;
    photo.height = facts.height;
    photo.place = facts.place;
    photo.taken = intake::taken_at(facts, entry.zone);
    photo.who = entry.who;
    photo.note = entry.note;
    if (entry.call) {
        const auto sheet = book.call(*entry.call);
        if (!sheet) {
            throw Failure{ErrorCode::NotFound, "no such call"};
        }
        photo.call = entry.call;
        photo.nest = sheet->nest.id;
    }
    book::Change change{book, now};
    change.by(deed);
    change.insert(photo, picture);
    change.commit();
    return {std::move(photo), false};
}

Photo find_photo(const book::Book& book, const std::string& key)
{
    std::vector<Photo> found;
    for (auto& photo : book.photos()) {
        if (key.size() >= 4 && photo.id.text().ends_with(key)) {
            found.push_back(std::move(photo));
        }
    }
    if (found.size() != 1) {
        throw Failure{
            found.empty() ? ErrorCode::NotFound : ErrorCode::InvalidInput,
            fmt::format("{} with the key '{}'; 'nestround photo list BOOK' shows the keys",
                        found.empty() ? "there is no photo" : "there are several photos", key),
            book.path().string()};
    }
    return found.front();
}

}  // namespace nestround::app
