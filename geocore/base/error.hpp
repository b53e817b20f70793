/// \file error.hpp
/// \brief The one list of error codes, the value form and the thrown form.
///
/// Purpose:  `Result<T>` where a person's data may be wrong and the caller goes on; `Failure` where
///           the world failed and only the rim can answer; assert for broken promises inside.
/// Units:    codes are also the exit codes of the command line.
/// Range:    a message says what was found, where, and the way out, in one line.
/// Accuracy: not applicable.
/// Errors:   this file.
/// Source:   own; table in docs/reference/errors.md, checked by a test.
#pragma once

#include <stdexcept>
#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace nestround {

enum class ErrorCode {
    BadUsage = 2,       ///< the command's words do not fit; see --help
    InvalidInput = 10,  ///< a file, line or field breaks a documented rule; mend the data
    NotFound = 11,      ///< the named file, row or thing is not there
    Infeasible = 12,    ///< the rules leave no plan; the message names the rule
    RuleBroken = 13,    ///< the book holds rows that break its rules; `book check` lists them
    WrongVersion = 14,  ///< the book or road file was made by a newer or foreign program
    BookFailed = 20,    ///< SQLite or the file system refused; the book is as it was
    OutputFailed = 21,  ///< an output file could not be written
    Internal = 70,      ///< a promise inside the program was broken; please report it
};

/// A failure as a value. `where` locates it for a person: "sites.csv:17, column lat".
struct Error {
    ErrorCode code;
    std::string message;
    std::string where;

    /// "where: message", or the message alone.
    [[nodiscard]] std::string text() const
    {
        return where.empty() ? message : where + ": " + message;
    }
};

template <class T>
using Result = tl::expected<T, Error>;

/// Shorthand for returning an error from a function that gives a Result.
[[nodiscard]] inline tl::unexpected<Error> fail(ErrorCode code, std::string message,
                                                std::string where = {})
{
    return tl::unexpected<Error>{Error{code, std::move(message), std::move(where)}};
}

/// The thrown form; caught once, at the rim.
class Failure : public std::runtime_error {
public:
    explicit Failure(Error error) : std::runtime_error{error.text()}, error_{std::move(error)} {}
    Failure(ErrorCode code, std::string message, std::string where = {})
        : Failure{Error{code, std::move(message), std::move(where)}}
    {
    }

    [[nodiscard]] const Error& error() const { return error_; }

private:
    Error error_;
};

/// The value, or the error thrown as a Failure.
template <class T>
[[nodiscard]] T value_or_throw(Result<T> result)
{
    if (!result) {
        throw Failure{std::move(result).error()};
    }
    return std::move(*result);
}

}  // namespace nestround
