#include "planner/app/create_book.hpp"

#include "geocore/book/book.hpp"

namespace nestround::app {

int create_book(const std::filesystem::path& path, Instant now)
{
    return book::Book::create(path, now).schema_version();
}

int update_book(const std::filesystem::path& path)
{
    return book::Book::open(path, book::Mode::ReadWrite).schema_version();
}

}  // namespace nestround::app
